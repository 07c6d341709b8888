//! Section 5: droppers and dispensers.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Dropper, Outlet, Part};
use rand::RngExt;

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Article;
use crate::moves::Way;

impl ReferenceEngine {
    pub(crate) fn dropper_part(&self, dropper: PartId) -> Dropper {
        let Part::Dropper(part) = self.network.part(dropper) else {
            panic!("{dropper} is no dropper");
        };
        part.clone()
    }

    /// The trigger went on: a firing is scheduled unless one is pending.
    pub(crate) fn schedule_firing(&mut self, dropper: PartId) {
        if self.is_pending(dropper) && !self.breaks(Fault::DropperCountsAll) {
            return;
        }
        let longer = u32::from(self.breaks(Fault::DropperDelayOneLong));
        let delay = self.book.rules.dropper_delay_ticks + longer;
        self.schedule(dropper, delay, self.rank_of_firing());
    }

    /// One item out of one slot is handed on.
    pub(crate) fn fire(&mut self, dropper: PartId) {
        let Some(slot) = self.choose_slot(dropper) else {
            self.emit(Event::Clicked { dropper });
            return;
        };
        match self.dropper_part(dropper).outlet {
            Outlet::Into(target) => {
                self.move_item(dropper, slot, target, Way::PushedBy(dropper));
            }
            Outlet::Bench(bench) => self.dispense(dropper, slot, bench),
            Outlet::Loose(place) => self.throw(dropper, slot, place),
        }
    }

    /// One of the slots that hold something, uniformly at random. A draw is made only if there are
    /// several.
    fn choose_slot(&mut self, dropper: PartId) -> Option<usize> {
        let filled = self.filled_slots(dropper);
        let takes_first = self.breaks(Fault::DropperTakesFirstSlot);
        let needs_no_draw = filled.len() < 2 && !self.breaks(Fault::DropperAlwaysDraws);
        if filled.is_empty() || needs_no_draw || takes_first {
            return filled.first().copied();
        }
        let slots = u32::try_from(filled.len()).unwrap_or(u32::MAX);
        let chance = &mut self.world.dropper_mut(dropper).chance;
        let chosen = chance.random_range(0..slots);
        filled.get(chosen as usize).copied()
    }

    /// A dispenser sets a box down on its bench if that is free, and throws everything else.
    fn dispense(&mut self, dispenser: PartId, slot: usize, bench: PartId) {
        let article = self.article(dispenser, slot);
        let output = self.bench_part(bench).output;
        let is_asleep = self.is_asleep(bench);
        if article.carried.is_none() {
            let keeps_it = self.breaks(Fault::DispenserKeepsStray)
                || (is_asleep && self.breaks(Fault::SleepingBenchStopsThrows));
            if !keeps_it {
                self.throw(dispenser, slot, output);
            }
            return;
        }
        if is_asleep && self.breaks(Fault::SleepingBenchIsPassedByBoxes) {
            self.throw(dispenser, slot, output);
            return;
        }
        if is_asleep && !self.breaks(Fault::SleepingBenchTakesBox) {
            return;
        }
        if self.world.bench(bench).standing.is_some() {
            if self.breaks(Fault::DispenserThrowsBox) {
                self.throw(dispenser, slot, output);
            }
            if !self.breaks(Fault::DispenserReplacesBox) {
                return;
            }
            self.lift(bench);
        }
        self.remove_one(dispenser, slot);
        let item = article.item();
        self.set_down(bench, article);
        self.emit(Event::BoxSet {
            dispenser,
            bench,
            item,
        });
        self.inventory_changed(dispenser);
        self.occupation_changed(bench);
    }

    /// An item comes loose.
    fn throw(&mut self, dropper: PartId, slot: usize, place: PartId) {
        if self.is_asleep(place) && self.breaks(Fault::NothingFallsAsleep) {
            return;
        }
        let article = self.article(dropper, slot);
        self.remove_one(dropper, slot);
        self.emit(Event::Thrown {
            dropper,
            item: article.item(),
        });
        self.inventory_changed(dropper);
        self.come_loose(article, 1, place);
    }

    /// The item in a slot that was chosen because it holds one.
    fn article(&self, dropper: PartId, slot: usize) -> Article {
        let slots = &self.world.dropper(dropper).slots;
        match slots.article(slot) {
            Some(article) => article.clone(),
            None => panic!("slot {slot} of {dropper} is empty"),
        }
    }
}
