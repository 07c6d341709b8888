//! What most turns are: a hopper with a cap hands an item on to the hopper behind it.
//!
//! It is the turn of `hoppers.rs` with everything left out that cannot be in it, and nothing else.

use super::Engine;
use super::slots::all_empty;
use super::takers::{Flags, Target};
use crate::event::{Event, Observer};
use crate::tick::Tick;

impl Engine<'_> {
    /// Gives this rank its turn if it can do so here; says whether it did. If not, nothing has
    /// changed.
    ///
    /// In phase 4 an item starts the arrival of a wholly empty hopper so that it acts one tick before
    /// the cooldown's length is over, whichever of the two hoppers comes first in the update order:
    /// a receiver behind the sender has had one turn less, one before it has its cooldown shortened.
    #[inline]
    pub(super) fn pass_on<O: Observer + ?Sized>(&mut self, rank: usize, observer: &mut O) -> bool {
        let now = self.world.tick.0;
        let rules = self.network.rules();
        let takers = &mut self.world.inventories.takers;
        let Target::Hopper(target) = takers[rank].target else {
            return false;
        };
        let target = target as usize;
        let Ok([sender, receiver]) = takers.get_disjoint_mut([rank, target]) else {
            return false;
        };
        let slot = sender.slots[0];
        let is_plain = sender.flags.any(Flags::PASSES_ON) && !sender.flags.any(Flags::LOCKED);
        if !is_plain || slot.is_empty() || slot.is_box() || sender.free_at > now + 1 {
            return false;
        }
        let item = slot.packed();
        if !receiver.slots[0].accepts(item) {
            return false;
        }
        let work = u64::from(sender.work_of_bare_try) + u64::from(sender.work_of_target);
        sender.count_turn(&mut self.work, work);
        let starts_arrival = all_empty(&receiver.slots);
        receiver.slots[0].add(item, 1);
        sender.slots[0].take(1);
        let around = (sender.flags, receiver.flags);
        if starts_arrival {
            receiver.free_at = now + u64::from(rules.arrival_ticks);
            receiver.flags.clear(Flags::ASLEEP);
            let wakes_at = Tick(receiver.free_at - 1);
            if receiver.standing_work != rules.work_idle {
                self.restate_work(target);
            }
            self.turns.mark(Tick(now), wakes_at, target as u32);
        }
        let telling = Flags::READ | Flags::AWAITED;
        if around.0.any(telling) {
            self.tell_around_hopper(rank, self.order[rank]);
        }
        if around.1.any(telling | Flags::ASLEEP) {
            self.wake(target);
            self.tell_around_hopper(target, self.order[target]);
        }
        let item = self.world.inventories.unpack(item);
        let (from, to) = (self.order[rank], self.order[target]);
        self.emit(observer, Event::ItemMoved { from, to, item });
        let free_at = now + 1 + u64::from(rules.cooldown_ticks);
        let sender = self.taker_mut(rank);
        sender.free_at = free_at;
        sender.flags.clear(Flags::ASLEEP);
        if sender.standing_work != rules.work_idle {
            self.restate_work(rank);
        }
        self.turns.mark(Tick(now), Tick(free_at - 1), rank as u32);
        true
    }
}
