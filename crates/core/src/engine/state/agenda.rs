//! Signal events that are scheduled, in the order in which they will come.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::tick::Tick;

/// In which rank an event comes among those of its tick (tick rules, section 3).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[repr(u8)]
pub(in crate::engine) enum EventRank {
    First,
    Second,
    Third,
    Last,
}

/// Every rank, in order.
const RANKS: [EventRank; 4] = [
    EventRank::First,
    EventRank::Second,
    EventRank::Third,
    EventRank::Last,
];

/// What a scheduled event does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) enum Task {
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
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Scheduled {
    /// The place of a signal; of a dropper that fires the number of the part.
    pub(in crate::engine) number: u32,
    pub(in crate::engine) task: Task,
}

/// Where an event stands in the order: by tick, then rank, then the order of scheduling.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Key {
    tick: Tick,
    rank: EventRank,
    sequence: u64,
}

/// How many ticks are near.
const NEAR_TICKS: usize = 16;
const _: () = assert!(
    NEAR_TICKS * RANKS.len() == 64,
    "each queue has a bit that says whether it is empty"
);

/// All scheduled events: those of the next 16 ticks in a queue for each tick and rank, those
/// further ahead sorted.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Agenda {
    /// The tick that is under way; between two ticks, the next one.
    now: Tick,
    near: [Due; NEAR_TICKS],
    /// A bit for each near tick and rank: whether anything is scheduled, or has not been taken to the end.
    busy: u64,
    far: BTreeMap<Key, Scheduled>,
    /// Where the goings off of each hold stand, which may be forgotten. A hold that slept through a
    /// change can have several.
    holds: BTreeSet<(u32, Key)>,
    next_sequence: u64,
}

/// What is due in one tick, for each rank in the order of scheduling.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
struct Due([Queue; RANKS.len()]);

/// Events of one tick and rank. It is emptied when none is left to be taken.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
struct Queue {
    events: Vec<Queued>,
    /// How many of them have been taken.
    taken: usize,
}

/// An event with its number in the order of scheduling, which it keeps if it is put off.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
struct Queued {
    sequence: u64,
    scheduled: Scheduled,
}

fn place_of_tick(tick: Tick) -> usize {
    tick.0 as usize % NEAR_TICKS
}

impl Queue {
    fn ahead(&self) -> &[Queued] {
        &self.events[self.taken..]
    }
}

impl Agenda {
    /// Schedules an event so many ticks after the one under way.
    #[inline]
    pub(in crate::engine) fn schedule(
        &mut self,
        delay_ticks: u32,
        rank: EventRank,
        number: u32,
        task: Task,
    ) {
        let tick = self.now + u64::from(delay_ticks);
        let sequence = self.next_sequence;
        self.next_sequence += 1;
        let scheduled = Scheduled { number, task };
        if delay_ticks < NEAR_TICKS as u32 && task != Task::HoldOff {
            self.put_near(tick, rank, sequence, scheduled);
        } else {
            let key = Key {
                tick,
                rank,
                sequence,
            };
            self.put(key, scheduled);
        }
    }

    /// Puts an event into its place, behind all that were scheduled before it.
    #[inline(never)]
    fn put(&mut self, key: Key, scheduled: Scheduled) {
        if self.is_near(key.tick) {
            self.put_near(key.tick, key.rank, key.sequence, scheduled);
        } else {
            self.far.insert(key, scheduled);
        }
        if scheduled.task == Task::HoldOff {
            self.holds.insert((scheduled.number, key));
        }
    }

    #[inline]
    fn put_near(&mut self, tick: Tick, rank: EventRank, sequence: u64, scheduled: Scheduled) {
        let (tick, queue) = (place_of_tick(tick), rank as usize);
        self.busy |= 1 << (tick * RANKS.len() + queue);
        self.near[tick].0[queue].events.push(Queued {
            sequence,
            scheduled,
        });
    }

    fn is_near(&self, tick: Tick) -> bool {
        tick - self.now < NEAR_TICKS as u64
    }

    /// Forgets every going off of a hold that is scheduled; says how many were.
    pub(in crate::engine) fn forget_hold(&mut self, hold: u32) -> u32 {
        let mut forgotten = 0;
        while let Some(key) = self.take_first_off(hold) {
            self.remove(key);
            forgotten += 1;
        }
        forgotten
    }

