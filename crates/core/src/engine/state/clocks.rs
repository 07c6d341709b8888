//! When each clock changes next, and for how long it has slept.

use std::collections::BTreeMap;

use crate::id::PartId;
use crate::tick::Tick;

/// The changes of clocks. They follow from the tick and are not scheduled; they come before every other
/// event of their tick, in signal order.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(in crate::engine) struct Clocks {
    /// The tick of the first change to come; the last tick there is if none will.
    next: Tick,
    /// The next change of each clock that changes at all, by its tick and the clock's place in the
    /// signal order.
    changes: BTreeMap<(Tick, u32), PartId>,
    /// For how many ticks those clocks have slept that ever did, those of a sleep under way included.
    slept_ticks: BTreeMap<PartId, u64>,
}

const NEVER: Tick = Tick(u64::MAX);

impl Default for Clocks {
    fn default() -> Self {
        Self {
            next: NEVER,
            changes: BTreeMap::new(),
            slept_ticks: BTreeMap::new(),
        }
    }
}

impl Clocks {
    /// A clock, with this place in the signal order, changes next in this tick.
    pub(in crate::engine) fn add(&mut self, tick: Tick, place: u32, clock: PartId) {
        self.changes.insert((tick, place), clock);
        self.next = self.next.min(tick);
    }

    /// Takes out the first clock that changes in this tick.
    #[inline]
    pub(in crate::engine) fn take_due(&mut self, now: Tick) -> Option<PartId> {
        if self.next > now {
            None
        } else {
            self.take_first()
        }
    }

    #[inline(never)]
    fn take_first(&mut self) -> Option<PartId> {
        let (_, clock) = self.changes.pop_first()?;
        self.find_next();
        Some(clock)
    }

    fn find_next(&mut self) {
        let first = self.changes.first_key_value();
        self.next = first.map_or(NEVER, |((tick, _), _)| *tick);
    }

    pub(in crate::engine) fn next_due(&self) -> Option<Tick> {
        (self.next < NEVER).then_some(self.next)
    }

    /// Every next change, in order.
    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = (Tick, PartId)> {
        self.changes
            .iter()
            .map(|((tick, _), clock)| (*tick, *clock))
    }

    /// A clock falls asleep for so many ticks.
    pub(in crate::engine) fn put_off(&mut self, clock: PartId, ticks: u64) {
        *self.slept_ticks.entry(clock).or_default() += ticks;
        let mut changes = self.changes.iter();
        let next = changes.find(|(_, other)| **other == clock);
        if let Some((&(tick, place), _)) = next {
            self.changes.remove(&(tick, place));
            self.changes.insert((tick + ticks, place), clock);
            self.find_next();
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
        let changes = std::mem::take(&mut self.changes).into_iter();
        self.changes = changes
            .map(|((tick, _), clock)| ((tick, place(clock)), clock))
            .collect();
    }
}
