//! The goals: which of them hold, and what most of them need; and how the builder leaves.

mod language;

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Goal, Leave};

pub(crate) use self::language::GoalDocument;
use self::language::OnlyForDocument;
pub use self::language::written;
use super::Resolver;
use super::declarations::{Directory, Numbers};
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::Expression;
use crate::ids;
use crate::source::Span;
use crate::text::Spanned;

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
            self.problems.report_not_in(problem, &name.text, variants);
        } else if self.variant.as_ref() == Some(&name.text) {
            self.add_goals(&only.goals, directory, goals);
        }
    }

    /// How the builder leaves. What cannot be understood is taken as left out.
    pub(super) fn leave(&mut self, directory: &Directory) -> Leave {
        let mut leave = Leave::usual(self.rules.ticks_per_second);
        let Some(document) = &self.document.leave else {
            return leave;
        };
        for (time, ticks) in [
            (&document.apart, &mut leave.apart_ticks),
            (&document.late, &mut leave.late_ticks),
            (&document.pause, &mut leave.pause_ticks),
        ] {
            let given = time.as_ref();
            let given = given.and_then(|time| self.part_ticks(ScopeId::TOP, time));
            *ticks = given.map_or(*ticks, u64::from);
        }
        leave.lamp = document
            .lamp
            .as_ref()
            .and_then(|lamp| self.declared(lamp, &directory.lamps, "lamp", ids::UNKNOWN_LAMP));
        leave
    }

    /// The number of something declared. Reports if there is none of that name.
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
                    self.problems.report_unknown(problem, &text, names);
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

    fn report_no_bound(&mut self, span: Span, fields: &str) {
        let message = format!("a goal without a bound is always met: give {fields}");
        self.problems
            .report(Diagnostic::error(ids::ONE_OF_FIELDS, span, message));
    }
}
