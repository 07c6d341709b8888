//! What a run is measured in, and how it is shown: every number with its unit.
//!
//! Figures stay exact integers until they come here.

use hallwright_analysis::limits::Bound;
use serde::{Deserialize, Serialize};

pub use hallwright_names::numbers::{count, decimal, grouped, listed, seconds, time};

/// How many items went by in how many ticks: a throughput, exact until it is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Rate {
    /// Items counted.
    pub items: u64,
    /// Ticks in which they were counted.
    pub ticks: u64,
}

impl Rate {
    /// Items a second; 0 when no time passed.
    #[must_use]
    pub fn per_second(self, ticks_per_second: u32) -> f64 {
        if self.ticks == 0 {
            return 0.0;
        }
        (self.items as f64) * f64::from(ticks_per_second) / (self.ticks as f64)
    }

    /// Whether this rate is higher than the other, compared exactly.
    #[must_use]
    pub fn exceeds(self, other: Rate) -> bool {
        let own = u128::from(self.items) * u128::from(other.ticks.max(1));
        own > u128::from(other.items) * u128::from(self.ticks.max(1))
    }
}

impl From<&Bound> for Rate {
    fn from(bound: &Bound) -> Self {
        Self {
            items: bound.items,
            ticks: bound.ticks,
        }
    }
}

/// A part of a whole, exact until it is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Share {
    /// The part.
    pub part: u64,
    /// The whole.
    pub whole: u64,
}

impl Share {
    /// The share, 0 to 1; `None` when there is nothing to have a share of.
    #[must_use]
    pub fn value(self) -> Option<f64> {
        (self.whole > 0).then(|| self.part as f64 / self.whole as f64)
    }
}

/// `1 item`, `1,728 items`.
#[must_use]
pub fn items(number: u64) -> String {
    count(number, "item", "items")
}

/// Items kept apart from the boxes among them: `1,728 items and 1 box`, `3 boxes`, `2 items`.
#[must_use]
pub fn things(all: u64, boxes: u64) -> String {
    match (all.saturating_sub(boxes), boxes) {
        (_, 0) => items(all),
        (0, _) => count(boxes, "box", "boxes"),
        (others, _) => format!("{} and {}", items(others), count(boxes, "box", "boxes")),
    }
}

/// A throughput: `2.50 items/s`, `0.25 boxes/s`.
#[must_use]
pub fn rate(rate: Rate, unit: &str, ticks_per_second: u32) -> String {
    format!("{:.2} {unit}/s", rate.per_second(ticks_per_second))
}

/// A share in percent, rounded down so that 100 % means all: `98.3 %`.
#[must_use]
pub fn percent(share: Share) -> String {
    if share.whole == 0 {
        return "none to count".to_owned();
    }
    let thousandths = u128::from(share.part) * 1000 / u128::from(share.whole);
    format!("{}.{} %", thousandths / 10, thousandths % 10)
}

/// Work a tick: `84.2 units/t`.
#[must_use]
pub fn work_per_tick(units: u64, ticks: u64) -> String {
    format!("{} units/t", decimal(mean(units, ticks), 1))
}

/// What a tick takes: `1.2345 ms/t`.
#[must_use]
pub fn ms_per_tick(milliseconds: f64) -> String {
    format!("{} ms/t", decimal(milliseconds, 4))
}

/// A mean; 0 of nothing.
#[must_use]
pub fn mean(sum: u64, count: u64) -> f64 {
    if count == 0 {
        0.0
    } else {
        sum as f64 / count as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_carry_their_unit() {
        assert_eq!(items(1), "1 item");
        assert_eq!(items(1_234_567), "1,234,567 items");
        assert_eq!(things(3, 1), "2 items and 1 box");
    }

    #[test]
    fn rates_are_compared_exactly_and_shown_a_second() {
        let full = Rate {
            items: 32,
            ticks: 256,
        };
        assert_eq!(rate(full, "items", 20), "2.50 items/s");
        // 32/256 = 0.125 = 31/248; 31/250 is a little less.
        assert!(!full.exceeds(Rate {
            items: 31,
            ticks: 248
        }));
        assert!(full.exceeds(Rate {
            items: 31,
            ticks: 250
        }));
        assert_eq!(Rate::default().per_second(20), 0.0);
    }

    #[test]
    fn work_has_one_decimal() {
        assert_eq!(work_per_tick(7, 2), "3.5 units/t");
    }

    #[test]
    fn a_percentage_is_rounded_down() {
        // 1999/2000 = 99.95 %: not all.
        assert_eq!(
            percent(Share {
                part: 1999,
                whole: 2000
            }),
            "99.9 %"
        );
        assert_eq!(percent(Share { part: 3, whole: 3 }), "100.0 %");
        assert_eq!(percent(Share::default()), "none to count");
        assert_eq!(Share { part: 1, whole: 4 }.value(), Some(0.25));
    }

    #[test]
    fn long_lists_are_cut() {
        let names: Vec<String> = ["a", "b", "c", "d"].map(str::to_owned).to_vec();
        assert_eq!(listed(&names, 4), "a, b, c, d");
        assert_eq!(listed(&names, 2), "a, b … and 2 more");
    }
}