    /// Forgets where the first going off of a hold stands, which has come or is forgotten.
    pub(in crate::engine) fn take_first_off(&mut self, hold: u32) -> Option<Key> {
        let first_of_all = Key {
            tick: Tick(0),
            rank: EventRank::First,
            sequence: 0,
        };
        let first = self.holds.range((hold, first_of_all)..).next();
        let first = *first.filter(|(of, _)| *of == hold)?;
        self.holds.remove(&first);
        Some(first.1)
    }

    fn remove(&mut self, key: Key) {
        if !self.is_near(key.tick) {
            self.far.remove(&key);
            return;
        }
        let (tick, place) = (place_of_tick(key.tick), key.rank as usize);
        let queue = &mut self.near[tick].0[place];
        queue
            .events
            .retain(|queued| queued.sequence != key.sequence);
        if queue.ahead().is_empty() {
            *queue = Queue::default();
            self.busy &= !(1 << (tick * RANKS.len() + place));
        }
    }

    /// The first rank of which anything is due in the tick under way. No delay is 0: once taking out has begun, nothing
    /// comes before or behind what is there.
    #[inline]
    pub(in crate::engine) fn rank_due(&self) -> Option<EventRank> {
        let first = self.busy_ranks(self.now).trailing_zeros();
        RANKS.get(first as usize).copied()
    }

    /// Takes out the first event of a rank that is due in the tick under way. To be called until there is none.
    #[inline]
    pub(in crate::engine) fn take_due(&mut self, rank: EventRank) -> Option<Scheduled> {
        let tick = place_of_tick(self.now);
        let queue = &mut self.near[tick].0[rank as usize];
        if let Some(next) = queue.events.get(queue.taken) {
            queue.taken += 1;
            return Some(next.scheduled);
        }
        queue.events.clear();
        queue.taken = 0;
        self.busy &= !(1 << (tick * RANKS.len() + rank as usize));
        None
    }

