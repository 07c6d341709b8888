//! What hoppers cost the world (tick rules, section 8), counted exactly without visiting them.
//!
//! The work of a hopper's turn stays the same until its lock, its cooldown, or whether it, its
//! target's place or the place above it hold something changes. So each hopper has a *standing work*
//! a turn, and turns are counted in bulk whenever it changes.

use super::Engine;
use super::slots::all_empty;
use crate::part::{Intake, Part};

/// The work of the whole network.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct WorkMeter {
    /// The standing work of all hoppers together.
    pub(super) standing: u64,
    /// What the tick under way does beside the standing work at its end.
    beside: i64,
}

impl WorkMeter {
    /// The work of the tick that is ending.
    pub(super) fn of_this_tick(&mut self) -> u64 {
        let work = self
            .standing
            .checked_add_signed(std::mem::take(&mut self.beside));
        work.expect("the work of a tick is never negative")
    }
}

impl Engine<'_> {
    /// How many turns this rank has had.
    pub(super) fn turns_had(&self, rank: usize) -> u64 {
        self.world.tick.0 + u64::from(rank < self.turns_begun as usize)
    }

    /// The work of a turn that gets as far as pushing, by what it finds.
    fn work_of_try(&self, rank: usize) -> u32 {
        let taker = &self.takers[rank];
        let own = self.world.inventories.of(taker.part);
        let is_bare = all_empty(self.world.inventories.slots(own));
        if !taker.has_fixed_work {
            return self.work_at_places(rank, is_bare);
        }
        taker.work_of_bare_try + if is_bare { 0 } else { taker.work_of_target }
    }

    /// The same where the target or what is above comes and goes: a bench or a shuttle's place.
    fn work_at_places(&self, rank: usize, is_bare: bool) -> u32 {
        let rules = self.network.rules();
        let taker = &self.takers[rank];
        let target = match taker.target {
            Some(target) if !is_bare => match self.network.part(target) {
                Part::Selector(_) => 1,
                _ => u32::from(self.world.inventories.of(target).slots),
            },
            _ => 0,
        };
        let above = match taker.intake {
            Intake::Above(above) => match self.world.inventories.of(above).slots {
                0 => rules.work_cap,
                slots => u32::from(slots),
            },
            Intake::Mouth(_) => rules.work_mouth,
            Intake::Cap => rules.work_cap,
        };
        rules.work_try + target + above
    }

    /// The work of a hopper's next turn if nothing changes before it.
    pub(super) fn work_of_next_turn(&self, rank: usize) -> u32 {
        let taker = &self.takers[rank];
        let still_cooling = taker.free_at > self.turns_had(rank) + 1;
        if taker.is_locked || still_cooling {
            self.network.rules().work_idle
        } else {
            self.work_of_try(rank)
        }
    }

    /// Works out a hopper's standing work anew, after something that it depends on has changed.
    pub(super) fn restate_work(&mut self, rank: usize) {
        let work = self.work_of_next_turn(rank);
        let standing = self.takers[rank].standing_work;
        if work == standing {
            return;
        }
        self.count_turns(rank, self.turns_had(rank));
        self.takers[rank].standing_work = work;
        let change = i64::from(work) - i64::from(standing);
        self.work.standing = self
            .work
            .standing
            .checked_add_signed(change)
            .expect("the standing work of all is at least that of one");
        if rank < self.turns_begun as usize {
            // Its turn of this tick is over, and was done at the work before the change.
            self.work.beside -= change;
        }
    }

    /// Counts the turns of a hopper up to the `until`th at its standing work.
    fn count_turns(&mut self, rank: usize, until: u64) {
        let taker = &mut self.takers[rank];
        let turns = until - taker.turns_counted;
        taker.work_units += turns * u64::from(taker.standing_work);
        taker.turns_counted = until;
    }

    /// Counts the turn that a hopper has just begun, which gets as far as pushing.
    pub(super) fn count_try(&mut self, rank: usize) {
        let this_turn = self.turns_had(rank);
        self.count_turns(rank, this_turn - 1);
        let work = self.work_of_try(rank);
        let taker = &mut self.takers[rank];
        taker.work_units += u64::from(work);
        taker.turns_counted = this_turn;
        self.work.beside += i64::from(work) - i64::from(taker.standing_work);
    }

    /// A hopper's work since the start.
    pub(super) fn work_units_of(&self, rank: usize) -> u64 {
        let taker = &self.takers[rank];
        let turns = self.turns_had(rank) - taker.turns_counted;
        taker.work_units + turns * u64::from(taker.standing_work)
    }
}
