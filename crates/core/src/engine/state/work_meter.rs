//! The work of the network and of each hopper, which follows from the tick while nothing changes.

use super::takers::{Flags, Taker};

/// The work of the whole network, in work units.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(in crate::engine) struct WorkMeter {
    /// The standing work of all hoppers together.
    pub(in crate::engine) standing: u64,
    /// What the tick under way does beside the standing work at its end; wraps below 0.
    pub(in crate::engine) beside: u64,
}

impl WorkMeter {
    /// The work of the tick that is ending.
    pub(in crate::engine) fn of_this_tick(&mut self) -> u64 {
        self.standing.wrapping_add(std::mem::take(&mut self.beside))
    }
}

impl Taker {
    /// Its work in so many turns from the start.
    pub(in crate::engine) fn work_after(&self, turns: u64) -> u64 {
        turns
            .wrapping_mul(u64::from(self.standing_work))
            .wrapping_add(self.work_offset)
    }

    /// Counts a turn of this tick that does other work than the standing one.
    #[inline]
    pub(in crate::engine) fn count_turn(&mut self, meter: &mut WorkMeter, work: u64) {
        let more = work.wrapping_sub(u64::from(self.standing_work));
        self.work_offset = self.work_offset.wrapping_add(more);
        meter.beside = meter.beside.wrapping_add(more);
    }

    /// As it is saved: nothing in it that depends on how the run came here.
    pub(in crate::engine) fn saved(mut self, turns: u64) -> Self {
        self.work_offset = self.work_after(turns);
        self.standing_work = 0;
        // Cooldowns that are over are alike, however long ago they ended.
        if self.free_at <= turns {
            self.free_at = 0;
        }
        self.flags
            .clear(Flags::LOCKED | Flags::IDLE | Flags::AWAITED);
        self
    }
}
