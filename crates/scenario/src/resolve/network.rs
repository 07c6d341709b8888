//! The core's own checks of the network, reported in terms of the text.

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder, NetworkError, Problem};

use super::Resolver;
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::Span;

/// Where a part says something that the core may object to.
pub(super) struct Mark {
    /// The part.
    pub(super) owner: PartId,
    /// The field, in the core's words.
    pub(super) role: &'static str,
    /// The part that it leads to, for a connection.
    pub(super) target: Option<PartId>,
    /// Where it is written.
    pub(super) span: Span,
}

impl Resolver<'_> {
    /// Notes where a part says something.
    pub(super) fn mark(
        &mut self,
        owner: PartId,
        role: &'static str,
        target: Option<PartId>,
        span: Span,
    ) {
        self.marks.push(Mark {
            owner,
            role,
            target,
            span,
        });
    }

    /// Builds the network, and says what the core finds wrong with it.
    pub(super) fn build_network(&mut self) -> Option<Network> {
        let builder = std::mem::replace(&mut self.builder, NetworkBuilder::new(self.rules));
        match builder.build() {
            Ok(network) => Some(network),
            Err(errors) => {
                for error in errors {
                    self.report_network_error(&error);
                }
                None
            }
        }
    }

    fn report_network_error(&mut self, error: &NetworkError) {
        let Some(part) = error.part else {
            self.problems.report(Diagnostic::general(
                ids::OUT_OF_RANGE,
                error.problem.to_string(),
            ));
            return;
        };
        // The placeholder for what could not be found, and parts that could not be understood:
        // both have been reported.
        let Some(record) = self.parts.get(part.index()) else {
            return;
        };
        let name_span = record.name.span;
        self.problems.enter(record.scope);
        let message = format!("`{}`: {}", self.full_name(part), error.problem);
        let problem = match &error.problem {
            Problem::Undefined => return,
            Problem::WrongPart { role, other, .. } => {
                let span = self.marked(part, role, Some(other)).unwrap_or(name_span);
                let problem = Diagnostic::error(ids::WRONG_PART, span, message);
                match self.named(part, role, other) {
                    Some(declared) => problem.context(declared, "declared here"),
                    None => problem,
                }
            }
            Problem::OutOfRange { field, .. } => {
                let span = self.marked(part, field, None).unwrap_or(name_span);
                Diagnostic::error(ids::OUT_OF_RANGE, span, message)
            }
            Problem::ZeroDelayLoop(names) => {
                // Its own words name every member, the first one too.
                let message = error.problem.to_string();
                let problem = Diagnostic::error(ids::ZERO_DELAY_LOOP, name_span, message);
                let help = "put a repeater or another part with a delay into the loop";
                self.with_members(problem, names).help(help.to_owned())
            }
            Problem::LeadsToItself(role) => {
                let span = self.marked(part, role, None).unwrap_or(name_span);
                Diagnostic::error(ids::LEADS_TO_ITSELF, span, message)
            }
            Problem::SameStart(_) => {
                let span = self.marked(part, "stop", None).unwrap_or(name_span);
                Diagnostic::error(ids::SAME_START, span, message)
            }
            // Names, slots and counts are checked before, where they are written; should the core
            // know better, it is reported all the same.
            _ => Diagnostic::error(ids::OUT_OF_RANGE, name_span, message),
        };
        self.problems.report(problem);
    }

    /// The marks of one part.
    fn marks_of(&self, owner: PartId) -> impl Iterator<Item = &Mark> {
        let start = self.marks.partition_point(|mark| mark.owner < owner);
        self.marks[start..]
            .iter()
            .take_while(move |mark| mark.owner == owner)
    }

    /// Where a part says what it says in a role, of the part of that name if one is given.
    fn marked(&self, owner: PartId, role: &str, other: Option<&String>) -> Option<Span> {
        let fits = |mark: &&Mark| {
            mark.role == role
                && other.is_none_or(|other| {
                    mark.target
                        .is_some_and(|target| self.full_name(target) == *other)
                })
        };
        self.marks_of(owner).find(fits).map(|mark| mark.span)
    }

    /// Where the part that another is connected to is declared.
    fn named(&self, owner: PartId, role: &str, other: &str) -> Option<Span> {
        let mut targets = self
            .marks_of(owner)
            .filter(|mark| mark.role == role)
            .filter_map(|mark| mark.target);
        let target = targets.find(|target| self.full_name(*target) == other)?;
        Some(self.parts.get(target.index())?.name.span)
    }

    /// The name of a part in the network.
    pub(super) fn full_name(&self, part: PartId) -> String {
        self.parts
            .get(part.index())
            .map_or_else(String::new, |record| {
                let prefix = &self.scopes[record.scope.index()].prefix;
                format!("{prefix}{}", record.name.text)
            })
    }

    /// Marks in a problem the other members of a loop.
    fn with_members(&self, mut problem: Diagnostic, names: &[String]) -> Diagnostic {
        // The first name stands at both ends of the list.
        let others = names.iter().skip(1).take(names.len().saturating_sub(2));
        for name in others.take(8) {
            let found = self
                .parts
                .iter()
                .enumerate()
                .find(|(number, _)| self.full_name(PartId::from_index(*number)) == *name);
            if let Some((_, record)) = found {
                problem = problem.context(record.name.span, "part of the loop");
            }
        }
        problem
    }
}
