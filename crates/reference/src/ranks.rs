//! Section 3: in which rank an event comes.

use hallwright_core::id::PartId;
use hallwright_core::part::{Rear, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::values::inputs_of;
use crate::world::Rank;

impl ReferenceEngine {
    /// Of an event that a part schedules now.
    pub(crate) fn rank_of(&self, part: PartId) -> Rank {
        match self.signal_part(part) {
            Signal::Repeater { .. } => self.rank_of_repeater(part),
            Signal::Comparator { .. } => self.rank_of_comparator(part),
            Signal::DelayLine { .. } => self.rank_of_delay_line(),
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Wire { .. }
            | Signal::Inverter { .. }
            | Signal::Observer { .. }
            | Signal::Hold { .. }
            | Signal::Latch { .. }
            | Signal::Toggle { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. }
            | Signal::Clock { .. } => Rank::Last,
        }
    }

    fn rank_of_repeater(&self, repeater: PartId) -> Rank {
        if self.feeds(repeater) && !self.breaks(Fault::FeedingRepeaterIsNoFirst) {
            return Rank::First;
        }
        // It is to turn off if it is on now.
        if self.is_on_itself(repeater) && !self.breaks(Fault::RepeaterOffIsThird) {
            Rank::Second
        } else {
            Rank::Third
        }
    }

    /// Of the turning off that a repeater schedules after a short pulse, whatever it feeds.
    pub(crate) fn rank_of_short_pulse(&self, repeater: PartId) -> Rank {
        if self.breaks(Fault::ShortPulseEndsByFeeding) && self.feeds(repeater) {
            return Rank::First;
        }
        if self.breaks(Fault::ShortPulseEndsThird) {
            return Rank::Third;
        }
        Rank::Second
    }

    fn rank_of_comparator(&self, comparator: PartId) -> Rank {
        let feeds = self.feeds(comparator) && !self.breaks(Fault::FeedingComparatorIsLast);
        if feeds || self.breaks(Fault::ComparatorIsThird) {
            Rank::Third
        } else {
            Rank::Last
        }
    }

    pub(crate) fn rank_of_delay_line(&self) -> Rank {
        if self.breaks(Fault::DelayLineIsLast) {
            Rank::Last
        } else {
            Rank::Third
        }
    }

    pub(crate) fn rank_of_firing(&self) -> Rank {
        if self.breaks(Fault::FiringIsThird) {
            Rank::Third
        } else {
            Rank::Last
        }
    }

    /// Whether a repeater or comparator reads the signal of a part itself, not through a wire.
    fn feeds(&self, part: PartId) -> bool {
        self.network
            .part_ids()
            .any(|reader| self.is_fed_by(reader, part))
    }

    fn is_fed_by(&self, reader: PartId, part: PartId) -> bool {
        match self.network.signal(reader) {
            Some(Signal::Repeater { input, lock, .. }) => {
                let by_lock = *lock == Some(part) && !self.breaks(Fault::LocksAreNotFed);
                let by_input = *input == part && !self.breaks(Fault::RepeatersAreNotFed);
                by_input || by_lock
            }
            Some(Signal::Comparator { rear, side, .. }) => {
                let by_rear = *rear == Rear::Signal(part) && !self.breaks(Fault::RearsAreNotFed);
                let by_side = *side == Some(part) && !self.breaks(Fault::SidesAreNotFed);
                by_rear || by_side
            }
            Some(wire @ Signal::Wire { .. }) if self.breaks(Fault::FedThroughWires) => {
                inputs_of(wire).contains(&part) && self.feeds(reader)
            }
            Some(other) if self.breaks(Fault::EverythingIsFed) => inputs_of(other).contains(&part),
            _ => false,
        }
    }
}
