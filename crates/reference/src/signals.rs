//! Phase 2: the signal events of a tick.

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::world::{PendingEvent, Rank};

impl ReferenceEngine {
    /// Clocks first, then every event that is due.
    pub(crate) fn run_signals(&mut self) {
        if self.breaks(Fault::ClocksAfterOthers) {
            self.run_events();
            self.run_clocks();
        } else {
            self.run_clocks();
            self.run_events();
        }
    }

    fn run_clocks(&mut self) {
        let is_clock = |part: &Part| matches!(part, Part::Signal(Signal::Clock { .. }));
        let clocks = if self.breaks(Fault::ClocksByDeclaration) {
            self.parts_where(is_clock)
        } else {
            self.in_signal_order(is_clock)
        };
        for clock in clocks {
            if !self.is_asleep(clock) {
                self.set_level(clock, self.value_given(clock));
            }
        }
    }

    fn run_events(&mut self) {
        while let Some(index) = self.next_due_event() {
            // It stops being pending before the change that it makes runs on.
            let event = self.world.pending.remove(index);
            self.run_event(event);
        }
    }

    /// The first event due now: by rank, then by the order of scheduling.
    fn next_due_event(&self) -> Option<usize> {
        let mut due: Vec<usize> = (0..self.world.pending.len())
            .filter(|index| self.world.pending[*index].due <= self.world.tick)
            .collect();
        if self.breaks(Fault::RanksIgnored) {
            return due.first().copied();
        }
        if self.breaks(Fault::LastScheduledFirst) {
            due.reverse();
        }
        // Of several that are equal, this gives the first.
        due.into_iter()
            .min_by_key(|index| self.world.pending[*index].rank)
    }

    fn run_event(&mut self, event: PendingEvent) {
        let part = event.part;
        if let Part::Dropper(_) = self.network.part(part) {
            self.fire(part);
            return;
        }
        match self.signal_part(part) {
            Signal::Lever { .. } | Signal::Wire { .. } | Signal::Clock { .. } => {
                panic!("{part} schedules nothing")
            }
            Signal::Button { .. } | Signal::Hold { .. } => self.set_level(part, 0),
            Signal::Toggle { .. } => {
                let flipped = if self.is_on_itself(part) { 0 } else { 15 };
                self.set_level(part, flipped);
            }
            Signal::Observer { .. } => self.run_observer(part),
            Signal::DelayLine { .. } => self.set_level(part, event.level),
            Signal::Repeater {
                input,
                delay_ticks,
                lock,
            } => {
                if !self.is_held(lock) {
                    self.run_repeater(part, input, delay_ticks);
                }
            }
            Signal::Comparator { .. }
            | Signal::Inverter { .. }
            | Signal::Latch { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. } => {
                let level = if self.breaks(Fault::ValueKeptFromScheduling) {
                    event.level
                } else {
                    self.value_given(part)
                };
                self.set_level(part, level);
            }
        }
    }

    /// An observer's pulse rises and schedules its end, or ends.
    fn run_observer(&mut self, observer: PartId) {
        if self.is_on_itself(observer) {
            self.set_level(observer, 0);
        } else {
            let longer = u32::from(self.breaks(Fault::ObserverPulseOneLong));
            let pulse = self.book.rules.observer_pulse_ticks + longer;
            self.schedule_and_set(observer, pulse, Rank::Last, 15);
        }
    }

    /// A repeater that is off turns on in any case, and off again by itself, so that a short pulse
    /// comes out as long as the delay.
    fn run_repeater(&mut self, repeater: PartId, input: PartId, delay_ticks: u32) {
        let input_is_on = self.is_on(input);
        if self.is_on_itself(repeater) {
            if !input_is_on {
                self.set_level(repeater, 0);
            }
        } else if input_is_on {
            self.set_level(repeater, 15);
        } else if !self.breaks(Fault::RepeaterLosesShortPulse) {
            let rank = self.rank_of_short_pulse(repeater);
            self.schedule_and_set(repeater, delay_ticks, rank, 15);
        }
    }
}
