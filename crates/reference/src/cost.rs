//! Section 8: what a hopper's turn costs the world.

use hallwright_core::id::PartId;
use hallwright_core::part::{Intake, Part};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Inventory;

impl ReferenceEngine {
    /// Counts work of a hopper.
    pub(crate) fn add_work(&mut self, hopper: PartId, work: u64) {
        self.world.hopper_mut(hopper).work += work;
        self.work_of_tick += work;
    }

    /// The work of a turn that ends at step 2.
    pub(crate) fn cost_of_idling(&self) -> u64 {
        if self.breaks(Fault::CostOfIdleMissing) {
            return 0;
        }
        u64::from(self.book.rules.work_idle)
    }

    /// The work of a turn that reaches step 3, by what there is now.
    pub(crate) fn cost_of_acting(&self, hopper: PartId) -> u64 {
        u64::from(self.book.rules.work_try) + self.cost_of_pushing(hopper) + self.cost_above(hopper)
    }

    /// One for each slot of the target, if the hopper holds anything.
    fn cost_of_pushing(&self, hopper: PartId) -> u64 {
        let holds_nothing = self.inventory(hopper).is_none_or(Inventory::is_empty);
        if holds_nothing && !self.breaks(Fault::CostCountsEmptyPush) {
            return 0;
        }
        self.hopper_part(hopper)
            .target
            .map_or(0, |target| self.slots_of_target(target))
    }

    /// How many slots there are to look at in a target. An unoccupied place has none.
    fn slots_of_target(&self, target: PartId) -> u64 {
        match self.network.part(target) {
            Part::Selector(_)
                if self.is_shut(target) && !self.breaks(Fault::CostOfSleepingTarget) =>
            {
                0
            }
            Part::Selector(selector) if self.breaks(Fault::CostOfSelectorByHolds) => {
                u64::from(selector.holds)
            }
            Part::Selector(_) => 1,
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Mouth
            | Part::Stream(_)
            | Part::Bench(_)
            | Part::Dock
            | Part::Shuttle(_)
            | Part::Signal(_) => {
                let counts_anyway = self.breaks(Fault::CostOfSleepingTarget);
                self.slot_count(target, counts_anyway).unwrap_or(0)
            }
        }
    }

    /// One for each slot of the inventory above, or what a mouth or a cap costs.
    fn cost_above(&self, hopper: PartId) -> u64 {
        let rules = &self.book.rules;
        let mouth = if self.breaks(Fault::CostOfMouthMissing) {
            0
        } else {
            u64::from(rules.work_mouth)
        };
        let cap = if self.breaks(Fault::CostOfCapMissing) {
            0
        } else {
            u64::from(rules.work_cap)
        };
        match self.hopper_part(hopper).intake {
            Intake::Above(_)
                if self.breaks(Fault::CostSkipsAboveWhenFull) && !self.has_room(hopper) =>
            {
                0
            }
            Intake::Above(above) => {
                match self.slot_count(above, self.breaks(Fault::CostOfSleepingAbove)) {
                    Some(slots) => slots,
                    None if self.breaks(Fault::CostOfAbsentAboveMissing) => 0,
                    None => cap,
                }
            }
            Intake::Mouth(asleep)
                if self.is_asleep(asleep) && !self.breaks(Fault::CostOfSleepingMouth) =>
            {
                cap
            }
            Intake::Mouth(_) => mouth,
            Intake::Cap => cap,
        }
    }

    /// How many slots stand at a part; none where things cannot go in and out, unless asked for as well.
    fn slot_count(&self, part: PartId, asleep_as_well: bool) -> Option<u64> {
        let inventory = if asleep_as_well {
            self.inventory(part)
        } else {
            self.open_inventory(part)
        };
        inventory.map(|inventory| inventory.slots.len() as u64)
    }
}
