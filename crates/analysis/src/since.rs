//! Since when a condition has been true.

use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

/// Since the end of which tick a condition has been true without a break; conditions are looked at at the
/// ends of ticks.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Since(Option<Tick>);

impl Since {
    /// A condition that is true, or not, at the start.
    pub fn start(is_so: bool) -> Self {
        Self(is_so.then_some(Tick(0)))
    }

    /// That nothing of some sort happens, which it did last in this tick.
    pub fn from_last(last: Option<Tick>) -> Self {
        Self(Some(last.unwrap_or(Tick(0))))
    }

    /// The condition as it is at the end of tick `at`.
    pub fn update(&mut self, is_so: bool, at: Tick) {
        match (is_so, self.0) {
            (false, _) => self.0 = None,
            (true, None) => self.0 = Some(at),
            (true, Some(_)) => {}
        }
    }

    /// Since when both conditions have held.
    pub fn and(self, other: Since) -> Since {
        Since(self.0.zip(other.0).map(|(own, other)| own.max(other)))
    }

    /// Ticks from `start` to the first tick from which the condition has been true; `None` if it does
    /// not true now.
    pub fn ticks_after(self, start: Tick) -> Option<u64> {
        self.0.map(|since| since.0.saturating_sub(start.0))
    }

    /// The condition, if at the end of the tick before `until` it has been true for so many ticks.
    pub fn at_least(self, ticks: u64, until: Tick) -> Since {
        Since(self.0.filter(|since| since.0 + ticks <= until.0))
    }

    /// Whether the condition is true now.
    pub fn is_so(self) -> bool {
        self.0.is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_the_tick_after_the_last_violation() {
        let mut since = Since::start(true);
        assert_eq!(since.ticks_after(Tick(10)), Some(0));
        since.update(false, Tick(12));
        assert_eq!(since.ticks_after(Tick(10)), None);
        since.update(true, Tick(15));
        since.update(true, Tick(20));
        // Last violated at the end of tick 14 at the latest, so from tick 15 on: 5 ticks after 10.
        assert_eq!(since.ticks_after(Tick(10)), Some(5));
        assert_eq!(since.ticks_after(Tick(18)), Some(0));
    }

    #[test]
    fn two_conditions_hold_since_the_later_of_both() {
        let mut other = Since::default();
        assert!(!Since::start(true).and(other).is_so());
        other.update(true, Tick(7));
        assert_eq!(Since::start(true).and(other).ticks_after(Tick(0)), Some(7));
    }
}
