//! What most turns are: a hopper with a cap hands an item on to the hopper behind it.
//!
//! It is the turn of `hoppers.rs` with everything left out that cannot be in it, and nothing else:
//! `both_ways.rs` compares the two in every test.

use crate::engine::Engine;
use crate::engine::state::slots::all_empty;
use crate::engine::state::takers::Flags;
use crate::engine::state::turns::Turn;
use crate::event::{Event, Observer};
use crate::slot::HOPPER_SLOTS;
use crate::tick::Tick;

impl Engine<'_> {
    /// Gives this seat its turn if it can do so here; says whether it did. If not, nothing has
    /// changed.
    ///
    /// In phase 4 an item starts the arrival of a wholly empty hopper so that it acts one tick before
    /// the cooldown's length is over, whichever of the two hoppers comes first in the update order:
    /// a receiver behind the sender has had one turn less, one before it has its cooldown shortened.
    #[inline(always)]
    pub(super) fn pass_on<O: Observer + ?Sized>(&mut self, turn: Turn, observer: &mut O) -> bool {
        let seat = turn.seat();
        let now = self.world.tick.0;
        let rules = self.network.rules();
        let takers = &mut self.world.inventories.takers;
        let sender = &takers[seat];
        if !sender.flags.are_free_to_pass_on() {
            return false;
        }
        let target = sender.seat_behind();
        let Ok([sender, receiver]) = takers.get_disjoint_mut([seat, target]) else {
            return false;
        };
        let mut slot = sender.slots[0];
        if slot.is_empty() || slot.is_box() || sender.free_at > now + 1 {
            return false;
        }
        let item = slot.packed();
        if !receiver.slots[0].accepts(item) {
            return false;
        }
        let work = rules.work_try + u32::from(HOPPER_SLOTS) + rules.work_cap;
        sender.count_turn(&mut self.work, work.into());
        let free_at = now + u64::from(rules.arrival_ticks);
        // On a line in its rhythm this is when its last cooldown ends, and it is marked already.
        let starts_arrival = receiver.free_at != free_at && all_empty(&receiver.slots);
        receiver.slots[0].add(item, 1);
        slot.take(1);
        sender.slots[0] = slot;
        let (from, to) = (sender.part, receiver.part);
        let (sender_flags, receiver_flags) = (sender.flags, receiver.flags);
        if starts_arrival {
            receiver.free_at = free_at;
            receiver.flags.clear(Flags::IDLE);
            if receiver.standing_work != rules.work_idle {
                self.restate_work(target);
            }
            self.turns
                .mark_near(Tick(free_at - 1), self.turn_of(target));
        }
        let telling = Flags::READ | Flags::AWAITED;
        if sender_flags.any(telling) {
            self.notify_around_hopper(seat);
        }
        if receiver_flags.any(telling | Flags::IDLE) {
            self.rouse(target);
            self.notify_around_hopper(target);
        }
        let item = self.world.inventories.unpack(item);
        self.emit(observer, Event::ItemMoved { from, to, item });
        let free_at = now + 1 + u64::from(rules.cooldown_ticks);
        let sender = self.taker_mut(seat);
        sender.free_at = free_at;
        sender.flags.clear(Flags::IDLE);
        if sender.standing_work != rules.work_idle {
            self.restate_work(seat);
        }
        self.turns.mark_near(Tick(free_at - 1), turn);
        true
    }
}
