//! Section 9: sleep and reopening.

use std::sync::Arc;

use hallwright_core::id::PartId;
use hallwright_core::order::Orders;
use hallwright_core::part::{Part, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::world::{PartState, PendingEvent, Rank, Whereabouts};

impl ReferenceEngine {
    /// Whether time stands still for a part.
    pub(crate) fn is_asleep(&self, part: PartId) -> bool {
        self.world.tick < self.world.awake_at[part.index()]
    }

    /// Whether nothing goes into what stands at a part, or out of it: it sleeps, or it is a dock and the
    /// shuttle that is docked there does.
    pub(crate) fn is_shut(&self, part: PartId) -> bool {
        if !matches!(self.network.part(part), Part::Dock) {
            return self.is_asleep(part);
        }
        let docked = self.world.shuttle_at(&self.network, part);
        let shuttle_sleeps = docked.is_some_and(|shuttle| self.is_asleep(shuttle));
        (self.is_asleep(part) && !self.breaks(Fault::SleepingDockIsOpen))
            || (shuttle_sleeps && !self.breaks(Fault::SleepingShuttleIsOpen))
    }

    /// Parts sleep from now on; they are awake again from the start of the tick so much later.
    pub(crate) fn put_to_sleep(&mut self, parts: &[PartId], sleep_ticks: u32) {
        let longer = u64::from(self.breaks(Fault::SleepOneTickLong));
        let ticks = u64::from(sleep_ticks) + longer;
        for part in parts {
            self.world.awake_at[part.index()] = self.world.tick + ticks;
            self.world.slept_ticks[part.index()] += ticks;
            self.put_off_events(*part, ticks);
            self.put_off_stacks(*part, ticks);
            self.put_off_times(*part, ticks);
            if self.breaks(Fault::ShuttleWaitsForDock) {
                self.put_off_shuttles(*part, ticks);
            }
            if self.breaks(Fault::SleepingSignalsAreOff)
                && let PartState::Signal(level) = &mut self.world.parts[part.index()]
            {
                *level = 0;
            }
        }
    }

    /// What a part has scheduled comes so much later, in the same rank and the old order.
    fn put_off_events(&mut self, part: PartId, ticks: u64) {
        let awake_at = self.world.awake_at[part.index()];
        let loses_rank = self.breaks(Fault::SleepersEventsAreLast);
        let mut put_off: Vec<PendingEvent> = Vec::new();
        for event in &mut self.world.pending {
            if event.part != part {
                continue;
            }
            if self.book.breaks(Fault::SleepersEventsComeAtWaking) {
                event.due = event.due.max(awake_at);
            } else if !self.book.breaks(Fault::SleepersEventsComeOnTime) {
                event.due += ticks;
            }
            if loses_rank {
                event.rank = Rank::Last;
            }
            put_off.push(*event);
        }
        if self.breaks(Fault::SleepersEventsAreScheduledAnew) {
            self.world.pending.retain(|event| event.part != part);
            self.world.pending.extend(put_off);
        }
    }

    /// Stacks on a stream travel on when it wakes. A stack is on its stream until phase 3 of the tick in
    /// which it reaches the mouth.
    fn put_off_stacks(&mut self, stream: PartId, ticks: u64) {
        if self.breaks(Fault::SleepingStreamFlows) {
            return;
        }
        let now = self.world.tick;
        let leaves_early = self.breaks(Fault::StreamIsLeftEarly);
        let is_stream = matches!(self.network.part(stream), Part::Stream(_));
        for stack in &mut self.world.loose {
            let is_there = if leaves_early {
                stack.arrives > now
            } else {
                stack.arrives >= now
            };
            if is_stream && stack.place == stream && is_there && !stack.at_rest {
                stack.arrives += ticks;
            }
        }
    }

    /// Ready times of a selector, travel and docked time of a shuttle wait. (The others are counted tick
    /// by tick.)
    fn put_off_times(&mut self, part: PartId, ticks: u64) {
        let gets_ready = self.breaks(Fault::SleepingSelectorGetsReady);
        let forgets_interval = self.breaks(Fault::SleepingSelectorForgetsInterval);
        let travels = self.breaks(Fault::SleepingShuttleTravels);
        let dwells = self.breaks(Fault::SleepingShuttleDwells);
        match &mut self.world.parts[part.index()] {
            PartState::Selector(selector) => {
                for queued in selector.queue.iter_mut().filter(|_| !gets_ready) {
                    queued.ready += ticks;
                }
                for ready in selector.last_ready.iter_mut().filter(|_| !forgets_interval) {
                    *ready += ticks;
                }
            }
            PartState::Shuttle(shuttle) => match &mut shuttle.whereabouts {
                Whereabouts::Docked { since } if !dwells => *since += ticks,
                Whereabouts::UnderWay { arrives } if !travels => *arrives += ticks,
                Whereabouts::Docked { .. } | Whereabouts::UnderWay { .. } => {}
            },
            PartState::Open | PartState::Dock | PartState::Container(_) => {}
            PartState::Hopper(_) | PartState::Dropper(_) | PartState::Bench(_) => {}
            PartState::Signal(_) => {}
        }
    }

    /// The tick in which a stack that comes loose on a stream now is put on it: when that wakes, if it
    /// sleeps.
    pub(crate) fn sets_out(&self, stream: PartId) -> u64 {
        if self.breaks(Fault::SleepingStreamFlows) || self.breaks(Fault::SetsOutWhileAsleep) {
            return self.world.tick;
        }
        self.world.tick.max(self.world.awake_at[stream.index()])
    }

    /// Whether a loose stack is where it sleeps: on its stream until phase 3 of the tick in which it
    /// reaches the mouth, from that phase on at the mouth.
    pub(crate) fn lies_asleep(&self, number: u64) -> bool {
        let Some(stack) = self.world.stack(number) else {
            return false;
        };
        let has_rested = stack.at_rest || stack.place == stack.mouth;
        let is_at_mouth = if self.breaks(Fault::StreamIsLeftAtRest) {
            has_rested
        } else {
            has_rested || self.world.tick >= stack.arrives
        };
        self.is_asleep(if is_at_mouth {
            stack.mouth
        } else {
            stack.place
        })
    }

    /// From this tick on other orders hold, and the last turn of every hopper and selector is forgotten.
    pub(crate) fn reopen(&mut self, orders: &Orders) {
        if !self.breaks(Fault::ReopeningKeepsUpdateOrder) {
            self.set_update_order(orders);
        }
        if !self.breaks(Fault::ReopeningKeepsSignalOrder) {
            self.set_signal_order(orders);
        }
        if self.breaks(Fault::ReopeningReversesEvents) {
            self.world.pending.reverse();
        }
        if self.breaks(Fault::ReopeningKeepsLastTurns) {
            return;
        }
        for part in self.network.part_ids() {
            let is_spared = self.is_asleep(part) && self.breaks(Fault::ReopeningSparesSleepers);
            match &mut self.world.parts[part.index()] {
                PartState::Hopper(hopper) if !is_spared => hopper.last_turn = -1,
                PartState::Selector(selector) if !is_spared => selector.last_turn = -1,
                PartState::Hopper(_) | PartState::Selector(_) => {}
                PartState::Open | PartState::Dock | PartState::Container(_) => {}
                PartState::Dropper(_) | PartState::Bench(_) => {}
                PartState::Shuttle(_) | PartState::Signal(_) => {}
            }
        }
    }
}

/// What broken rules do with sleepers.
impl ReferenceEngine {
    /// In place of the turn of a sleeping hopper or selector.
    pub(crate) fn sleep_through_turn(&mut self, part: PartId) {
        let now = self.world.tick.cast_signed();
        let counts_down = self.breaks(Fault::SleepingHopperCountsDown);
        let has_turn = self.breaks(Fault::SleepersLastTurnRunsOn);
        match &mut self.world.parts[part.index()] {
            PartState::Hopper(hopper) => {
                if counts_down {
                    hopper.cooldown = hopper.cooldown.saturating_sub(1);
                }
                if has_turn {
                    hopper.last_turn = now;
                }
            }
            PartState::Selector(selector) if has_turn => selector.last_turn = now,
            PartState::Selector(_) | PartState::Open | PartState::Dock => {}
            PartState::Container(_) | PartState::Dropper(_) | PartState::Bench(_) => {}
            PartState::Shuttle(_) | PartState::Signal(_) => {}
        }
        let is_hopper = matches!(self.network.part(part), Part::Hopper(_));
        if is_hopper && self.breaks(Fault::CostOfSleepingHopper) {
            self.add_work(part, self.cost_of_idling());
        }
        if is_hopper && self.breaks(Fault::SleepingHopperActs) {
            self.hopper_turn(part);
        }
        if !is_hopper && self.breaks(Fault::SleepingSelectorActs) {
            self.selector_turn(part);
        }
    }

    /// The times of the shuttles that are at a dock, or on the way to it.
    fn put_off_shuttles(&mut self, dock: PartId, ticks: u64) {
        let network = Arc::clone(&self.network);
        for (part, definition) in network.parts() {
            let Part::Shuttle(shuttle) = definition else {
                continue;
            };
            if shuttle.stops[self.world.shuttle(part).stop].dock == dock {
                self.put_off_times(part, ticks);
            }
        }
    }

    /// In place of the look at a sleeping bench.
    pub(crate) fn sleep_through_look(&mut self, bench: PartId) {
        if self.breaks(Fault::SleepingBenchLifts) {
            self.look_at_bench(bench);
        } else if self.breaks(Fault::SleepingBenchCounts) {
            let lift = self.bench_part(bench).lift;
            let standing = self.world.bench(bench).standing.as_ref();
            let holds = standing.is_some_and(|box_| self.lift_condition_holds(lift, box_));
            self.world.bench_mut(bench).held_ticks += u64::from(holds);
        }
    }

    /// In place of the turn of a loose stack that lies where it sleeps.
    pub(crate) fn sleep_through_stack_turn(&mut self, number: u64) {
        if self.breaks(Fault::AgesAsleep)
            && self.grow_older(number) >= self.book.rules.despawn_ticks
        {
            self.lose(number);
            return;
        }
        if self.breaks(Fault::RestsAsleep) && self.come_to_rest(number) && self.merge(number) {
            return;
        }
        if self.breaks(Fault::OfferedAsleep) {
            self.offer(number);
        }
    }

    /// At the start of a tick: what wakes looks again, which it ought not.
    pub(crate) fn wake(&mut self) {
        if !self.breaks(Fault::WakersLookAgain) {
            return;
        }
        for part in self.in_signal_order(|part| matches!(part, Part::Signal(_))) {
            if self.world.tick > 0 && self.world.awake_at[part.index()] == self.world.tick {
                match self.signal_part(part) {
                    Signal::Wire { .. } => self.set_level(part, self.value_given(part)),
                    Signal::Repeater { .. }
                    | Signal::Comparator { .. }
                    | Signal::Inverter { .. }
                    | Signal::Latch { .. }
                    | Signal::AllOf { .. }
                    | Signal::NoneOf { .. } => self.look(part),
                    Signal::Lever { .. } | Signal::Button { .. } | Signal::Observer { .. } => {}
                    Signal::Hold { .. } | Signal::Toggle { .. } | Signal::Clock { .. } => {}
                    Signal::DelayLine { .. } => {}
                }
            }
        }
    }
}
