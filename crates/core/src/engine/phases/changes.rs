//! What follows at once when an inventory, an occupation or a lock changes: comparators look again,
//! and whoever might act now is marked for a visit.

use crate::engine::Engine;
use crate::engine::state::takers::{Flags, Source, Target};
use crate::engine::tables::parts::PartSort;
use crate::id::PartId;
use crate::part::Part;
use crate::slot::Item;
use crate::tick::{Phase, Tick};

/// Where an item comes from, as far as the receiving hopper's cooldown depends on it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Sender {
    /// The hopper or selector of this seat.
    Taker(usize),
    /// A dropper or a delivery.
    Other,
}

impl Engine<'_> {
    pub(in crate::engine) fn sort(&self, part: PartId) -> PartSort {
        self.parts.sort(part)
    }

    /// Whether an inventory or selector takes one such item in.
    pub(in crate::engine) fn accepts(&self, target: PartId, item: Item) -> bool {
        if self.is_shut(target) {
            return false;
        }
        match self.sort(target) {
            PartSort::Selector => !self.is_selector_full(target),
            PartSort::Hopper | PartSort::Bench | PartSort::Loose | PartSort::Other => {
                let inventory = self.world.inventories.of(target);
                let item = self.world.inventories.pack(item);
                self.world.inventories.place_for(inventory, item).is_some()
            }
        }
    }

    /// Puts up to `count` items into an inventory or selector, not by the receiver's own pull; says
    /// how many went in. [`Self::contents_changed`] must be called next.
    pub(super) fn put(&mut self, target: PartId, item: Item, count: u32, sender: Sender) -> u32 {
        if let Part::Selector(selector) = self.network.part(target) {
            return self.put_into_selector(target, selector, item, count);
        }
        let inventory = self.world.inventories.of(target);
        let starts_arrival =
            self.sort(target) == PartSort::Hopper && self.world.inventories.is_empty(inventory);
        let item = self.world.inventories.pack(item);
        let put = self.world.inventories.insert(inventory, item, count);
        if starts_arrival && put > 0 {
            self.start_arrival(self.place(target), sender);
        }
        put
    }

    /// The cooldown of a wholly empty hopper into which something went (tick rules, section 4).
    pub(in crate::engine) fn start_arrival(&mut self, seat: usize, sender: Sender) {
        let arrival = u64::from(self.network.rules().arrival_ticks);
        let turns = self.turns_had(seat);
        let shortened =
            matches!(sender, Sender::Taker(sender) if !self.had_last_turn_before(seat, sender));
        let free_at = turns + arrival - u64::from(shortened);
        // On a line in its rhythm this is when its last cooldown ends, and it is marked already.
        if self.taker(seat).free_at != free_at {
            self.taker_mut(seat).free_at = free_at;
            self.mark_end_of_cooldown(seat);
        }
        self.restate_work(seat);
        // An arrival can be shorter than what was left of a cooldown, and over at once.
        if free_at <= turns {
            self.may_act_below_mouth(seat);
        }
    }

    /// Whether the last turn of a hopper was before that of one that sends to it.
    fn had_last_turn_before(&self, receiver: usize, sender: usize) -> bool {
        // In phase 4 the sender's was in this tick, and the receiver's too if it has begun.
        if self.phase == Phase::Loose && !self.world.sleepers.is_empty() {
            return self.after_last_turn(receiver) < self.after_last_turn(sender);
        }
        self.turns_had(receiver) < self.turns_had(sender)
    }

    /// To be called when a hopper's cooldown is over before its turn: in phase 3 the stacks at its mouth
    /// that are still to come may let it act.
    #[inline]
    fn may_act_below_mouth(&mut self, seat: usize) {
        if self.phase == Phase::Loose
            && let Source::Mouth(_) = self.taker(seat).source()
        {
            self.roused_below_mouths.push(self.taker(seat).part);
        }
    }

    /// Marks a hopper for the first tick in which it may act.
    #[inline]
    pub(in crate::engine) fn mark_end_of_cooldown(&mut self, seat: usize) {
        let tick = self.taker(seat).free_at.max(self.turns_had(seat) + 1) - 1;
        self.taker_mut(seat).flags.clear(Flags::IDLE);
        self.turns
            .mark(self.world.tick, Tick(tick), self.turn_of(seat));
    }

    /// To be called when what an inventory (or selector) holds has changed: once a move for its
    /// source, then once for its destination.
    #[inline(always)]
    pub(in crate::engine) fn contents_changed(&mut self, part: PartId) {
        if !self.parts.concerns_nobody(part) {
            self.notify_of_change(part);
        }
    }

    #[inline(never)]
    fn notify_of_change(&mut self, part: PartId) {
        match self.sort(part) {
            PartSort::Hopper => return self.hopper_changed(self.place(part)),
            PartSort::Selector => self.rouse(self.place(part)),
            PartSort::Bench => self.check_bench_this_tick(part),
            PartSort::Loose | PartSort::Other => {}
        }
        self.notify_around(part);
    }

    /// To be called when what a hopper holds has changed, by its seat. Its standing work may be another now, but
    /// it has its turn before it would do any.
    #[inline]
    pub(in crate::engine) fn hopper_changed(&mut self, seat: usize) {
        self.rouse(seat);
        self.notify_around_hopper(seat);
    }

    /// Notifies the comparators that read a part and whoever stands idle until it changes. Of a hopper that is
    /// acting nothing else is to be done: what it does next it settles itself at the end of its turn.
    pub(super) fn notify_around(&mut self, part: PartId) {
        if self.sort(part) == PartSort::Hopper {
            return self.notify_around_hopper(self.place(part));
        }
        let (is_read, is_awaited) = self.parts.is_read_or_awaited(part);
        if is_read || is_awaited {
            self.notify_readers_and_idle(part, is_awaited);
        }
    }

    /// Notifies the comparators that read a hopper and whoever stands idle until it changes, by its seat.
    #[inline]
    pub(in crate::engine) fn notify_around_hopper(&mut self, seat: usize) {
        let taker = self.taker_mut(seat);
        if taker.flags.any(Flags::READ | Flags::AWAITED) {
            let is_awaited = taker.flags.any(Flags::AWAITED);
            taker.flags.clear(Flags::AWAITED);
            let part = taker.part;
            self.notify_readers_and_idle(part, is_awaited);
        }
    }

    fn notify_readers_and_idle(&mut self, part: PartId, is_awaited: bool) {
        for member in self.wiring.readers.of(part) {
            self.look_again(self.wiring.readers.place(member));
        }
        if is_awaited {
            for member in self.parts.neighbours(part) {
                self.rouse(self.parts.neighbour(member));
            }
        }
    }

    /// Has a part notify the hoppers and selectors around it of its next change.
    pub(in crate::engine) fn await_change(&mut self, part: PartId) {
        if self.sort(part) == PartSort::Hopper {
            let seat = self.place(part);
            self.taker_mut(seat).flags.set(Flags::AWAITED);
        } else {
            self.parts.set_awaited(part);
        }
    }

    /// A hopper found nothing to do: it stands idle until something changes at it, its target, or above.
    pub(in crate::engine) fn stand_idle(&mut self, seat: usize) {
        let taker = self.taker_mut(seat);
        taker.flags.set(Flags::IDLE);
        let (target, source) = (taker.target(), taker.source());
        match target {
            Target::None => {}
            Target::Hopper(target) => self.taker_mut(target).flags.set(Flags::AWAITED),
            Target::Selector(target) | Target::Inventory(target) => self.await_change(target),
        }
        match source {
            Source::Hopper(above) => self.taker_mut(above).flags.set(Flags::AWAITED),
            Source::Inventory(above) => self.await_change(above),
            Source::Mouth(_) | Source::Cap => {}
        }
    }

    /// To be called when a box or shuttle has come to stand at a bench or place, or has left it.
    pub(in crate::engine) fn occupation_changed(&mut self, part: PartId) {
        for member in self.parts.neighbours(part) {
            self.restate_work_of_hopper(self.parts.neighbour(member));
        }
        self.notify_around(part);
    }

    pub(super) fn restate_work_of_hopper(&mut self, seat: usize) {
        if !self.taker(seat).flags.any(Flags::SELECTOR) {
            self.restate_work(seat);
        }
    }

    /// Marks an idle hopper or selector for its next turn in which it may act.
    #[inline]
    pub(in crate::engine) fn rouse(&mut self, seat: usize) {
        let flags = self.taker(seat).flags;
        if flags.any(Flags::IDLE) && !flags.any(Flags::LOCKED | Flags::SLEEPS) {
            self.rouse_idle(seat);
        }
    }

    #[inline(never)]
    fn rouse_idle(&mut self, seat: usize) {
        if self.taker(seat).flags.any(Flags::SELECTOR) {
            self.mark_selector(seat);
            return;
        }
        self.mark_end_of_cooldown(seat);
        self.may_act_below_mouth(seat);
    }

    /// A lock of a hopper or selector went on or off.
    #[inline]
    pub(in crate::engine) fn lock_changed(&mut self, seat: usize, is_locked: bool) {
        let work_idle = self.network.rules().work_idle;
        let taker = self.taker_mut(seat);
        if !is_locked {
            // Its standing work is that of a locked one until its turn, which counts what it does.
            taker.flags.clear(Flags::LOCKED);
            taker.flags.set(Flags::IDLE);
            self.rouse(seat);
            return;
        }
        taker.flags.set(Flags::LOCKED);
        if taker.standing_work != work_idle {
            self.restate_work_of_hopper(seat);
        }
    }
}
