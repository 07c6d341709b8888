//! What is looked up of a part when something about it changes, to find the way without looking into
//! the network.

use std::ops::Range;

use super::seats::Seated;
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::Part;

/// What sort of part it is, without what the network says of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum PartSort {
    Hopper,
    Selector,
    Bench,
    /// A mouth or a stream.
    Loose,
    Other,
}

/// One part.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Entry {
    /// Its place in the table of its own sort.
    place: u32,
    /// Where the list of its neighbours begins; it ends where that of the next begins.
    first_neighbour: u32,
    sort: PartSort,
    /// Whether a comparator reads it.
    is_read: bool,
    /// Whether a hopper or selector that pushes into it or pulls from it may stand idle until it changes;
    /// of a hopper its flag notifies.
    is_awaited: bool,
}

/// All parts, by their numbers.
#[derive(Clone, PartialEq, Debug)]
pub(in crate::engine) struct Parts {
    /// One more at the end, which ends the lists.
    entries: Vec<Entry>,
    /// The seats of the hoppers and selectors that push into a part or pull from it.
    neighbours: Vec<u32>,
}

impl Parts {
    /// The parts of a network whose hoppers and selectors sit like this.
    pub(in crate::engine) fn new(network: &Network, seats: &[Seated]) -> Self {
        let mut entries = placed(network, seats);
        let place = |part: PartId, entries: &[Entry]| entries[part.index()].place;
        let mut around: Vec<(PartId, u32)> = neighbours(network)
            .map(|(part, neighbour)| (part, place(neighbour, &entries)))
            .collect();
        around.sort_unstable();
        around.dedup();
        for part in read_parts(network) {
            entries[part.index()].is_read = true;
        }
        let mut next_neighbour = 0;
        for (index, entry) in entries.iter_mut().enumerate() {
            next_neighbour += around[next_neighbour..]
                .iter()
                .take_while(|(part, _)| part.index() < index)
                .count();
            entry.first_neighbour = next_neighbour as u32;
        }
        Self {
            entries,
            neighbours: around.iter().map(|(_, neighbour)| *neighbour).collect(),
        }
    }

    /// The place of a part in the table of its own sort: a hopper's and selector's seat, a signal's
    /// place among the signals, and so on.
    pub(in crate::engine) fn place(&self, part: PartId) -> usize {
        self.entries[part.index()].place as usize
    }

    pub(in crate::engine) fn sort(&self, part: PartId) -> PartSort {
        self.entries[part.index()].sort
    }

    /// The hoppers and selectors that push into a part or pull from it, to be read with
    /// [`Self::neighbour`] while something else is changed.
    pub(in crate::engine) fn neighbours(&self, part: PartId) -> Range<usize> {
        let [entry, next] = self.entry_and_next(part);
        entry.first_neighbour as usize..next.first_neighbour as usize
    }

    /// A neighbour's seat.
    pub(in crate::engine) fn neighbour(&self, member: usize) -> usize {
        self.neighbours[member] as usize
    }

    /// Whether a comparator reads a part, asleep or not.
    pub(in crate::engine) fn is_read(&self, part: PartId) -> bool {
        self.entries[part.index()].is_read
    }

    /// Whether a change of what a part holds concerns nobody, as of most containers.
    #[inline]
    pub(in crate::engine) fn concerns_nobody(&self, part: PartId) -> bool {
        let entry = &self.entries[part.index()];
        entry.sort == PartSort::Other && !entry.is_read && !entry.is_awaited
    }

    fn entry_and_next(&self, part: PartId) -> &[Entry; 2] {
        self.entries[part.index()..]
            .first_chunk()
            .expect("a last entry ends the lists")
    }

    /// Has a part that is no hopper notify its neighbours of its next change.
    pub(in crate::engine) fn set_awaited(&mut self, part: PartId) {
        self.entries[part.index()].is_awaited = true;
    }

    /// Of a part that is no hopper and has changed: whether a comparator reads it, and whether its
    /// neighbours are to be notified, once.
    pub(in crate::engine) fn is_read_or_awaited(&mut self, part: PartId) -> (bool, bool) {
        let entry = &mut self.entries[part.index()];
        (entry.is_read, std::mem::take(&mut entry.is_awaited))
    }
}

/// The entries with their places, and the last one.
fn placed(network: &Network, seats: &[Seated]) -> Vec<Entry> {
    let [
        mut signals,
        mut droppers,
        mut benches,
        mut shuttles,
        mut places,
    ] = [0; 5];
    let next = |counter: &mut u32| {
        *counter += 1;
        *counter - 1
    };
    let mut placed = |part: &Part| match part {
        Part::Signal(_) => (PartSort::Other, next(&mut signals)),
        Part::Dropper(_) => (PartSort::Other, next(&mut droppers)),
        Part::Bench(_) => (PartSort::Bench, next(&mut benches)),
        Part::Shuttle(_) => (PartSort::Other, next(&mut shuttles)),
        Part::Dock => (PartSort::Other, next(&mut places)),
        Part::Hopper(_) => (PartSort::Hopper, 0), // Their seat: below.
        Part::Selector(_) => (PartSort::Selector, 0),
        Part::Mouth | Part::Stream(_) => (PartSort::Loose, 0),
        Part::Container(_) => (PartSort::Other, 0),
    };
    let entry = |(sort, place)| Entry {
        place,
        first_neighbour: 0,
        sort,
        is_read: false,
        is_awaited: false,
    };
    let mut entries: Vec<Entry> = Vec::with_capacity(network.part_count() + 1);
    entries.extend(network.parts().map(|(_, part)| entry(placed(part))));
    entries.push(entry((PartSort::Other, 0)));
    for (seat, seated) in seats.iter().enumerate() {
        entries[seated.part.index()].place = seat as u32;
    }
    entries
}

/// Pairs of an inventory or selector and a hopper or selector that pushes into it or pulls from it.
fn neighbours(network: &Network) -> impl Iterator<Item = (PartId, PartId)> {
    ends(network).filter_map(|(link, from, to)| match link {
        Link::Push => {
            let takes_turns = matches!(network.part(from), Part::Hopper(_) | Part::Selector(_));
            takes_turns.then_some((to, from))
        }
        Link::Pull => Some((from, to)),
        Link::Loose | Link::Round | Link::Signal(_) => None,
    })
}

/// The parts that a comparator reads.
fn read_parts(network: &Network) -> impl Iterator<Item = PartId> {
    ends(network)
        .filter(|(link, _, _)| *link == Link::Signal(SignalRole::Reading))
        .map(|(_, from, _)| from)
}

fn ends(network: &Network) -> impl Iterator<Item = (Link, PartId, PartId)> {
    network.graph().raw_edges().iter().map(|edge| {
        let from = PartId::from_index(edge.source().index());
        let to = PartId::from_index(edge.target().index());
        (edge.weight, from, to)
    })
}
