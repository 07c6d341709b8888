//! What follows at once when an inventory, an occupation or a lock changes: comparators look again,
//! and whoever might act now is marked for a visit.

use super::Engine;
use crate::id::PartId;
use crate::part::{Intake, Part};
use crate::slot::Item;
use crate::tick::{Phase, Tick};

/// Where an item comes from, as far as the receiving hopper's cooldown depends on it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Sender {
    /// The hopper or selector of this rank.
    Taker(usize),
    /// A dropper or a delivery.
    Other,
}

impl Engine<'_> {
    /// Whether a push of this item into this part would succeed.
    pub(super) fn accepts(&self, target: PartId, item: Item) -> bool {
        match self.network.part(target) {
            Part::Selector(_) => !self.is_selector_full(target),
            _ => self
                .world
                .inventories
                .slot_for(self.world.inventories.of(target), item)
                .is_some(),
        }
    }

    /// Puts up to `count` items into an inventory or selector, not by the receiver's own pull; says
    /// how many went in. The comparators that read it are notified by [`Self::contents_changed`].
    pub(super) fn put(&mut self, target: PartId, item: Item, count: u32, sender: Sender) -> u32 {
        match self.network.part(target) {
            Part::Selector(selector) => self.put_into_selector(target, selector, item, count),
            Part::Hopper(_) => {
                let inventory = self.world.inventories.of(target);
                let was_empty = self.world.inventories.is_empty(inventory);
                let put = self.world.inventories.insert(inventory, item, count);
                if was_empty && put > 0 {
                    self.start_arrival(target, sender);
                }
                put
            }
            _ => {
                let inventory = self.world.inventories.of(target);
                self.world.inventories.insert(inventory, item, count)
            }
        }
    }

    /// The cooldown of a wholly empty hopper into which something went (tick rules, section 4).
    fn start_arrival(&mut self, hopper: PartId, sender: Sender) {
        let rank = self.place(hopper);
        let arrival = u64::from(self.network.rules().arrival_ticks);
        let turns = self.turns_had(rank);
        // "The receiver's last turn is not before the sender's": it has had as many turns.
        let shortened = match sender {
            Sender::Taker(sender) => turns >= self.turns_had(sender),
            Sender::Other => false,
        };
        self.world.free_at[rank] = turns + arrival - u64::from(shortened);
        self.mark_end_of_cooldown(rank);
    }

    /// Marks a hopper for the first tick in which it may act.
    pub(super) fn mark_end_of_cooldown(&mut self, rank: usize) {
        let tick = self.world.free_at[rank].max(self.turns_had(rank) + 1) - 1;
        self.takers[rank].is_asleep = false;
        self.turns.mark(self.world.tick, Tick(tick), rank as u32);
    }

    /// To be called when what an inventory (or selector) holds has changed: once a move for its
    /// source, then once for its destination.
    pub(super) fn contents_changed(&mut self, part: PartId) {
        self.notify_readers(part);
        match self.network.part(part) {
            Part::Hopper(hopper) => {
                let rank = self.place(part);
                self.restate_work(rank, hopper);
                self.wake(rank);
            }
            Part::Selector(_) => self.wake(self.place(part)),
            Part::Bench(_) => self.check_bench_this_tick(part),
            _ => {}
        }
        self.wake_neighbours(part);
    }

    /// To be called when a box or shuttle has come to stand at a bench or place, or has left it.
    pub(super) fn occupation_changed(&mut self, part: PartId) {
        self.notify_readers(part);
        for place in self.wiring.neighbours.range(part) {
            let neighbour = self.wiring.neighbours.member(place);
            if let Some(hopper) = self.hopper(neighbour) {
                self.restate_work(self.place(neighbour), hopper);
            }
        }
        self.wake_neighbours(part);
    }

    fn notify_readers(&mut self, part: PartId) {
        for place in self.wiring.inventory_readers.range(part) {
            let comparator = self.wiring.inventory_readers.member(place);
            self.look_again(comparator);
        }
    }

    /// Wakes the hoppers and selectors that push into a part or pull from it.
    fn wake_neighbours(&mut self, part: PartId) {
        for place in self.wiring.neighbours.range(part) {
            let neighbour = self.wiring.neighbours.member(place);
            self.wake(self.place(neighbour));
        }
    }

    /// Marks a sleeping hopper or selector for its next turn in which it may act.
    pub(super) fn wake(&mut self, rank: usize) {
        let taker = &mut self.takers[rank];
        if taker.is_locked || !taker.is_asleep {
            return;
        }
        taker.is_asleep = false;
        let now = self.world.tick;
        if let Some(selector) = taker.selector {
            self.mark_selector(rank, selector);
            return;
        }
        let next_turn = self.turns_had(rank);
        let free = self.world.free_at[rank].saturating_sub(1);
        self.turns.mark(now, Tick(next_turn.max(free)), rank as u32);
        if self.phase == Phase::Loose
            && let Some(hopper) = self.hopper(self.order[rank])
            && let Intake::Mouth(_) = hopper.intake
        {
            self.woken_below_mouths.push(self.order[rank]);
        }
    }

    /// A lock of a hopper or selector went on or off.
    pub(super) fn lock_changed(&mut self, part: PartId, is_locked: bool) {
        let rank = self.place(part);
        self.takers[rank].is_locked = is_locked;
        if let Some(hopper) = self.hopper(part) {
            self.restate_work(rank, hopper);
        }
        if !is_locked {
            self.takers[rank].is_asleep = true;
            self.wake(rank);
        }
    }
}
