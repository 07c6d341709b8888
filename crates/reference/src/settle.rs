//! Section 3: how the signals settle before tick 0. It makes no events and no edges.

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::values::inputs_of;

impl ReferenceEngine {
    /// Gives every signal its level before tick 0, then lets loop members schedule their events.
    pub(crate) fn settle(&mut self) {
        self.settle_levels();
        self.schedule_loop_members();
        if self.breaks(Fault::TriggerOnAtStartFires) {
            for dropper in self.parts_where(|part| matches!(part, Part::Dropper(_))) {
                let trigger = self.dropper_part(dropper).trigger;
                if trigger.is_some_and(|trigger| self.is_on(trigger)) {
                    self.schedule_firing(dropper);
                }
            }
        }
    }

    /// Inputs first: again and again, every part all of whose inputs have settled.
    fn settle_levels(&mut self) {
        let mut unsettled = self.parts_where(|part| matches!(part, Part::Signal(_)));
        while !unsettled.is_empty() {
            let ready: Vec<PartId> = unsettled
                .iter()
                .copied()
                .filter(|part| self.can_settle(*part, &unsettled))
                .collect();
            assert!(!ready.is_empty(), "a loop without delay: {unsettled:?}");
            for part in &ready {
                *self.world.level_mut(*part) = self.settled_level(*part);
            }
            unsettled.retain(|part| !ready.contains(part));
        }
    }

    fn can_settle(&self, part: PartId, unsettled: &[PartId]) -> bool {
        self.starts_at_zero(part)
            || inputs_of(&self.signal_part(part))
                .iter()
                .all(|input| !unsettled.contains(input))
    }

    fn settled_level(&self, part: PartId) -> u8 {
        if let Signal::Lever { starts_on: true } = self.signal_part(part) {
            return 15;
        }
        if let Signal::Repeater { lock, .. } = self.signal_part(part)
            && self.breaks(Fault::LockedRepeaterSettlesAtZero)
            && self.is_held(lock)
        {
            return 0;
        }
        if self.starts_at_zero(part) {
            0
        } else {
            self.value_given(part)
        }
    }

    /// Delayed parts on a loop start at 0, toggles and observers anywhere.
    fn starts_at_zero(&self, part: PartId) -> bool {
        match self.signal_part(part) {
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Clock { .. }
            | Signal::Wire { .. }
            | Signal::Hold { .. } => false,
            Signal::Toggle { .. } | Signal::Observer { .. } => true,
            Signal::Repeater { .. }
            | Signal::Comparator { .. }
            | Signal::Inverter { .. }
            | Signal::Latch { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. }
            | Signal::DelayLine { .. } => {
                self.is_on_loop(part) || self.breaks(Fault::EverythingSettlesAtZero)
            }
        }
    }

    /// Whether a signal can be reached from itself.
    fn is_on_loop(&self, part: PartId) -> bool {
        let mut reached = self.readers_of(part);
        let mut next = 0;
        while next < reached.len() {
            for reader in self.readers_of(reached[next]) {
                if !reached.contains(&reader) {
                    reached.push(reader);
                }
            }
            next += 1;
        }
        reached.contains(&part)
    }

    /// Each loop member whose inputs give another level schedules its event, as if at tick 0.
    fn schedule_loop_members(&mut self) {
        if self.breaks(Fault::LoopsSettleSilently) {
            return;
        }
        let is_signal = |part: &Part| matches!(part, Part::Signal(_));
        let mut members = if self.breaks(Fault::LoopsSettleByDeclaration) {
            self.parts_where(is_signal)
        } else {
            self.in_signal_order(is_signal)
        };
        members.retain(|part| self.is_on_loop(*part));
        if self.breaks(Fault::LoopsSettleInReverse) {
            members.reverse();
        }
        for part in members {
            match self.signal_part(part) {
                Signal::DelayLine { delay_ticks, .. } => {
                    let given = self.value_given(part);
                    if given != self.level(part) {
                        self.schedule_level(part, delay_ticks, self.rank_of_delay_line(), given);
                    }
                }
                // A toggle schedules at edges, of which there are none; the rest have no delay.
                Signal::Toggle { .. } | Signal::Wire { .. } | Signal::Hold { .. } => {}
                Signal::Lever { .. }
                | Signal::Button { .. }
                | Signal::Repeater { .. }
                | Signal::Comparator { .. }
                | Signal::Inverter { .. }
                | Signal::Observer { .. }
                | Signal::Latch { .. }
                | Signal::AllOf { .. }
                | Signal::NoneOf { .. }
                | Signal::Clock { .. } => self.look(part),
            }
        }
    }
}
