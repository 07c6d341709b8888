//! What hoppers cost the world (tick rules, section 8), counted exactly without visiting them.
//!
//! The work of a hopper's turn stays the same until its lock, its cooldown, or whether it, its
//! target's place or the place above it hold something changes. So each hopper has a *standing work*
//! a turn, and turns are counted in bulk whenever it changes.

use super::Engine;
use crate::part::{Hopper, Intake, Part};

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
    pub(super) fn work_of_try(&self, rank: usize, hopper: &Hopper) -> u32 {
        let rules = self.network.rules();
        let own = self.world.inventories.of(self.order[rank]);
        let mut work = rules.work_try;
        if let Some(target) = hopper.target
            && !self.world.inventories.is_empty(own)
        {
            work += match self.network.part(target) {
                Part::Selector(_) => 1,
                _ => u32::from(self.world.inventories.of(target).slots),
            };
        }
        work + match hopper.intake {
            Intake::Above(above) => match self.world.inventories.of(above).slots {
                0 => rules.work_cap,
                slots => u32::from(slots),
            },
            Intake::Mouth(_) => rules.work_mouth,
            Intake::Cap => rules.work_cap,
        }
    }

    /// The work of a hopper's next turn if nothing changes before it.
    pub(super) fn work_of_next_turn(&self, rank: usize, hopper: &Hopper) -> u32 {
        let still_cooling = self.world.free_at[rank] > self.turns_had(rank) + 1;
        if self.takers[rank].is_locked || still_cooling {
            self.network.rules().work_idle
        } else {
            self.work_of_try(rank, hopper)
        }
    }

    /// Works out a hopper's standing work anew, after something that it depends on has changed.
    pub(super) fn restate_work(&mut self, rank: usize, hopper: &Hopper) {
        let work = self.work_of_next_turn(rank, hopper);
        if work != self.takers[rank].standing_work {
            self.count_turns(rank, self.turns_had(rank));
            let change = i64::from(work) - i64::from(self.takers[rank].standing_work);
            self.takers[rank].standing_work = work;
            self.change_standing(change, rank);
        }
    }

    /// Counts the turns of a hopper up to the `until`th at its standing work.
    fn count_turns(&mut self, rank: usize, until: u64) {
        let taker = &mut self.takers[rank];
        let turns = until - taker.turns_counted;
        self.world.work_units[rank] += turns * u64::from(taker.standing_work);
        taker.turns_counted = until;
    }

    fn change_standing(&mut self, change: i64, rank: usize) {
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

    /// Counts the turn that a hopper has just begun, which gets as far as pushing.
    pub(super) fn count_try(&mut self, rank: usize, hopper: &Hopper) {
        let this_turn = self.turns_had(rank);
        self.count_turns(rank, this_turn - 1);
        let work = self.work_of_try(rank, hopper);
        self.world.work_units[rank] += u64::from(work);
        self.takers[rank].turns_counted = this_turn;
        self.work.beside += i64::from(work) - i64::from(self.takers[rank].standing_work);
    }

    /// A hopper's work since the start.
    pub(super) fn work_units_of(&self, rank: usize) -> u64 {
        let taker = &self.takers[rank];
        let turns = self.turns_had(rank) - taker.turns_counted;
        self.world.work_units[rank] + turns * u64::from(taker.standing_work)
    }
}
