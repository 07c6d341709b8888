//! The goals.

use hallwright_core::declare::{Goal, Mark};
use hallwright_core::tick::Tick;

use super::Resolver;
use super::declarations::{Directory, Numbers};
use super::names::ScopeId;
use super::sort::INVENTORY;
use crate::diagnostic::Diagnostic;
use crate::document::{
    ContentsDocument, Expression, GoalDocument, LampRiseDocument, LockCoverDocument, MarkDocument,
    MarkWithinDocument, OnlyForDocument, PartStacksDocument, RequestWithinDocument,
    ThroughputDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::Spanned;

/// No rate, work or density comes anywhere near this.
const MOST: f64 = 1e12;

impl<'d> Resolver<'d> {
    /// The goals that hold in this variant, each with the place where it stands.
    pub(super) fn goals(&mut self, directory: &Directory) -> Vec<(Span, Goal)> {
        let document = self.document;
        let mut goals = Vec::new();
        self.add_goals(&document.goals, directory, &mut goals);
        goals
    }

    fn add_goals(
        &mut self,
        documents: &'d [Spanned<GoalDocument>],
        directory: &Directory,
        goals: &mut Vec<(Span, Goal)>,
    ) {
        for document in documents {
            match &document.value {
                GoalDocument::OnlyFor(only) => self.only_for(only, directory, goals),
                goal => {
                    let goal = self.goal(goal, directory);
                    goals.extend(goal.map(|goal| (document.span, goal)));
                }
            }
        }
    }

    fn only_for(
        &mut self,
        only: &'d OnlyForDocument,
        directory: &Directory,
        goals: &mut Vec<(Span, Goal)>,
    ) {
        let name = &only.variant;
        let variants = &self.document.variants;
        if variants.get(&name.text).is_none() {
            let message = format!("the scenario has no variant `{}`", name.text);
            let problem = Diagnostic::error(ids::UNKNOWN_VARIANT, name.span, message);
            self.problems.tell_not_in(problem, &name.text, variants);
        } else if self.variant.as_ref() == Some(&name.text) {
            self.add_goals(&only.goals, directory, goals);
        }
    }

    fn goal(&mut self, document: &'d GoalDocument, directory: &Directory) -> Option<Goal> {
        let top = ScopeId::TOP;
        Some(match document {
            GoalDocument::MisplacedAtMost(most) => {
                Goal::MisplacedAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::PassedByAtMost(most) => {
                Goal::PassedByAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::SievesIntact => Goal::SievesIntact,
            GoalDocument::LostAtMost(most) => Goal::LostAtMost(self.number_from(top, most, 0)?),
            GoalDocument::InNoStoreAtMost(most) => {
                Goal::InNoStoreAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::GoingRoundAtMost(most) => {
                Goal::GoingRoundAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::ThroughputAtLeast(goal) => return self.throughput(goal, directory),
            GoalDocument::MarkWithin(goal) => return self.mark_within(goal, directory),
            GoalDocument::LockCoverAtLeast(goal) => return self.lock_cover(goal, directory),
            GoalDocument::RequestWithin(goal) => return self.request_within(goal),
            GoalDocument::PartStacksOutAtMost(goal) => return self.part_stacks(goal, directory),
            GoalDocument::LeftBehindAtMost(most) => {
                Goal::LeftBehindAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::WorkPerTickAtMost(most) => {
                Goal::WorkPerTickAtMost(self.decimal(top, most, MOST)?)
            }
            GoalDocument::HoppersPerBlockAtMost(most) => {
                Goal::HoppersPerBlockAtMost(self.decimal(top, most, MOST)?)
            }
            GoalDocument::Contents(goal) => return self.contents(goal),
            GoalDocument::LampRise(goal) => return self.lamp_rise(goal, directory),
            GoalDocument::OnlyFor(_) => return None,
        })
    }

    /// The number of something declared. Tells if there is none of that name.
    fn declared(
        &mut self,
        name: &'d Expression,
        numbers: &Numbers,
        what: &str,
        id: &'static str,
    ) -> Option<usize> {
        let (text, _) = self.name(ScopeId::TOP, name)?;
        match numbers.get(&text) {
            Some(number) => number,
            None => {
                let message = format!("there is no {what} named `{text}`");
                let problem = Diagnostic::error(id, name.span, message);
                let names = numbers.names.iter().map(String::as_str);
                if numbers.is_whole {
                    self.problems.tell_unknown(problem, &text, names);
                }
                None
            }
        }
    }

    /// The number of a section; `Some(None)` if no section is named.
    fn section(
        &mut self,
        name: Option<&'d Expression>,
        directory: &Directory,
    ) -> Option<Option<usize>> {
        match name {
            None => Some(None),
            Some(name) => self
                .declared(name, &directory.sections, "section", ids::UNKNOWN_SECTION)
                .map(Some),
        }
    }

    fn throughput(&mut self, goal: &'d ThroughputDocument, directory: &Directory) -> Option<Goal> {
        let flow = self.declared(&goal.flow, &directory.flows, "flow", ids::UNKNOWN_FLOW);
        let rate = self.decimal(ScopeId::TOP, &goal.items_per_second, MOST);
        Some(Goal::ThroughputAtLeast {
            flow: flow?,
            items_per_second: rate?,
        })
    }

    fn mark_within(&mut self, goal: &'d MarkWithinDocument, directory: &Directory) -> Option<Goal> {
        let section = self.section(goal.section.as_ref(), directory);
        let ticks = self.ticks(ScopeId::TOP, &goal.within);
        Some(Goal::MarkWithin {
            mark: match goal.mark {
                MarkDocument::Cleared => Mark::Cleared,
                MarkDocument::SafeToClose => Mark::SafeToClose,
                MarkDocument::Quiet => Mark::Quiet,
                MarkDocument::Resumed => Mark::Resumed,
            },
            section: section?,
            ticks: ticks?,
        })
    }

    fn lock_cover(&mut self, goal: &'d LockCoverDocument, directory: &Directory) -> Option<Goal> {
        let section = self.section(goal.section.as_ref(), directory);
        let share = self.decimal(ScopeId::TOP, &goal.share, 1.0);
        Some(Goal::LockCoverAtLeast {
            section: section?,
            share: share?,
        })
    }

    fn request_within(&mut self, goal: &'d RequestWithinDocument) -> Option<Goal> {
        let desk = self.desk_for(&goal.kind);
        let ticks = self.ticks(ScopeId::TOP, &goal.within);
        let with_stops = match &goal.with_stops {
            Some(flag) => self.flag(ScopeId::TOP, flag),
            None => Some(false),
        };
        Some(Goal::RequestWithin {
            desk: desk?,
            ticks: ticks?,
            with_stops: with_stops?,
        })
    }

    fn part_stacks(&mut self, goal: &'d PartStacksDocument, directory: &Directory) -> Option<Goal> {
        let gathers = &directory.gathers;
        let gather = self.declared(&goal.gather, gathers, "gather", ids::UNKNOWN_GATHER);
        let stacks = self.number_from(ScopeId::TOP, &goal.stacks, 0);
        Some(Goal::PartStacksOutAtMost {
            gather: gather?,
            stacks: stacks?,
        })
    }

    /// A bound that may be left out; `None` if it could not be understood.
    fn bound(&mut self, number: Option<&'d Expression>) -> Option<Option<u64>> {
        match number {
            None => Some(None),
            Some(number) => self.number_from(ScopeId::TOP, number, 0).map(Some),
        }
    }

    /// A moment that may be left out; `None` if it could not be understood.
    fn moment(&mut self, time: Option<&'d Expression>) -> Option<Option<Tick>> {
        match time {
            None => Some(None),
            Some(time) => self.ticks(ScopeId::TOP, time).map(|at| Some(Tick(at))),
        }
    }

    fn tell_no_bound(&mut self, span: Span, fields: &str) {
        let message = format!("a goal without a bound is always met: give {fields}");
        self.problems
            .tell(Diagnostic::error(ids::ONE_OF_FIELDS, span, message));
    }

    fn contents(&mut self, goal: &'d ContentsDocument) -> Option<Goal> {
        let parts = self.parts_named(ScopeId::TOP, Some(&goal.parts), &INVENTORY);
        let kinds = match &goal.kinds {
            Some(kinds) => self.kinds(ScopeId::TOP, kinds),
            None => Vec::new(),
        };
        let at_least = self.bound(goal.at_least.as_ref());
        let at_most = self.bound(goal.at_most.as_ref());
        if goal.at_least.is_none() && goal.at_most.is_none() {
            self.tell_no_bound(goal.head, "`at_least` or `at_most`");
        }
        Some(Goal::Contents {
            parts,
            kinds,
            at_least: at_least?,
            at_most: at_most?,
        })
    }

    fn lamp_rise(&mut self, goal: &'d LampRiseDocument, directory: &Directory) -> Option<Goal> {
        let lamp = self.declared(&goal.lamp, &directory.lamps, "lamp", ids::UNKNOWN_LAMP);
        let not_before = self.moment(goal.not_before.as_ref());
        let not_after = self.moment(goal.not_after.as_ref());
        let at_least_items = self.bound(goal.at_least_items.as_ref());
        let at_most_items = self.bound(goal.at_most_items.as_ref());
        Some(Goal::LampRise {
            lamp: lamp?,
            not_before: not_before?,
            not_after: not_after?,
            at_least_items: at_least_items?,
            at_most_items: at_most_items?,
        })
    }
}
