//! Mishaps (tick rules, "mishaps"): signals that are stuck, inventories filled by hand, boxes taken away.

use super::signals::ON;
use crate::engine::Engine;
use crate::engine::state::world::BenchState;
use crate::event::{Event, Observer};
use crate::id::{KindId, PartId};
use crate::part::Part;
use crate::slot::{Filling, Item};

impl Engine<'_> {
    /// The beginning of phase 1: signals come free, in signal order, and take their own level.
    pub(super) fn free_stuck<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        let free = self.world.stuck.take_free(self.world.tick);
        for signal in self.in_signal_order(free) {
            let place = self.place(signal);
            let state = &mut self.world.signals[place];
            state.is_stuck = false;
            let own_level = state.own_level;
            self.set_level(place, own_level, observer);
        }
    }

    /// Signals are stuck for so many ticks, in signal order.
    pub(super) fn stick<O: Observer + ?Sized>(
        &mut self,
        signals: &[PartId],
        on: bool,
        ticks: u64,
        observer: &mut O,
    ) {
        let free_at = self.world.tick + ticks;
        for signal in self.in_signal_order(signals.to_vec()) {
            let place = self.place(signal);
            self.world.stuck.add(signal, free_at);
            self.world.signals[place].is_stuck = true;
            self.show_level(place, if on { ON } else { 0 }, observer);
        }
    }

    fn in_signal_order(&self, mut signals: Vec<PartId>) -> Vec<PartId> {
        signals.sort_by_key(|signal| self.signal_order.place(*signal));
        signals
    }

    /// Takes the box away that stands on a bench, or the first box of another inventory.
    pub(super) fn take_box<O: Observer + ?Sized>(&mut self, place: PartId, observer: &mut O) {
        if self.is_shut(place) {
            return;
        }
        let taken = if let Part::Bench(_) = self.network.part(place) {
            self.take_box_off_bench(place)
        } else {
            self.take_box_out_of_slot(place)
        };
        let Some(item) = taken else { return };
        self.count_withdrawn(item, 1);
        let count = 1;
        self.emit(observer, Event::Withdrawn { place, item, count });
    }

    fn take_box_off_bench(&mut self, bench: PartId) -> Option<Item> {
        let place = self.place(bench);
        let item = self.world.benches[place].standing?;
        self.world.benches[place] = BenchState::default();
        self.world.inventories.occupy(bench, None);
        self.occupation_changed(bench);
        Some(item)
    }

    fn take_box_out_of_slot(&mut self, place: PartId) -> Option<Item> {
        let inventories = &self.world.inventories;
        let inventory = inventories.of(place);
        let filled = |(index, slot): (usize, _)| (index, inventories.item_in(slot));
        let slots = inventories.slots(inventory).iter().copied().enumerate();
        let mut items = slots.filter(|(_, slot)| !slot.is_empty()).map(filled);
        let (index, item) = items.find(|(_, item)| item.box_id.is_some())?;
        self.world.inventories.take(inventory, index, 1);
        self.contents_changed(place);
        Some(item)
    }

    /// Fills an inventory by hand.
    pub(super) fn fill<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        kind: KindId,
        contents: &[Filling],
        observer: &mut O,
    ) {
        let put = self.put_from_outside(place, kind, u32::MAX, contents);
        self.put_by_hand(place, (kind, put), contents, observer);
    }
}
