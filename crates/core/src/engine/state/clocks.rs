//! When each clock changes next, and for how long it has slept.

use std::collections::BTreeMap;
use std::collections::btree_map::{Entry, OccupiedEntry};

use serde::{Deserialize, Serialize};

use crate::id::PartId;
use crate::tick::Tick;

/// The changes of clocks. They follow from the tick and are not scheduled; they come before every other
/// event of their tick, in signal order.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Clocks {
    /// The next change of each clock that changes at all: those of one tick in signal order. Clocks are mostly
    /// alike, and few ticks have any.
    changes: BTreeMap<Tick, Vec<Change>>,
    /// An empty list, whose memory the changes of some tick will take.
    spare: Vec<Change>,
    /// For how many ticks those clocks have slept that ever did, those of a sleep under way included.
    slept_ticks: BTreeMap<PartId, u64>,
}

/// The change of a clock in some tick.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Change {
    /// The clock's place in the signal order.
    place: u32,
    pub(in crate::engine) clock: PartId,
}

impl Clocks {
    /// A clock, with this place in the signal order, changes next in this tick.
    pub(in crate::engine) fn add(&mut self, tick: Tick, place: u32, clock: PartId) {
        let change = Change { place, clock };
        let spare = &mut self.spare;
        let changes = self.changes.entry(tick);
        let changes = changes.or_insert_with(|| std::mem::take(spare));
        // They mostly come in order.
        if changes.last().is_none_or(|last| *last < change) {
            changes.push(change);
        } else {
            let before = changes.partition_point(|other| *other < change);
            changes.insert(before, change);
        }
    }

    /// Takes out the changes of this tick, in order.
    #[inline]
    pub(in crate::engine) fn take_due(&mut self, now: Tick) -> Vec<Change> {
        let first = self.changes.first_entry();
        let due = first.filter(|first| *first.key() <= now);
        due.map(OccupiedEntry::remove).unwrap_or_default()
    }

    /// All of these, in order, change next in this tick.
    pub(in crate::engine) fn add_all(&mut self, tick: Tick, due: Vec<Change>) {
        match self.changes.entry(tick) {
            Entry::Vacant(none) => {
                none.insert(due);
            }
            Entry::Occupied(mut others) => {
                let changes = others.get_mut();
                changes.extend(&due);
                changes.sort_unstable();
                self.keep_list(due);
            }
        }
    }

    /// An empty list with room for so many.
    pub(in crate::engine) fn empty_list(&mut self, room: usize) -> Vec<Change> {
        let mut list = std::mem::take(&mut self.spare);
        list.reserve(room);
        list
    }

    /// What is in this list is done: its memory will be that of another.
    pub(in crate::engine) fn keep_list(&mut self, mut list: Vec<Change>) {
        list.clear();
        self.spare = list;
    }

    pub(in crate::engine) fn next_due(&self) -> Option<Tick> {
        self.changes.first_key_value().map(|(tick, _)| *tick)
    }

    /// Every next change, in order.
    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = (Tick, PartId)> {
        let changes = self.changes.iter();
        changes.flat_map(|(tick, changes)| changes.iter().map(|change| (*tick, change.clock)))
    }

    /// A clock falls asleep for so many ticks.
    pub(in crate::engine) fn put_off(&mut self, clock: PartId, ticks: u64) {
        *self.slept_ticks.entry(clock).or_default() += ticks;
        let next = self.changes.iter_mut().find_map(|(tick, changes)| {
            let next = changes.iter().position(|next| next.clock == clock)?;
            Some((*tick, changes.remove(next)))
        });
        if let Some((tick, Change { place, clock })) = next {
            self.changes.retain(|_, changes| !changes.is_empty());
            self.add(tick + ticks, place, clock);
        }
    }

    /// For how many ticks a clock has slept.
    pub(in crate::engine) fn slept_ticks(&self, clock: PartId) -> u64 {
        self.slept_ticks.get(&clock).copied().unwrap_or(0)
    }

    /// Every clock that has slept, in the order of declaration, with for how many ticks.
    pub(in crate::engine) fn sleepers(&self) -> impl ExactSizeIterator<Item = (PartId, u64)> {
        self.slept_ticks
            .iter()
            .map(|(clock, ticks)| (*clock, *ticks))
    }

    /// The signal order is another one, in which each clock has this place.
    pub(in crate::engine) fn reorder(&mut self, place: impl Fn(PartId) -> u32) {
        for changes in self.changes.values_mut() {
            for change in &mut *changes {
                change.place = place(change.clock);
            }
            changes.sort_unstable();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_of_one_tick_change_in_signal_order_and_sleepers_later() {
        let mut clocks = Clocks::default();
        let clock = PartId::from_index;
        for (number, tick) in [7, 3, 7, 3].into_iter().enumerate() {
            clocks.add(Tick(tick), number as u32, clock(number));
        }
        let due = |clocks: &Clocks| -> Vec<(u64, usize)> {
            let all = clocks.iter();
            all.map(|(tick, part)| (tick.0, part.index())).collect()
        };
        assert_eq!(due(&clocks), [(3, 1), (3, 3), (7, 0), (7, 2)]);
        clocks.put_off(clock(1), 5);
        clocks.put_off(clock(9), 4);
        clocks.put_off(clock(9), 2);
        assert_eq!(due(&clocks), [(3, 3), (7, 0), (7, 2), (8, 1)]);
        assert_eq!(
            (clocks.slept_ticks(clock(9)), clocks.sleepers().len()),
            (6, 2)
        );
        clocks.reorder(|part| 9 - part.index() as u32);
        assert_eq!(due(&clocks), [(3, 3), (7, 2), (7, 0), (8, 1)]);
        let mut taken = |tick| -> Vec<usize> {
            let taken = clocks.take_due(Tick(tick)).into_iter();
            taken.map(|change| change.clock.index()).collect()
        };
        assert_eq!(taken(2), []);
        assert_eq!((taken(3), taken(3)), (vec![3], vec![]));
        assert_eq!(taken(7), [2, 0]);
        assert_eq!(clocks.next_due(), Some(Tick(8)));
    }
}
