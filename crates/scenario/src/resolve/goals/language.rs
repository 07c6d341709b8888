//! Each goal of the language: what a builder writes, what it means, and how it is written flat.
//!
//! A goal has its three forms side by side, so that one more goal is one more arm in each.

use hallwright_core::network::Network;
use hallwright_declared::declarations::{Declarations, Goal, Mark};

use super::super::Resolver;
use super::super::declarations::Directory;
use super::super::names::ScopeId;
use super::super::sort::{ANY, BLOCK, INVENTORY};
use crate::document::Expression;
use crate::ids;
use crate::text::{Name, Spanned, choices, document};
use crate::write::{decimal, kinds, parts, quoted, ticks};

/// No rate, work or density comes anywhere near this.
const MOST: f64 = 1e12;

document! {
    /// The time that a request takes.
    pub(crate) struct RequestWithinDocument {
        kind: Expression,
        within: Expression,
        /// Whether the time counts in which the hall was stopped.
        with_stops: Option<Expression>,
    }

    /// Part stacks that leave a gather.
    pub(crate) struct PartStacksDocument {
        gather: Expression,
        stacks: Expression,
    }

    /// A flow's throughput.
    pub(crate) struct ThroughputDocument {
        flow: Expression,
        items_per_second: Expression,
        /// Whether the best window is judged, not the worst in which goods wait.
        best: Option<Expression>,
    }

    /// A mark of every stop.
    pub(crate) struct MarkWithinDocument {
        mark: MarkDocument,
        section: Option<Expression>,
        within: Expression,
    }

    /// Lock cover.
    pub(crate) struct LockCoverDocument {
        section: Option<Expression>,
        share: Expression,
    }

    /// How long a call stays on with nothing to do.
    pub(crate) struct CallIdleDocument {
        section: Option<Expression>,
        time: Expression,
    }

    /// Blocks that make the network.
    pub(crate) struct BuildableDocument {
        /// The only parts with which something may be wrong.
        except: Option<Expression>,
    }

    /// What some inventories hold at the end.
    pub(crate) struct ContentsDocument {
        parts: Expression,
        kinds: Option<Expression>,
        at_least: Option<Expression>,
        at_most: Option<Expression>,
    }

    /// The first rise of a lamp.
    pub(crate) struct LampRiseDocument {
        lamp: Expression,
        not_before: Option<Expression>,
        not_after: Option<Expression>,
        at_least_items: Option<Expression>,
        at_most_items: Option<Expression>,
    }

    /// Goals for one variant only.
    pub(crate) struct OnlyForDocument {
        variant: Name,
        goals: Vec<Spanned<GoalDocument>>,
    }
}

choices! {
    /// A bound that every run must meet.
    pub(crate) enum GoalDocument {
        /// Misplaced items.
        MisplacedAtMost(Expression),
        /// Items passed by.
        PassedByAtMost(Expression),
        /// Every sieve intact.
        SievesIntact,
        /// Sieves that are not.
        SievesBrokenAtMost(Expression),
        /// Items lost.
        LostAtMost(Expression),
        /// Items refused.
        RefusedAtMost(Expression),
        /// Items stuck.
        StuckAtMost(Expression),
        /// Items backed up.
        BackedUpAtMost(Expression),
        /// Stops that never get safe to close.
        StopsNotSafeAtMost(Expression),
        /// Kinds that need no home.
        WithoutHome(Expression),
        /// Kinds that may have several homes.
        SharedHome(Expression),
        /// Items in no store.
        InNoStoreAtMost(Expression),
        /// Items that still go round.
        GoingRoundAtMost(Expression),
        /// Throughput.
        ThroughputAtLeast(ThroughputDocument),
        /// Stop and resume times.
        MarkWithin(MarkWithinDocument),
        /// The time that requests take.
        RequestWithin(RequestWithinDocument),
        /// Part stacks that leave a gather.
        PartStacksOutAtMost(PartStacksDocument),
        /// Items that the operator cannot get out.
        LeftBehindAtMost(Expression),
        /// Lock cover.
        LockCoverAtLeast(LockCoverDocument),
        /// How long a call stays on with nothing to do.
        CallIdleAtMost(CallIdleDocument),
        /// Mean work a tick.
        WorkPerTickAtMost(Expression),
        /// Hoppers for each block of width.
        HoppersPerBlockAtMost(Expression),
        /// The only parts around which there may be more than fits.
        Crowded(Expression),
        /// Blocks that make the network.
        Buildable(BuildableDocument),
        /// Contents at the end.
        Contents(ContentsDocument),
        /// The first rise of a lamp.
        LampRise(LampRiseDocument),
        /// Goals for one variant only.
        OnlyFor(OnlyForDocument),
    }
}

