//! What level each signal takes by its inputs (tick rules, section 3).

use super::signals::ON;
use crate::engine::Engine;
use crate::engine::state::slots::weight;
use crate::engine::tables::gates::{Inputs, Rule, Side};
use crate::fill::fill_level;
use crate::slot::HOPPER_SLOTS;

impl Engine<'_> {
    /// The level that a signal's inputs give now. For those that inputs do not decide alone (levers,
    /// buttons, clocks, toggles, observers) it is the level of their own.
    #[inline(never)]
    pub(in crate::engine) fn level_from_inputs(&self, place: usize) -> u8 {
        self.level_by_rule(place, self.gates.of(place).rule)
    }

    /// The same where the rule of the signal is known already.
    #[inline(always)]
    pub(in crate::engine) fn level_by_rule(&self, place: usize, rule: Rule) -> u8 {
        let signals = &self.world.signals;
        let level = |place: u32| signals[place as usize].level;
        let is_on = |place: u32| level(place) > 0;
        let on_if = |is_on: bool| if is_on { ON } else { 0 };
        match rule {
            Rule::Own | Rule::Clock { .. } | Rule::Toggle => signals[place].own_level,
            Rule::Wire(inputs) => self.wire_level(inputs),
            Rule::ReadHopper { seat, side } => self.level_of_reader(seat as usize, side),
            Rule::ReadInventory { read, side } => {
                let inventories = &self.world.inventories;
                side.compare(inventories.fill_level(inventories.of(read)), level)
            }
            Rule::ReadSignal { rear, side } => side.compare(level(rear), level),
            Rule::Inverter(input) => on_if(!is_on(input)),
            Rule::Repeater(input) | Rule::Hold(input) => on_if(is_on(input)),
            Rule::DelayLine(input) => level(input),
            Rule::Latch { reset, .. } if is_on(reset) => 0,
            Rule::Latch { set, .. } if is_on(set) => ON,
            Rule::Latch { .. } => signals[place].own_level,
            Rule::AllOf(inputs) => {
                let mut inputs = self.gates.inputs(inputs).iter();
                on_if(inputs.all(|input| is_on(input.place)))
            }
            Rule::NoneOf(inputs) => {
                let mut inputs = self.gates.inputs(inputs).iter();
                on_if(!inputs.any(|input| is_on(input.place)))
            }
        }
    }

    /// The level of a comparator that reads a hopper. Five slots are weighed without a loop.
    #[inline(always)]
    pub(super) fn level_of_reader(&self, seat: usize, side: Side) -> u8 {
        let rear = fill_level(weight(&self.taker(seat).slots), HOPPER_SLOTS);
        side.compare(rear, |place| self.world.signals[place as usize].level)
    }

    /// The level that the inputs of a wire give it.
    #[inline]
    pub(in crate::engine) fn wire_level(&self, inputs: Inputs) -> u8 {
        let mut highest = 0;
        for input in self.gates.inputs(inputs) {
            let level = self.world.signals[input.place as usize].level;
            highest = highest.max(level.saturating_sub(input.loss));
        }
        highest
    }
}
