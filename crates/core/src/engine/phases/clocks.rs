//! Clocks (tick rules, section 3): they change at once, before the other events of a tick.

use crate::engine::Engine;
use crate::engine::phases::signals::ON;
use crate::engine::state::clocks::Change;
use crate::engine::tables::gates::Rule;
use crate::event::Observer;
use crate::id::PartId;
use crate::part::Signal;
use crate::tick::Tick;

/// Where a clock stands in a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct ClockHand {
    level: u8,
    /// In how many ticks it changes; `None` if it never does.
    changes_in: Option<u32>,
}

impl Engine<'_> {
    /// Clocks that are due change over, in their order. Most are alike, and change again in one or two ticks.
    pub(super) fn change_clocks<O: Observer + ?Sized>(
        &mut self,
        due: Vec<Change>,
        observer: &mut O,
    ) {
        let mut again: Vec<(Tick, Vec<Change>)> = Vec::new();
        for change in &due {
            let ticks = self.change_clock(change.clock, observer);
            let tick = self.world.tick + u64::from(ticks);
            if let Some((_, alike)) = again.iter_mut().find(|(other, _)| *other == tick) {
                alike.push(*change);
            } else {
                let mut alike = self.world.clocks.empty_list(due.len());
                alike.push(*change);
                again.push((tick, alike));
            }
        }
        for (tick, alike) in again {
            self.world.clocks.add_all(tick, alike);
        }
        self.world.clocks.keep_list(due);
    }

    /// A clock changes over. Where it stands follows without working it out. Gives in how many ticks it does so again.
    fn change_clock<O: Observer + ?Sized>(&mut self, clock: PartId, observer: &mut O) -> u32 {
        let place = self.place(clock);
        let level = ON - self.own_level(place);
        debug_assert_eq!(level, self.clock_level(clock), "it is due");
        self.set_level(place, level, observer);
        self.ticks_of_level(place)
    }

    /// For how many ticks in all a clock, by its place, has the level that it has.
    #[inline]
    fn ticks_of_level(&self, place: usize) -> u32 {
        let Rule::Clock {
            high_ticks,
            low_ticks,
        } = self.gates.of(place).rule
        else {
            unreachable!("only clocks change over")
        };
        if self.own_level(place) > 0 {
            high_ticks
        } else {
            low_ticks
        }
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
