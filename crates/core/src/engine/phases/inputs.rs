//! Phase 1: what the operator does, and deliveries (tick rules, section 6).

use super::changes::Sender;
use super::signals::ON;
use crate::engine::Engine;
use crate::engine::state::agenda::{EventRank, Task};
use crate::event::{Event, Observer};
use crate::id::{KindId, PartId};
use crate::part::Signal;
use crate::slot::{Filling, Item};
use crate::tick::Phase;
use crate::timeline::Action;

impl Engine<'_> {
    /// Phase 1. Signals that come free, what waits at its place, then the entries of the timeline that are
    /// due, in its order.
    pub(in crate::engine) fn apply_inputs<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Inputs;
        if !self.world.stuck.is_empty() {
            self.free_stuck(observer);
        }
        self.move_lines(observer);
        let setup = self.setup;
        while let Some((at, action)) = setup.timeline.entries().get(self.world.inputs_done) {
            if *at > self.world.tick {
                break;
            }
            self.world.inputs_done += 1;
            self.apply(action, observer);
        }
    }

    fn apply<O: Observer + ?Sized>(&mut self, action: &Action, observer: &mut O) {
        match action {
            // What is done to a lever or button that sleeps is lost on it.
            Action::MoveLever { lever: part, .. } | Action::Press { button: part }
                if self.world.sleepers.contains(*part) => {}
            Action::MoveLever { lever, on } => {
                self.set_level(self.place(*lever), if *on { ON } else { 0 }, observer);
            }
            Action::Press { button } => self.press(*button, observer),
            Action::Deliver {
                place,
                kind,
                count,
                contents,
                terms,
            } => self.receive(*place, (*kind, *count), contents, *terms, observer),
            Action::Withdraw { place, count } => self.withdraw(*place, *count, observer),
            Action::Sleep { parts, sleep_ticks } => {
                self.put_to_sleep(parts, u64::from(*sleep_ticks));
            }
            Action::Stick {
                signals,
                on,
                stuck_ticks,
            } => self.stick(signals, *on, u64::from(*stuck_ticks), observer),
            Action::Fill {
                place,
                kind,
                contents,
            } => self.fill(*place, *kind, contents, observer),
            Action::TakeBox { place } => self.take_box(*place, observer),
            Action::Reopen { orders } => self.reopen(orders),
        }
    }

    fn press<O: Observer + ?Sized>(&mut self, button: PartId, observer: &mut O) {
        let Some(Signal::Button { hold_ticks }) = self.network.signal(button) else {
            return;
        };
        let place = self.place(button);
        if self.own_level(place) == 0 {
            self.schedule(place, *hold_ticks, EventRank::Last, Task::ButtonOff);
            self.set_level(place, ON, observer);
        }
    }

    /// Puts up to `count` items from outside into an inventory or selector; says how many went in.
    /// [`Self::notify_delivered`] must be called next.
    pub(super) fn put_from_outside(
        &mut self,
        place: PartId,
        kind: KindId,
        count: u32,
        contents: &[Filling],
    ) -> u32 {
        if self.is_shut(place) {
            return 0;
        }
        if !self.network.kind(kind).is_box {
            let item = Item { kind, box_id: None };
            let put = self.put(place, item, count, Sender::Other);
            self.count_delivered(item, put);
            return put;
        }
        // A box comes into being only if it fits.
        let sample = self.sample_of(kind);
        let mut put = 0;
        while put < count && self.accepts(place, sample) {
            let item = self.new_item(kind, contents);
            put += self.put(place, item, 1, Sender::Other);
        }
        put
    }

    /// An item of a kind, to ask whether it would fit: of boxes, any fits where another would.
    pub(super) fn sample_of(&self, kind: KindId) -> Item {
        let is_box = self.network.kind(kind).is_box;
        let box_id = is_box.then(|| self.world.inventories.next_box_id());
        Item { kind, box_id }
    }

    /// Notifies of what went into an inventory or selector, if anything did.
    pub(super) fn notify_delivered<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        kind: KindId,
        count: u32,
        observer: &mut O,
    ) {
        if count > 0 {
            self.contents_changed(place);
            self.emit(observer, Event::Delivered { place, kind, count });
        }
    }

    pub(super) fn deliver_loose<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        kind: KindId,
        count: u32,
        contents: &[Filling],
        observer: &mut O,
    ) {
        let limit = u32::from(self.world.inventories.limit(kind));
        let mut left = count;
        while left > 0 {
            let stack = left.min(limit);
            let item = self.new_item(kind, contents);
            if item.box_id.is_none() {
                self.count_delivered(item, stack);
            }
            self.come_loose(place, item, stack as u8, observer);
            left -= stack;
        }
    }

    /// An item from outside. A box is counted as delivered with what it holds.
    fn new_item(&mut self, kind: KindId, contents: &[Filling]) -> Item {
        if !self.network.kind(kind).is_box {
            return Item { kind, box_id: None };
        }
        let item = Item {
            kind,
            box_id: Some(self.world.inventories.add_box(kind, contents)),
        };
        self.count_delivered(item, 1);
        item
    }

    fn count_delivered(&mut self, item: Item, count: u32) {
        let delivered = &mut self.world.totals.delivered;
        delivered[item.kind.index()] += u64::from(count);
        self.world
            .inventories
            .for_each_inside(item, 0, &mut |kind, inside| {
                delivered[kind.index()] += inside;
            });
    }

    pub(super) fn count_withdrawn(&mut self, item: Item, count: u8) {
        let withdrawn = &mut self.world.totals.withdrawn;
        self.world
            .inventories
            .for_each_inside(item, count, &mut |kind, inside| {
                withdrawn[kind.index()] += inside;
            });
    }

    fn withdraw<O: Observer + ?Sized>(&mut self, place: PartId, count: u32, observer: &mut O) {
        if self.is_shut(place) {
            return;
        }
        let inventory = self.world.inventories.of(place);
        let mut left = count;
        for index in 0..usize::from(inventory.slots) {
            let slot = self.world.inventories.slots(inventory)[index];
            let taken = left.min(slot.count().into());
            if taken == 0 {
                continue;
            }
            left -= taken;
            self.world.inventories.take(inventory, index, taken as u8);
            let item = self.world.inventories.item_in(slot);
            self.count_withdrawn(item, taken as u8);
            self.contents_changed(place);
            let count = taken;
            self.emit(observer, Event::Withdrawn { place, item, count });
        }
    }
}
