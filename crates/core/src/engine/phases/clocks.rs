//! Clocks (tick rules, section 3): they change at once, before the other events of a tick.

use crate::engine::Engine;
use crate::engine::phases::signals::ON;
use crate::event::Observer;
use crate::id::PartId;
use crate::part::Signal;

/// Where a clock stands in a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct ClockHand {
    level: u8,
    /// In how many ticks it changes; `None` if it never does.
    changes_in: Option<u32>,
}

impl Engine<'_> {
    /// A clock that is due changes. Where it stands follows without working it out.
    pub(super) fn change_clock<O: Observer + ?Sized>(&mut self, clock: PartId, observer: &mut O) {
        let place = self.place(clock);
        let level = ON - self.own_level(place);
        if let Some(&Signal::Clock {
            period_ticks,
            high_ticks,
            ..
        }) = self.network.signal(clock)
        {
            debug_assert_eq!(level, self.clock_level(clock), "it is due");
            let low_ticks = period_ticks - high_ticks;
            self.expect_clock_change(clock, if level > 0 { high_ticks } else { low_ticks });
        }
        self.set_level(place, level, observer);
    }

    /// Has a clock change again after this tick.
    pub(super) fn start_clock(&mut self, clock: PartId) {
        if let Some(ticks) = self.clock_hand(clock).changes_in {
            self.expect_clock_change(clock, ticks);
        }
    }

    /// The level of a clock in this tick.
    pub(super) fn clock_level(&self, clock: PartId) -> u8 {
        self.clock_hand(clock).level
    }

    fn expect_clock_change(&mut self, clock: PartId, in_ticks: u32) {
        let tick = self.world.tick + u64::from(in_ticks);
        let place = self.signal_order.place(clock);
        self.world.clocks.add(tick, place, clock);
    }

    /// Ticks that it has slept through do not count.
    fn clock_hand(&self, clock: PartId) -> ClockHand {
        let Some(&Signal::Clock {
            period_ticks,
            high_ticks,
            phase_ticks,
        }) = self.network.signal(clock)
        else {
            unreachable!("only clocks have a hand")
        };
        let ticks = self.world.tick.0 - self.world.clocks.slept_ticks(clock);
        let within = clock_position(ticks, period_ticks, phase_ticks);
        let changes_in = if within < high_ticks {
            high_ticks - within
        } else {
            period_ticks - within
        };
        ClockHand {
            level: if within < high_ticks { ON } else { 0 },
            changes_in: (high_ticks > 0 && high_ticks < period_ticks).then_some(changes_in),
        }
    }
}

/// How far into its period a clock is after so many ticks.
fn clock_position(ticks: u64, period_ticks: u32, phase_ticks: i64) -> u32 {
    let period = u64::from(period_ticks);
    let phase = phase_ticks.rem_euclid(i64::from(period_ticks));
    let within = (ticks % period + period - phase.unsigned_abs()) % period;
    u32::try_from(within).expect("less than the period")
}

#[cfg(test)]
mod tests {
    use super::clock_position;

    #[test]
    fn a_clock_goes_round_whatever_its_phase() {
        for (ticks, phase, within) in [(0, 0, 0), (6, 0, 6), (7, 0, 0), (0, 2, 5), (3, -5, 1)] {
            assert_eq!(clock_position(ticks, 7, phase), within, "{ticks} {phase}");
        }
        assert_eq!(clock_position(0, 10, i64::MAX), 3);
        assert_eq!(clock_position(0, 10, i64::MIN), 8);
        assert_eq!(clock_position(u64::MAX, 1, i64::MIN), 0);
    }
}
