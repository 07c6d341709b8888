//! Clocks (tick rules, section 3): they change at once, before the other events of a tick.

use crate::engine::Engine;
use crate::engine::phases::signals::ON;
use crate::event::Observer;
use crate::id::PartId;
use crate::part::Signal;

impl Engine<'_> {
    /// A clock that is due takes the level of this tick.
    pub(super) fn change_clock<O: Observer + ?Sized>(&mut self, clock: PartId, observer: &mut O) {
        self.find_clock_change(clock);
        self.set_level(self.place(clock), self.clock_level(clock), observer);
    }

    /// Finds the next change of a clock after this tick, if there will be one.
    pub(super) fn find_clock_change(&mut self, clock: PartId) {
        let Some(&Signal::Clock {
            period_ticks,
            high_ticks,
            ..
        }) = self.network.signal(clock)
        else {
            return;
        };
        if high_ticks == 0 || high_ticks >= period_ticks {
            return;
        }
        let within = self.clock_position(clock);
        let until = if within < high_ticks {
            high_ticks - within
        } else {
            period_ticks - within
        };
        let tick = self.world.tick + u64::from(until);
        let place = self.signal_order.place(clock);
        self.world.clocks.add(tick, place, clock);
    }

    /// The level of a clock in this tick.
    pub(super) fn clock_level(&self, clock: PartId) -> u8 {
        match self.network.signal(clock) {
            Some(&Signal::Clock { high_ticks, .. }) if self.clock_position(clock) < high_ticks => {
                ON
            }
            _ => 0,
        }
    }

    /// How far into its period a clock is in this tick. Ticks that it has slept through do not count.
    fn clock_position(&self, clock: PartId) -> u32 {
        let Some(&Signal::Clock {
            period_ticks,
            phase_ticks,
            ..
        }) = self.network.signal(clock)
        else {
            return 0;
        };
        let ticks =
            i128::from(self.world.tick.0) - i128::from(self.world.clocks.slept_ticks(clock));
        let position = (ticks - i128::from(phase_ticks)).rem_euclid(period_ticks.into());
        u32::try_from(position).expect("less than the period")
    }
}
