//! The world is opened again (tick rules, section 9): other orders hold from then on.

use crate::engine::Engine;
use crate::engine::state::turns::TurnWheel;
use crate::engine::tables::signal_order::SignalOrder;
use crate::order::Orders;

impl Engine<'_> {
    /// From this tick on these orders hold, and the last turn of every hopper and selector is forgotten.
    pub(super) fn reopen(&mut self, orders: &Orders) {
        let update_order = orders.update_order(self.network);
        for (rank, part) in (0..).zip(update_order) {
            let seat = self.place(part);
            self.taker_mut(seat).rank = rank;
        }
        let signal_order = orders.signal_order(self.network);
        self.signal_order = SignalOrder::new(&signal_order, self.network.part_count());
        self.world
            .clocks
            .reorder(|clock| self.signal_order.place(clock));
        self.world.sleepers.forget_last_turns();
        self.reopened_at = Some(self.world.tick);
        self.rewire();
        // Every mark bears a place in the old order.
        self.turns = TurnWheel::default();
        self.mark_all_turns();
    }

    /// The tick after the last turn of the taker on this seat, before the turns of this tick; 0 if it
    /// had none yet, or it is forgotten.
    pub(super) fn after_last_turn(&self, seat: usize) -> u64 {
        let part = self.taker(seat).part;
        let now = self.world.tick;
        let of_awake = if self.reopened_at == Some(now) {
            0
        } else {
            now.0
        };
        let sleepers = &self.world.sleepers;
        sleepers.after_last_turn(part).unwrap_or(of_awake)
    }
}
