//! Signal events that are scheduled, in the order in which they will come.

use std::collections::{BTreeMap, VecDeque};

use crate::id::PartId;
use crate::tick::Tick;

/// Before every other event of its tick.
pub(in crate::engine) const CLOCK_PRIORITY: i8 = i8::MIN;
/// A repeater's turning off.
pub(in crate::engine) const REPEATER_OFF_PRIORITY: i8 = -2;
/// A repeater's turning on; a delay line.
pub(in crate::engine) const EARLY_PRIORITY: i8 = -1;
/// Everything else.
pub(in crate::engine) const PRIORITY: i8 = 0;

/// What a scheduled event does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(in crate::engine) enum Task {
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
pub(in crate::engine) struct Scheduled {
    pub(in crate::engine) part: PartId,
    pub(in crate::engine) task: Task,
}

/// Where an event that lies far ahead stands in the order: by tick, then priority, then the order of
/// scheduling.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
struct Key {
    tick: Tick,
    priority: i8,
    sequence: u64,
}

/// How many ticks are near.
const NEAR_TICKS: usize = 16;
const _: () = assert!(
    NEAR_TICKS * PRIORITIES.len() == 64,
    "each queue has a bit that says whether it is empty"
);

/// All scheduled events: those of the next 16 ticks in a queue for each tick and priority, those
/// further ahead sorted.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub(in crate::engine) struct Agenda {
    /// The tick that is under way; between two ticks, the next one.
    now: Tick,
    near: [Due; NEAR_TICKS],
    /// A bit for each near tick and priority: whether anything is scheduled.
    busy: u64,
    far: BTreeMap<Key, Scheduled>,
    /// Where the going off of each hold stands, which may be forgotten.
    holds: BTreeMap<PartId, Key>,
    next_sequence: u64,
}

/// What is due in one tick, for each priority in the order of scheduling.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
struct Due([VecDeque<Scheduled>; PRIORITIES.len()]);

/// Every priority, first things first.
const PRIORITIES: [i8; 4] = [
    CLOCK_PRIORITY,
    REPEATER_OFF_PRIORITY,
    EARLY_PRIORITY,
    PRIORITY,
];

fn place_of(priority: i8) -> usize {
    match priority {
        CLOCK_PRIORITY => 0,
        REPEATER_OFF_PRIORITY => 1,
        EARLY_PRIORITY => 2,
        _ => 3,
    }
}

fn place_of_tick(tick: Tick) -> usize {
    tick.0 as usize % NEAR_TICKS
}

impl Agenda {
    pub(in crate::engine) fn schedule(
        &mut self,
        tick: Tick,
        priority: i8,
        part: PartId,
        task: Task,
    ) {
        let key = Key {
            tick,
            priority,
            sequence: self.next_sequence,
        };
        let scheduled = Scheduled { part, task };
        if self.is_near(tick) {
            self.near_queue(tick, priority).push_back(scheduled);
        } else {
            self.next_sequence += 1;
            self.far.insert(key, scheduled);
        }
        if task == Task::HoldOff {
            self.holds.insert(part, key);
        }
    }

    /// Schedules a clock's change: among those of one tick, in the order of declaration.
    pub(in crate::engine) fn schedule_clock(&mut self, tick: Tick, part: PartId) {
        let scheduled = Scheduled {
            part,
            task: Task::Clock,
        };
        if self.is_near(tick) {
            let queue = self.near_queue(tick, CLOCK_PRIORITY);
            let place = queue.partition_point(|other| other.part < part);
            queue.insert(place, scheduled);
        } else {
            let key = Key {
                tick,
                priority: CLOCK_PRIORITY,
                sequence: part.index() as u64,
            };
            self.far.insert(key, scheduled);
        }
    }

    fn is_near(&self, tick: Tick) -> bool {
        tick - self.now < NEAR_TICKS as u64
    }

