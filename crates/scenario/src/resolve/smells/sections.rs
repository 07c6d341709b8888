//! Hoppers and droppers that no section declares.

use hallwright_core::part::{Intake, Part};

use super::super::Resolver;
use super::Design;
use super::reach::Reach;
use crate::diagnostic::Diagnostic;
use crate::ids;

/// So many of them are marked.
const MOST_MARKED: usize = 5;

impl Resolver<'_> {
    /// Tells of hoppers and droppers that a stop is not judged by, if sections and a stop are declared.
    pub(super) fn tell_parts_in_no_section(&mut self, design: &Design<'_>, reach: &Reach) {
        let declared = design.declarations;
        if declared.sections.is_empty() || declared.stops.is_empty() {
            return;
        }
        let mut is_declared = vec![false; design.network.part_count()];
        let sections = declared.sections.iter().flat_map(|section| {
            let lines = section.line.iter().chain(&section.queue);
            lines.chain(&section.locked).chain(&section.returns)
        });
        let stores = declared.stores.iter().flat_map(|store| &store.parts);
        for part in sections.chain(stores).chain(&declared.sieves) {
            is_declared[part.index()] = true;
        }
        let moves = |part: &Part| match part {
            // What hangs below a sieve belongs to it.
            Part::Hopper(hopper) => match hopper.intake {
                Intake::Above(above) => !design.is_sieve(above),
                Intake::Mouth(_) | Intake::Cap => true,
            },
            Part::Dropper(_) => true,
            Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
            Part::Selector(_) | Part::Place | Part::Shuttle(_) | Part::Signal(_) => false,
        };
        let left_out = design
            .network
            .parts()
            .filter(|(id, part)| !is_declared[id.index()] && reach.can_hold(*id) && moves(part));
        let left_out: Vec<_> = left_out.map(|(id, _)| id).collect();
        let records = left_out.iter().filter_map(|id| self.parts.get(id.index()));
        let mut records = records.map(|record| (record.name.span, record.scope));
        let Some((first, scope)) = records.next() else {
            return;
        };
        let name = design.network.name(left_out[0]);
        let message = match left_out.len() {
            1 => format!("`{name}` is in no section: no stop is judged by what it moves"),
            more => format!(
                "`{name}` and {} more are in no section: no stop is judged by what they move",
                more - 1
            ),
        };
        let mut problem = Diagnostic::warning(ids::NO_SECTION, first, message);
        let mut marked = vec![first];
        for (span, _) in records {
            if marked.len() < MOST_MARKED && !marked.contains(&span) {
                marked.push(span);
                problem = problem.context(span, "in no section either");
            }
        }
        let help = "add them to the `line`, `queue` or `locked` of a section, or to the store they belong to";
        self.problems.enter(scope);
        self.problems.tell(problem.help(help.to_owned()));
    }
}
