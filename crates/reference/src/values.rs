//! Section 3: what each signal reads, and the value that its inputs give.

use hallwright_core::id::PartId;
use hallwright_core::part::{ComparatorMode, Part, Rear, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;

/// The signals that a part reads, a repeater's lock included. What an observer watches is none.
pub(crate) fn inputs_of(signal: &Signal) -> Vec<PartId> {
    match signal {
        Signal::Lever { .. }
        | Signal::Button { .. }
        | Signal::Observer { .. }
        | Signal::Clock { .. } => Vec::new(),
        Signal::Wire { inputs } => inputs.iter().map(|(input, _)| *input).collect(),
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => inputs.clone(),
        Signal::Inverter { input }
        | Signal::Hold { input, .. }
        | Signal::Toggle { input }
        | Signal::DelayLine { input, .. } => vec![*input],
        Signal::Repeater { input, lock, .. } => {
            let mut inputs = vec![*input];
            inputs.extend(*lock);
            inputs
        }
        Signal::Latch { set, reset } => vec![*set, *reset],
        Signal::Comparator { rear, side, .. } => {
            let mut inputs = Vec::new();
            if let Rear::Signal(signal) = rear {
                inputs.push(*signal);
            }
            inputs.extend(*side);
            inputs
        }
    }
}

/// The level of "on" or "off".
fn on_or_off(is_on: bool) -> u8 {
    if is_on { 15 } else { 0 }
}

impl ReferenceEngine {
    /// What a part is as a signal.
    ///
    /// # Panics
    ///
    /// If the part is no signal.
    pub(crate) fn signal_part(&self, signal: PartId) -> Signal {
        let Part::Signal(part) = self.network.part(signal) else {
            panic!("{signal} is no signal");
        };
        part.clone()
    }

    pub(crate) fn is_on(&self, signal: PartId) -> bool {
        self.level(signal) > 0
    }

    /// The signals that read this one, in the order of declaration.
    pub(crate) fn readers_of(&self, signal: PartId) -> Vec<PartId> {
        self.parts_where(
            |part| matches!(part, Part::Signal(reader) if inputs_of(reader).contains(&signal)),
        )
    }

    /// The level that a part's inputs give it now. A part without inputs keeps its own.
    pub(crate) fn value_given(&self, part: PartId) -> u8 {
        match self.signal_part(part) {
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Observer { .. }
            | Signal::Toggle { .. } => self.own_level(part),
            Signal::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            } => self.clock_value(part, period_ticks, high_ticks, phase_ticks),
            Signal::Wire { inputs } => self.wire_value(&inputs),
            Signal::Repeater { input, .. } | Signal::Hold { input, .. } => {
                on_or_off(self.is_on(input))
            }
            Signal::DelayLine { input, .. } => self.level(input),
            Signal::Inverter { input } => on_or_off(!self.is_on(input)),
            Signal::Comparator { rear, side, mode } => {
                let rear = self.rear_value(rear);
                let side = side.map_or(0, |side| self.level(side));
                self.comparator_value(rear, side, mode)
            }
            Signal::Latch { set, reset } => self.latch_value(part, set, reset),
            Signal::AllOf { inputs } => {
                let mut inputs = inputs.iter();
                on_or_off(if self.breaks(Fault::AllOfIsAnyOf) {
                    inputs.any(|input| self.is_on(*input))
                } else {
                    inputs.all(|input| self.is_on(*input))
                })
            }
            Signal::NoneOf { inputs } => {
                let mut inputs = inputs.iter();
                on_or_off(if self.breaks(Fault::NoneOfIsNotAllOf) {
                    inputs.any(|input| !self.is_on(*input))
                } else {
                    inputs.all(|input| !self.is_on(*input))
                })
            }
        }
    }

    fn clock_value(
        &self,
        clock: PartId,
        period_ticks: u32,
        high_ticks: u32,
        phase_ticks: i64,
    ) -> u8 {
        // Its phase waits while it sleeps.
        let slept_ticks = if self.breaks(Fault::SleepingClockRunsOn) {
            0
        } else {
            self.world.slept_ticks[clock.index()]
        };
        let now = i128::from(self.world.tick) - i128::from(slept_ticks);
        let since_phase = if self.breaks(Fault::ClockPhaseReversed) {
            now + i128::from(phase_ticks)
        } else {
            now - i128::from(phase_ticks)
        };
        on_or_off(since_phase.rem_euclid(i128::from(period_ticks)) < i128::from(high_ticks))
    }

    /// The highest of the inputs, each less its loss.
    fn wire_value(&self, inputs: &[(PartId, u8)]) -> u8 {
        let mut values = inputs.iter().map(|(input, loss)| {
            let loss = if self.breaks(Fault::WireWithoutLoss) {
                0
            } else {
                *loss
            };
            self.level(*input).saturating_sub(loss)
        });
        if self.breaks(Fault::WireTakesFirstInput) {
            return values.next().unwrap_or(0);
        }
        values.max().unwrap_or(0)
    }

    fn rear_value(&self, rear: Rear) -> u8 {
        match rear {
            Rear::Signal(signal) => self.level(signal),
            Rear::Inventory(read)
                if self.is_shut(read) && self.breaks(Fault::SleepersReadAsEmpty) =>
            {
                0
            }
            Rear::Inventory(read) => self
                .inventory(read)
                .map_or(0, |inventory| inventory.fill_level(&self.book)),
        }
    }

    fn comparator_value(&self, rear: u8, side: u8, mode: ComparatorMode) -> u8 {
        match mode {
            ComparatorMode::Compare if self.breaks(Fault::CompareWantsMore) && rear == side => 0,
            ComparatorMode::Compare if rear >= side => rear,
            ComparatorMode::Compare => 0,
            ComparatorMode::Subtract if self.breaks(Fault::SubtractIsDifference) => {
                rear.abs_diff(side)
            }
            ComparatorMode::Subtract => rear.saturating_sub(side),
        }
    }

    /// On from set to reset; reset wins.
    fn latch_value(&self, latch: PartId, set: PartId, reset: PartId) -> u8 {
        if self.breaks(Fault::LatchSetWins) && self.is_on(set) {
            return 15;
        }
        if self.is_on(reset) {
            return 0;
        }
        if self.is_on(set) {
            return 15;
        }
        if self.breaks(Fault::LatchKeepsNothing) {
            return 0;
        }
        self.own_level(latch)
    }
}