    /// Puts off these events by so many ticks, before any of the tick under way is taken. Each keeps its rank, and
    /// its place in the order of scheduling.
    pub(in crate::engine) fn put_off(
        &mut self,
        is_put_off: impl Fn(Scheduled) -> bool,
        ticks: u64,
    ) {
        let mut all = std::mem::take(&mut self.far);
        for ahead in 0..NEAR_TICKS as u64 {
            let tick = self.now + ahead;
            for (rank, queue) in RANKS.into_iter().zip(&mut self.near[place_of_tick(tick)].0) {
                all.extend(queue.events.drain(..).map(|queued| {
                    let sequence = queued.sequence;
                    let key = Key {
                        tick,
                        rank,
                        sequence,
                    };
                    (key, queued.scheduled)
                }));
            }
        }
        self.busy = 0;
        self.holds.clear();
        let moved = all.into_iter().map(|(mut key, scheduled)| {
            if is_put_off(scheduled) {
                key.tick = key.tick + ticks;
            }
            (key, scheduled)
        });
        // In order again, so that each queue is in the order of scheduling.
        for (key, scheduled) in moved.collect::<BTreeMap<_, _>>() {
            self.put(key, scheduled);
        }
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
            let key = *first.key();
            if key.tick - self.now >= NEAR_TICKS as u64 {
                break;
            }
            let scheduled = first.remove();
            self.put_near(key.tick, key.rank, key.sequence, scheduled);
        }
    }

    pub(in crate::engine) fn next_due(&self) -> Option<Tick> {
        let bits_a_tick = RANKS.len() as u32;
        let from_now = self
            .busy
            .rotate_right(place_of_tick(self.now) as u32 * bits_a_tick);
        if from_now != 0 {
            return Some(self.now + u64::from(from_now.trailing_zeros() / bits_a_tick));
        }
        self.far.first_key_value().map(|(key, _)| key.tick)
    }

    /// A bit for each rank in which anything is due in a near tick.
    fn busy_ranks(&self, tick: Tick) -> u64 {
        self.busy >> (place_of_tick(tick) * RANKS.len()) & ((1 << RANKS.len()) - 1)
    }

    /// Every scheduled event with its tick and rank, in order.
    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = (Tick, EventRank, &Scheduled)> {
        let ticks = (0..NEAR_TICKS as u64).map(|ahead| self.now + ahead);
        // In most ticks nothing is due.
        let near = ticks
            .filter(|tick| self.busy_ranks(*tick) != 0)
            .flat_map(|tick| {
                let queues = RANKS.iter().zip(&self.near[place_of_tick(tick)].0);
                queues.flat_map(move |(rank, queue)| {
                    let ahead = queue.ahead().iter();
                    ahead.map(move |queued| (tick, *rank, &queued.scheduled))
                })
            });
        let far = self.far.iter();
        near.chain(far.map(|(key, scheduled)| (key.tick, key.rank, scheduled)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whose events are due from this tick on, in order.
    fn due(agenda: &Agenda) -> Vec<(u64, u32)> {
        let events = agenda.iter();
        events
            .map(|(tick, _, scheduled)| (tick.0, scheduled.number))
            .collect()
    }

    /// Whose events are taken in the tick under way, in order.
    fn taken(agenda: &mut Agenda) -> Vec<u32> {
        let mut taken = Vec::new();
        while let Some(rank) = agenda.rank_due() {
            let of_rank = std::iter::from_fn(|| agenda.take_due(rank));
            taken.extend(of_rank.map(|due| due.number));
        }
        taken
    }

    #[test]
    fn events_come_by_tick_then_rank_then_the_order_of_scheduling() {
        let mut agenda = Agenda::default();
        let (first, last) = (EventRank::First, EventRank::Last);
        for ((tick, rank), number) in [(20, last), (3, last), (3, last), (3, first), (20, first)]
            .into_iter()
            .zip(0..)
        {
            agenda.schedule(tick, rank, number, Task::Evaluate);
        }
        let all = [(3, 3), (3, 1), (3, 2), (20, 4), (20, 0)];
        assert_eq!(due(&agenda), all);
        agenda.advance(Tick(3));
        assert_eq!(taken(&mut agenda), [3, 1, 2]);
    }

    #[test]
    fn what_is_put_off_keeps_its_place_in_the_order_of_scheduling() {
        let mut agenda = Agenda::default();
        for (tick, number) in [3, 40, 9, 6, 30].into_iter().zip(0..) {
            agenda.schedule(tick, EventRank::Last, number, Task::Evaluate);
        }
        // Within reach and beyond it; part 2 keeps its tick.
        agenda.put_off(|put_off| [0, 3].contains(&put_off.number), 6);
        assert_eq!(due(&agenda), [(9, 0), (9, 2), (12, 3), (30, 4), (40, 1)]);
        agenda.put_off(|put_off| put_off.number == 3, 28);
        assert_eq!(due(&agenda), [(9, 0), (9, 2), (30, 4), (40, 1), (40, 3)]);
        agenda.put_off(|put_off| put_off.number == 1, 2);
        agenda.advance(Tick(9));
        agenda.schedule(0, EventRank::Last, 7, Task::Evaluate);
        assert_eq!(taken(&mut agenda), [0, 2, 7]);
        assert_eq!(agenda.next_due(), Some(Tick(30)));
    }

    #[test]
    fn every_going_off_of_a_hold_can_be_forgotten() {
        let mut agenda = Agenda::default();
        for (number, tick) in [(1, 3), (2, 3), (1, 50), (1, 4)] {
            agenda.schedule(tick, EventRank::Last, number, Task::HoldOff);
        }
        agenda.put_off(|put_off| put_off.number == 1, 1);
        assert_eq!(due(&agenda), [(3, 2), (4, 1), (5, 1), (51, 1)]);
        assert_eq!(agenda.forget_hold(1), 3);
        assert_eq!(agenda.forget_hold(1), 0);
        assert_eq!(due(&agenda), [(3, 2)]);
        agenda.advance(Tick(3));
        assert_eq!(taken(&mut agenda), [2]);
        assert!(agenda.take_first_off(2).is_some());
        assert_eq!((agenda.forget_hold(2), agenda.next_due()), (0, None));
    }
}
