//! What hoppers cost the world (tick rules, section 8), counted exactly without visiting them.
//!
//! The work of a hopper's turn stays the same until its lock, its cooldown, or whether it, its
//! target's place or the place above it hold something changes. So each hopper has a *standing work*
//! a turn, and turns that do it are never counted one by one: they follow from the tick
//! (`state/work_meter.rs`).

use crate::engine::Engine;
use crate::engine::state::slots::all_empty;
use crate::engine::state::takers::{Flags, Source, Taker, Target};
use crate::rules::Rules;
use crate::slot::HOPPER_SLOTS;

impl Engine<'_> {
    /// How many turns the taker on this seat has had.
    pub(in crate::engine) fn turns_had(&self, seat: usize) -> u64 {
        self.world.tick.0 + u64::from(self.has_begun(seat))
    }

    /// Whether it has begun its turn of this tick.
    fn has_begun(&self, seat: usize) -> bool {
        self.taker(seat).rank < self.turns_begun
    }

    /// The work of a turn that gets as far as pushing, by what it finds.
    #[inline(always)]
    fn work_of_try(&self, seat: usize, is_empty: bool) -> u32 {
        let taker = self.taker(seat);
        let slots = if taker.flags.any(Flags::WORK_VARIES) {
            self.slots_around(taker)
        } else {
            (taker.target_slots, taker.above_slots)
        };
        taker.work_of_try(self.network.rules(), slots, is_empty)
    }

    /// The slots of the target and of what is above, where one of them comes and goes: a bench or a
    /// shuttle's dock.
    fn slots_around(&self, taker: &Taker) -> (u16, u16) {
        let slots = |part| self.world.inventories.of(part).slots;
        let target = match taker.target() {
            Target::None => 0,
            Target::Hopper(_) => HOPPER_SLOTS,
            Target::Selector(_) => 1,
            Target::Inventory(target) => slots(target),
        };
        let above = match taker.source() {
            Source::Hopper(_) => HOPPER_SLOTS,
            Source::Inventory(above) => slots(above),
            Source::Mouth(_) | Source::Cap => 0,
        };
        (target, above)
    }

    /// The work of a hopper's next turn if nothing changes before it.
    fn work_of_next_turn(&self, seat: usize) -> u32 {
        let taker = self.taker(seat);
        let still_cooling = taker.free_at > self.turns_had(seat) + 1;
        if taker.flags.any(Flags::SLEEPS) {
            0
        } else if still_cooling || taker.flags.any(Flags::LOCKED) {
            self.network.rules().work_idle
        } else {
            self.work_of_try(seat, all_empty(&taker.slots))
        }
    }

    /// Works out a hopper's standing work anew, after something that it depends on has changed.
    pub(in crate::engine) fn restate_work(&mut self, seat: usize) {
        let work = self.work_of_next_turn(seat);
        let standing = self.taker(seat).standing_work;
        if work != standing {
            self.change_standing_work(seat, work);
        }
    }

    #[inline(never)]
    fn change_standing_work(&mut self, seat: usize, work: u32) {
        let turns = self.turns_had(seat);
        let taker = &mut self.world.inventories.takers[seat];
        let was = u64::from(std::mem::replace(&mut taker.standing_work, work));
        let change = u64::from(work).wrapping_sub(was);
        taker.work_offset = taker.work_offset.wrapping_sub(turns.wrapping_mul(change));
        self.work.standing = self.work.standing.wrapping_add(change);
        if self.has_begun(seat) {
            // Its turn of this tick is over, and was done at the work before the change.
            self.work.beside = self.work.beside.wrapping_sub(change);
        }
    }

    /// Counts the turn that a hopper has just begun, which gets as far as pushing.
    #[inline(always)]
    pub(in crate::engine) fn count_try(&mut self, seat: usize, is_empty: bool) {
        let taker = &mut self.world.inventories.takers[seat];
        if taker.flags.any(Flags::WORK_VARIES) {
            return self.count_varying_try(seat, is_empty);
        }
        let slots = (taker.target_slots, taker.above_slots);
        let work = taker.work_of_try(self.network.rules(), slots, is_empty);
        taker.count_turn(&mut self.work, work.into());
    }

    #[inline(never)]
    fn count_varying_try(&mut self, seat: usize, is_empty: bool) {
        let work = u64::from(self.work_of_try(seat, is_empty));
        self.world.inventories.takers[seat].count_turn(&mut self.work, work);
    }

    /// A hopper's work since the start.
    pub(in crate::engine) fn work_units_of(&self, seat: usize) -> u64 {
        self.taker(seat).work_after(self.turns_had(seat))
    }
}

impl Taker {
    /// The work of a hopper's turn that gets as far as pushing, by the slots of its target and of what is above, and
    /// by whether it is empty.
    #[inline(always)]
    fn work_of_try(&self, rules: &Rules, (target, above): (u16, u16), is_empty: bool) -> u32 {
        let above = match above {
            0 if matches!(self.source(), Source::Mouth(_)) => rules.work_mouth,
            0 => rules.work_cap,
            slots => u32::from(slots),
        };
        let target = if is_empty { 0 } else { target };
        rules.work_try + u32::from(target) + above
    }
}
