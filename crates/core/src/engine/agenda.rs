//! Signal events that are scheduled, in the order in which they will come.

use std::collections::BTreeMap;

use crate::id::PartId;
use crate::tick::Tick;

/// Before every other event of its tick.
pub(super) const CLOCK_PRIORITY: i8 = i8::MIN;
/// A repeater's turning off.
pub(super) const REPEATER_OFF_PRIORITY: i8 = -2;
/// A repeater's turning on; a delay line.
pub(super) const EARLY_PRIORITY: i8 = -1;
/// Everything else.
pub(super) const PRIORITY: i8 = 0;

/// What a scheduled event does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) enum Task {
    /// A clock changes.
    Clock,
    /// A button goes off.
    ButtonOff,
    /// A repeater looks at its input.
    Repeat,
    /// A comparator, inverter, latch, all of or none of takes the value its inputs give.
    Evaluate,
    /// An observer's pulse begins.
    PulseBegins,
    /// An observer's pulse ends.
    PulseEnds,
    /// A hold goes off.
    HoldOff,
    /// A toggle flips.
    Flip,
    /// A delay line takes a level.
    Arrive {
        /// The level.
        level: u8,
    },
    /// A dropper fires.
    Fire,
}

/// One scheduled event.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) struct Scheduled {
    pub(super) part: PartId,
    pub(super) task: Task,
}

/// Where an event stands in the order: by tick, then priority, then the order of scheduling.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub(super) struct Key {
    pub(super) tick: Tick,
    pub(super) priority: i8,
    sequence: u64,
}

/// All scheduled events.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct Agenda {
    events: BTreeMap<Key, Scheduled>,
    /// Where the going off of each hold stands, which may be forgotten.
    holds: BTreeMap<PartId, Key>,
    next_sequence: u64,
}

impl Agenda {
    pub(super) fn schedule(&mut self, tick: Tick, priority: i8, part: PartId, task: Task) {
        let key = Key {
            tick,
            priority,
            sequence: self.next_sequence,
        };
        self.next_sequence += 1;
        self.events.insert(key, Scheduled { part, task });
        if task == Task::HoldOff {
            self.holds.insert(part, key);
        }
    }

    /// Schedules a clock's change: among those of one tick, in the order of declaration.
    pub(super) fn schedule_clock(&mut self, tick: Tick, part: PartId) {
        let sequence = part.index() as u64;
        let key = Key {
            tick,
            priority: CLOCK_PRIORITY,
            sequence,
        };
        self.events.insert(
            key,
            Scheduled {
                part,
                task: Task::Clock,
            },
        );
    }

    /// Forgets a hold's going off, if it is scheduled; says whether it was.
    pub(super) fn forget_hold(&mut self, hold: PartId) -> bool {
        self.holds
            .remove(&hold)
            .is_some_and(|key| self.events.remove(&key).is_some())
    }

    pub(super) fn take_due(&mut self, now: Tick) -> Option<Scheduled> {
        let first = self.events.first_entry()?;
        if first.key().tick > now {
            return None;
        }
        let scheduled = first.remove();
        if scheduled.task == Task::HoldOff {
            self.holds.remove(&scheduled.part);
        }
        Some(scheduled)
    }

    pub(super) fn next_due(&self) -> Option<Tick> {
        self.events.first_key_value().map(|(key, _)| key.tick)
    }

    /// Every scheduled event, in order.
    pub(super) fn iter(&self) -> impl Iterator<Item = (&Key, &Scheduled)> {
        self.events.iter()
    }
}
