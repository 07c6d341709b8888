//! Hoppers and droppers that no section declares and that no stop holds.

use hallwright_analysis::signals::readers;
use hallwright_analysis::ways::{Way, Ways};
use hallwright_core::id::PartId;
use hallwright_core::part::{Intake, Part};
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::Section;
use petgraph::Direction;

use super::reach::Reach;
use super::{Design, Finding, Rule};

/// The hoppers and droppers that go on after a stop without its being judged by them, if sections and a stop
/// are declared and there are any.
pub(super) fn parts_in_none(design: &Design<'_>, reach: &Reach, ways: &Ways) -> Option<Finding> {
    let declared = design.declarations;
    if declared.sections.is_empty() || declared.stops.is_empty() {
        return None;
    }
    let surroundings = Surroundings::new(design, ways);
    let parts = design.network.parts();
    let mut left_out = parts.filter(|(id, part)| {
        reach.can_hold(*id) && surroundings.leaves_out(design, ways, *id, part)
    });
    let (first, _) = left_out.next()?;
    let further: Vec<(PartId, &str)> = left_out
        .map(|(id, _)| (id, "in no section either"))
        .collect();
    let name = design.network.name(first);
    let words = match further.len() {
        0 => format!("`{name}` is in no section, and no stop holds it"),
        more => format!("`{name}` and {more} more are in no section, and no stop holds them"),
    };
    let help = "add them to the `line`, `queue` or `locked` of a section, or to the store they \
                belong to: a stop is judged by those";
    Some(Finding {
        further,
        ..Finding::of(Rule::NoSection, first, words, help)
    })
}

/// What is declared around the parts, and what a stop moves.
struct Surroundings {
    /// For each node of the ways, whether a section declares it.
    in_section: Vec<bool>,
    /// Whether it belongs to a store or is a sieve.
    in_store: Vec<bool>,
    /// Whether what leaves a section, or a part that a stop holds, can come there.
    is_behind: Vec<bool>,
    /// Whether a section's return leads there, before it is back in a section.
    is_of_return: Vec<bool>,
    /// For each part, whether it is a signal that hangs on what a stop moves.
    is_moved: Vec<bool>,
}

impl Surroundings {
    fn new(design: &Design<'_>, ways: &Ways) -> Self {
        let declared = design.declarations;
        let marked = |parts: &mut dyn Iterator<Item = PartId>| {
            let mut is_marked = vec![false; ways.node_count()];
            parts.for_each(|part| is_marked[part.index()] = true);
            is_marked
        };
        let of_sections = || declared.sections.iter().flat_map(parts_of);
        let in_section = marked(&mut of_sections());
        let stores = declared.stores.iter().flat_map(|store| &store.parts);
        let in_store = marked(&mut stores.chain(&declared.sieves).copied());
        let is_moved = moved_by_stops(design);
        let is_held = |part: &Part| held_by(part).is_some_and(|signal| is_moved[signal.index()]);
        let held = design.network.parts().filter(|(_, part)| is_held(part));
        let ahead: Vec<PartId> = of_sections().chain(held.map(|(id, _)| id)).collect();
        let is_of_items = |way: &Way| !way.kind.is_of_boxes();
        let returns = declared.sections.iter().flat_map(|one| &one.returns);
        Self {
            is_behind: ways.reached(ahead, Direction::Outgoing, is_of_items),
            is_of_return: ways.reached(returns.copied(), Direction::Outgoing, |way| {
                is_of_items(way) && !in_section[way.to] && !in_store[way.to]
            }),
            is_moved,
            in_section,
            in_store,
        }
    }

    /// Whether a part moves items after a stop that is not judged by it.
    fn leaves_out(&self, design: &Design<'_>, ways: &Ways, id: PartId, part: &Part) -> bool {
        let own = id.index();
        let hangs_below_sieve = part.hopper().is_some_and(|hopper| match hopper.intake {
            Intake::Above(above) => design.is_sieve(above),
            Intake::Mouth(_) | Intake::Cap => false,
        });
        if !moves_by_itself(part) || hangs_below_sieve {
            return false;
        }
        let is_held = held_by(part).is_some_and(|signal| self.is_moved[signal.index()]);
        if self.in_section[own] || self.in_store[own] || self.is_of_return[own] || is_held {
            return false;
        }
        // The hopper before a section's buffer brings it work; the last one before a store is behind
        // the section that fills it.
        let mut ends = ways
            .at(own, Direction::Outgoing)
            .filter(|way| way.by == Some(id));
        !ends.any(|way| self.in_section[way.to] || (self.is_behind[own] && self.in_store[way.to]))
    }
}

/// Whether a part is a hopper or dropper.
fn moves_by_itself(part: &Part) -> bool {
    match part {
        Part::Hopper(_) | Part::Dropper(_) => true,
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
        Part::Selector(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
    }
}

/// The signal that locks or fires a part.
fn held_by(part: &Part) -> Option<PartId> {
    match part {
        Part::Hopper(hopper) => hopper.lock,
        Part::Dropper(dropper) => dropper.trigger,
        Part::Selector(selector) => selector.lock,
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => None,
        Part::Dock | Part::Shuttle(_) | Part::Signal(_) => None,
    }
}

/// Every part that a section declares.
fn parts_of(section: &Section) -> impl Iterator<Item = PartId> {
    let lines = section.line.iter().chain(&section.queue);
    lines
        .chain(&section.locked)
        .chain(&section.returns)
        .copied()
}

/// For each part, whether it is a signal that hangs on a lever or button that a stop moves.
fn moved_by_stops(design: &Design<'_>) -> Vec<bool> {
    let mut is_moved = vec![false; design.network.part_count()];
    let actions = design
        .declarations
        .stops
        .iter()
        .flat_map(|stop| &stop.actions);
    let mut to_follow: Vec<PartId> = actions
        .filter_map(|action| match action {
            Action::MoveLever { lever, .. } => Some(*lever),
            Action::Press { button } => Some(*button),
            Action::Deliver { .. } | Action::Withdraw { .. } => None,
            Action::Fill { .. } | Action::TakeBox { .. } | Action::Stick { .. } => None,
            Action::Sleep { .. } | Action::Reopen { .. } => None,
        })
        .collect();
    while let Some(signal) = to_follow.pop() {
        if std::mem::replace(&mut is_moved[signal.index()], true) {
            continue;
        }
        let reading = readers(design.network, signal).map(|(reader, _)| reader);
        to_follow.extend(reading.filter(|reader| design.network.signal(*reader).is_some()));
    }
    is_moved
}