choices! {
    /// The marks of a stop.
    pub(crate) enum MarkDocument {
        /// Lines and lifts hold nothing.
        Cleared,
        /// Safe to close.
        SafeToClose,
        /// Nothing moves.
        Quiet,
        /// All held back is sorted.
        Resumed,
    }
}

impl<'d> Resolver<'d> {
    /// What a goal means; `None` if it could not be understood, which is reported.
    pub(super) fn goal(
        &mut self,
        document: &'d GoalDocument,
        directory: &Directory,
    ) -> Option<Goal> {
        let top = ScopeId::TOP;
        Some(match document {
            GoalDocument::MisplacedAtMost(most) => {
                Goal::MisplacedAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::PassedByAtMost(most) => {
                Goal::PassedByAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::SievesIntact => Goal::SievesBrokenAtMost(0),
            GoalDocument::SievesBrokenAtMost(most) => {
                Goal::SievesBrokenAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::LostAtMost(most) => Goal::LostAtMost(self.number_from(top, most, 0)?),
            GoalDocument::RefusedAtMost(most) => {
                Goal::RefusedAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::StuckAtMost(most) => Goal::StuckAtMost(self.number_from(top, most, 0)?),
            GoalDocument::BackedUpAtMost(most) => {
                Goal::BackedUpAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::StopsNotSafeAtMost(most) => {
                Goal::StopsNotSafeAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::WithoutHome(named) => Goal::WithoutHome(self.kinds(top, named)),
            GoalDocument::SharedHome(named) => Goal::SharedHome(self.kinds(top, named)),
            GoalDocument::InNoStoreAtMost(most) => {
                Goal::InNoStoreAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::GoingRoundAtMost(most) => {
                Goal::GoingRoundAtMost(self.number_from(top, most, 0)?)
            }
            GoalDocument::ThroughputAtLeast(goal) => return self.throughput(goal, directory),
            GoalDocument::MarkWithin(goal) => return self.mark_within(goal, directory),
            GoalDocument::LockCoverAtLeast(goal) => return self.lock_cover(goal, directory),
            GoalDocument::CallIdleAtMost(goal) => return self.call_idle(goal, directory),
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
            GoalDocument::Crowded(allowed) => {
                Goal::Crowded(self.parts_named(top, Some(allowed), &BLOCK))
            }
            GoalDocument::Buildable(goal) => {
                Goal::Buildable(self.parts_named(top, goal.except.as_ref(), &ANY))
            }
            GoalDocument::Contents(goal) => return self.contents(goal),
            GoalDocument::LampRise(goal) => return self.lamp_rise(goal, directory),
            GoalDocument::OnlyFor(_) => return None,
        })
    }

    fn throughput(&mut self, goal: &'d ThroughputDocument, directory: &Directory) -> Option<Goal> {
        let flow = self.declared(&goal.flow, &directory.flows, "flow", ids::UNKNOWN_FLOW);
        let rate = self.decimal(ScopeId::TOP, &goal.items_per_second, MOST);
        let best = match &goal.best {
            Some(flag) => self.flag(ScopeId::TOP, flag),
            None => Some(false),
        };
        Some(Goal::ThroughputAtLeast {
            flow: flow?,
            items_per_second: rate?,
            best: best?,
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

    fn call_idle(&mut self, goal: &'d CallIdleDocument, directory: &Directory) -> Option<Goal> {
        let section = self.section(goal.section.as_ref(), directory);
        let ticks = self.ticks(ScopeId::TOP, &goal.time);
        Some(Goal::CallIdleAtMost {
            section: section?,
            ticks: ticks?,
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

    fn contents(&mut self, goal: &'d ContentsDocument) -> Option<Goal> {
        let parts = self.parts_named(ScopeId::TOP, Some(&goal.parts), &INVENTORY);
        let kinds = match &goal.kinds {
            Some(kinds) => self.kinds(ScopeId::TOP, kinds),
            None => Vec::new(),
        };
        let at_least = self.bound(goal.at_least.as_ref());
        let at_most = self.bound(goal.at_most.as_ref());
        if goal.at_least.is_none() && goal.at_most.is_none() {
            self.report_no_bound(goal.head, "`at_least` or `at_most`");
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

/// A goal as a layout without parameters writes it. `declarations` are those that it names by their numbers.
#[must_use]
#[allow(clippy::too_many_lines, reason = "one short arm for each goal")]
pub fn written(network: &Network, declarations: &Declarations, goal: &Goal) -> String {
    let section = |number: &Option<usize>| {
        let section = number.and_then(|number| declarations.sections.get(number));
        section.map(|section| quoted(&section.name))
    };
    match goal {
        Goal::MisplacedAtMost(most) => format!("MisplacedAtMost({most})"),
        Goal::PassedByAtMost(most) => format!("PassedByAtMost({most})"),
        Goal::SievesBrokenAtMost(0) => "SievesIntact".to_owned(),
        Goal::SievesBrokenAtMost(most) => format!("SievesBrokenAtMost({most})"),
        Goal::LostAtMost(most) => format!("LostAtMost({most})"),
        Goal::RefusedAtMost(most) => format!("RefusedAtMost({most})"),
        Goal::StuckAtMost(most) => format!("StuckAtMost({most})"),
        Goal::BackedUpAtMost(most) => format!("BackedUpAtMost({most})"),
        Goal::StopsNotSafeAtMost(most) => format!("StopsNotSafeAtMost({most})"),
        Goal::WithoutHome(named) => format!("WithoutHome({})", kinds(network, named)),
        Goal::SharedHome(named) => format!("SharedHome({})", kinds(network, named)),
        Goal::InNoStoreAtMost(most) => format!("InNoStoreAtMost({most})"),
        Goal::GoingRoundAtMost(most) => format!("GoingRoundAtMost({most})"),
        Goal::ThroughputAtLeast {
            flow,
            items_per_second,
            best,
        } => {
            let name = declarations
                .flows
                .get(*flow)
                .map_or("", |flow| flow.name.as_str());
            let rate = decimal(*items_per_second);
            let best = if *best { ", best: true" } else { "" };
            format!(
                "ThroughputAtLeast(flow: {}, items_per_second: {rate}{best})",
                quoted(name)
            )
        }
        Goal::RequestWithin {
            desk,
            ticks: within,
            with_stops,
        } => {
            let desk = declarations.desks.get(*desk);
            let kind = desk.map_or("", |desk| network.kind(desk.kind).name.as_str());
            format!(
                "RequestWithin(kind: {}, within: {}, with_stops: {with_stops})",
                quoted(kind),
                ticks(within)
            )
        }
        Goal::PartStacksOutAtMost { gather, stacks } => {
            let gather = declarations.gathers.get(*gather);
            let name = quoted(gather.map_or("", |gather| gather.name.as_str()));
            format!("PartStacksOutAtMost(gather: {name}, stacks: {stacks})")
        }
        Goal::LeftBehindAtMost(most) => format!("LeftBehindAtMost({most})"),
        Goal::MarkWithin {
            mark,
            section: of,
            ticks: within,
        } => {
            let mark = match mark {
                Mark::Cleared => "Cleared",
                Mark::SafeToClose => "SafeToClose",
                Mark::Quiet => "Quiet",
                Mark::Resumed => "Resumed",
            };
            let of = optional(&[("section", section(of))]);
            format!("MarkWithin(mark: {mark}{of}, within: {})", ticks(within))
        }
        Goal::LockCoverAtLeast { section: of, share } => {
            let of = optional(&[("section", section(of))]);
            format!("LockCoverAtLeast(share: {}{of})", decimal(*share))
        }
        Goal::CallIdleAtMost {
            section: of,
            ticks: most,
        } => {
            let of = optional(&[("section", section(of))]);
            format!("CallIdleAtMost(time: {}{of})", ticks(most))
        }
        Goal::WorkPerTickAtMost(most) => format!("WorkPerTickAtMost({})", decimal(*most)),
        Goal::HoppersPerBlockAtMost(most) => format!("HoppersPerBlockAtMost({})", decimal(*most)),
        Goal::Crowded(allowed) => format!("Crowded({})", parts(network, allowed)),
        Goal::Buildable(allowed) => format!("Buildable(except: {})", parts(network, allowed)),
        Goal::Contents {
            parts: of,
            kinds: counted,
            at_least,
            at_most,
        } => {
            let bounds = optional(&[
                ("at_least", at_least.map(|least| least.to_string())),
                ("at_most", at_most.map(|most| most.to_string())),
            ]);
            let (of, counted) = (parts(network, of), kinds(network, counted));
            format!("Contents(parts: {of}, kinds: {counted}{bounds})")
        }
        Goal::LampRise {
            lamp,
            not_before,
            not_after,
            at_least_items,
            at_most_items,
        } => {
            let lamp = declarations
                .lamps
                .get(*lamp)
                .map_or("", |lamp| lamp.name.as_str());
            let bounds = optional(&[
                ("not_before", not_before.map(ticks)),
                ("not_after", not_after.map(ticks)),
                (
                    "at_least_items",
                    at_least_items.map(|least| least.to_string()),
                ),
                ("at_most_items", at_most_items.map(|most| most.to_string())),
            ]);
            format!("LampRise(lamp: {}{bounds})", quoted(lamp))
        }
    }
}

/// Optional fields, each behind a comma.
fn optional(fields: &[(&str, Option<String>)]) -> String {
    let given = fields.iter().filter_map(|(name, value)| {
        let value = value.as_ref()?;
        Some(format!(", {name}: {value}"))
    });
    given.collect()
}
