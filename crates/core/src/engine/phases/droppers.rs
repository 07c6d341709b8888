//! Droppers and dispensers (tick rules, section 5). They fire in phase 2.

use rand::RngExt;

use super::changes::Sender;
use crate::chance::part_stream;
use crate::engine::Engine;
use crate::engine::state::agenda::{EventRank, Task};
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::{Outlet, Part};
use crate::slot::Item;

impl Engine<'_> {
    /// A rising edge at its trigger: schedules a firing unless one is pending. It is lost on a sleeper.
    pub(in crate::engine) fn trigger(&mut self, dropper: PartId) {
        if self.world.sleepers.contains(dropper) {
            return;
        }
        let place = self.place(dropper);
        if !std::mem::replace(&mut self.world.droppers[place].is_pending, true) {
            let delay = self.network.rules().dropper_delay_ticks;
            let (rank, number) = (EventRank::Last, dropper.index() as u32);
            self.world.agenda.schedule(delay, rank, number, Task::Fire);
        }
    }

    pub(in crate::engine) fn fire<O: Observer + ?Sized>(&mut self, part: PartId, observer: &mut O) {
        let place = self.place(part);
        self.world.droppers[place].is_pending = false;
        let Part::Dropper(dropper) = self.network.part(part) else {
            return;
        };
        let Some((place, item)) = self.draw(part) else {
            self.emit(observer, Event::Clicked { dropper: part });
            return;
        };
        match dropper.outlet {
            Outlet::Into(target) => {
                if self.accepts(target, item) {
                    self.take_from_dropper(part, place);
                    self.put(target, item, 1, Sender::Other);
                    self.contents_changed(part);
                    self.contents_changed(target);
                    let (from, to) = (part, target);
                    self.emit(observer, Event::ItemMoved { from, to, item });
                }
            }
            Outlet::Bench(bench) if item.box_id.is_some() => {
                let is_free = self.world.benches[self.place(bench)].standing.is_none();
                if is_free && !self.is_shut(bench) {
                    self.take_from_dropper(part, place);
                    self.contents_changed(part);
                    self.set_box_down(part, bench, item, observer);
                }
            }
            Outlet::Bench(bench) => {
                let Part::Bench(definition) = self.network.part(bench) else {
                    return;
                };
                self.throw(part, place, item, definition.output, observer);
            }
            Outlet::Loose(outlet) => self.throw(part, place, item, outlet, observer),
        }
    }

    fn take_from_dropper(&mut self, part: PartId, place: usize) {
        let inventory = self.world.inventories.of(part);
        self.world.inventories.take(inventory, place, 1);
    }

    fn throw<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        place: usize,
        item: Item,
        outlet: PartId,
        observer: &mut O,
    ) {
        self.take_from_dropper(part, place);
        self.contents_changed(part);
        let dropper = part;
        self.emit(observer, Event::Thrown { dropper, item });
        self.come_loose(outlet, item, 1, observer);
    }

    /// The slot that a dropper takes its item from, as a place in it, and the item: one of the
    /// non-empty slots, all equally likely. Draws only when there is a choice.
    fn draw(&mut self, part: PartId) -> Option<(usize, Item)> {
        let inventories = &self.world.inventories;
        let slots = inventories.slots(inventories.of(part));
        let filled = slots
            .iter()
            .enumerate()
            .filter(|(_, slot)| !slot.is_empty());
        let choices = u32::try_from(filled.clone().count()).expect("a dropper has nine slots");
        let mut filled = filled.map(|(place, slot)| (place, inventories.item_in(*slot)));
        if choices < 2 {
            return filled.next();
        }
        let state = self.place(part);
        let mut stream = part_stream(self.setup.seed, self.network.stream_tag(part));
        stream.set_word_pos(self.world.droppers[state].stream_position_words);
        let choice = stream.random_range(0..choices);
        self.world.droppers[state].stream_position_words = stream.get_word_pos();
        filled.nth(choice as usize)
    }
}