    /// The queue of a near tick, into which something will be put.
    fn near_queue(&mut self, tick: Tick, priority: i8) -> &mut VecDeque<Scheduled> {
        let (tick, queue) = (place_of_tick(tick), place_of(priority));
        self.busy |= 1 << (tick * PRIORITIES.len() + queue);
        &mut self.near[tick].0[queue]
    }

    /// Forgets a hold's going off, if it is scheduled; says whether it was.
    pub(in crate::engine) fn forget_hold(&mut self, hold: PartId) -> bool {
        let Some(key) = self.holds.remove(&hold) else {
            return false;
        };
        if !self.is_near(key.tick) {
            return self.far.remove(&key).is_some();
        }
        let (tick, place) = (place_of_tick(key.tick), place_of(key.priority));
        let queue = &mut self.near[tick].0[place];
        let forgotten = Scheduled {
            part: hold,
            task: Task::HoldOff,
        };
        let found = queue.iter().position(|scheduled| *scheduled == forgotten);
        let was_scheduled = found.and_then(|place| queue.remove(place)).is_some();
        if queue.is_empty() {
            self.busy &= !(1 << (tick * PRIORITIES.len() + place));
        }
        was_scheduled
    }

    /// Takes out the first event that is due in the tick under way.
    #[inline]
    pub(in crate::engine) fn take_due(&mut self) -> Option<Scheduled> {
        let tick = place_of_tick(self.now);
        let busy = self.busy >> (tick * PRIORITIES.len()) & ((1 << PRIORITIES.len()) - 1);
        if busy == 0 {
            return None;
        }
        let place = busy.trailing_zeros() as usize;
        let queue = &mut self.near[tick].0[place];
        let scheduled = queue.pop_front()?;
        if queue.is_empty() {
            self.busy &= !(1 << (tick * PRIORITIES.len() + place));
        }
        if scheduled.task == Task::HoldOff {
            self.forget_place_of(scheduled.part);
        }
        Some(scheduled)
    }

    #[cold]
    #[inline(never)]
    fn forget_place_of(&mut self, hold: PartId) {
        self.holds.remove(&hold);
    }

    /// The next tick is this one. What was due before must have been taken.
    #[inline]
    pub(in crate::engine) fn advance(&mut self, now: Tick) {
        debug_assert!(
            self.next_due().is_none_or(|due| due >= now),
            "an event would be missed"
        );
        self.now = now;
        if !self.far.is_empty() {
            self.bring_near();
        }
    }

    /// What comes into reach was scheduled before everything that will be put beside it.
    fn bring_near(&mut self) {
        while let Some(first) = self.far.first_entry() {
            let Key { tick, priority, .. } = *first.key();
            if tick - self.now >= NEAR_TICKS as u64 {
                break;
            }
            let scheduled = first.remove();
            self.near_queue(tick, priority).push_back(scheduled);
        }
    }

    pub(in crate::engine) fn next_due(&self) -> Option<Tick> {
        let bits_a_tick = PRIORITIES.len() as u32;
        let from_now = self
            .busy
            .rotate_right(place_of_tick(self.now) as u32 * bits_a_tick);
        if from_now != 0 {
            return Some(self.now + u64::from(from_now.trailing_zeros() / bits_a_tick));
        }
        self.far.first_key_value().map(|(key, _)| key.tick)
    }

    /// Every scheduled event with its tick and priority, in order.
    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = (Tick, i8, &Scheduled)> {
        let near = (0..NEAR_TICKS as u64).flat_map(|ahead| {
            let tick = self.now + ahead;
            let queues = PRIORITIES.iter().zip(&self.near[place_of_tick(tick)].0);
            queues.flat_map(move |(priority, queue)| {
                queue
                    .iter()
                    .map(move |scheduled| (tick, *priority, scheduled))
            })
        });
        let far = self.far.iter();
        near.chain(far.map(|(key, scheduled)| (key.tick, key.priority, scheduled)))
    }
}
