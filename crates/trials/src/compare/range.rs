//! Best, median and worst over many runs.

use std::cmp::Ordering;

use hallwright_report::figures::Quantity;
use serde::{Deserialize, Serialize};

/// What one run measured of one figure.
///
/// Numbers come from whole counts by at most one division, so that what is equal stays equal.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
pub enum Value {
    /// So much, in the unit of the figure.
    Number(f64),
    /// It never came to it.
    Never,
    /// There was nothing to measure: no restart was reached, no width is declared.
    #[default]
    Nothing,
}

impl Value {
    /// The number, if it is one.
    #[must_use]
    pub fn number(self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(number),
            Self::Never | Self::Nothing => None,
        }
    }

    /// The number of what is counted in whole ones.
    #[must_use]
    pub fn whole(self) -> Option<u64> {
        self.number().map(|number| number as u64)
    }

    /// What a figure came to.
    pub(crate) fn of(quantity: Option<Quantity>) -> Self {
        let value = quantity.and_then(Quantity::value);
        match value {
            Some(number) => Self::Number(number),
            None if quantity.is_some_and(|quantity| quantity.amount.is_never()) => Self::Never,
            None => Self::Nothing,
        }
    }

    /// The better one first. Never is worse than any number.
    pub(crate) fn better(self, other: Self, more_is_better: bool) -> Ordering {
        match (self.number(), other.number()) {
            (Some(own), Some(other)) if more_is_better => other.total_cmp(&own),
            (Some(own), Some(other)) => own.total_cmp(&other),
            (own, other) => other.is_some().cmp(&own.is_some()),
        }
    }
}

/// What a figure was over many runs. Each of the three is a value of some run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Range {
    /// The best.
    pub best: Value,
    /// The one in the middle; of an even number of runs, the worse of the two in the middle.
    pub median: Value,
    /// The worst.
    pub worst: Value,
    /// In how many runs it was measured.
    pub runs: u64,
    /// In how many of them it never came to it.
    pub never: u64,
}

/// Best, median and worst of these; `None` if nothing was measured.
#[must_use]
pub fn range_of(values: &[Value], more_is_better: bool) -> Option<Range> {
    let measured = values.iter().filter(|value| **value != Value::Nothing);
    let mut sorted: Vec<Value> = measured.copied().collect();
    sorted.sort_by(|own, other| own.better(*other, more_is_better));
    let never = sorted.iter().filter(|value| **value == Value::Never);
    Some(Range {
        best: *sorted.first()?,
        median: sorted[sorted.len() / 2],
        worst: *sorted.last()?,
        runs: sorted.len() as u64,
        never: never.count() as u64,
    })
}

#[cfg(test)]
mod tests {
    use super::Value::{Never, Nothing, Number};
    use super::*;

    #[test]
    fn the_median_is_a_value_of_a_run() {
        // Sorted: 3, 5, 8, 9. The two in the middle are 5 and 8; the worse is 8, or 5 where more is
        // better.
        let values = [8.0, 3.0, 9.0, 5.0].map(Number);
        let range = range_of(&values, false).expect("it was measured");
        assert_eq!(
            [range.best, range.median, range.worst],
            [3.0, 8.0, 9.0].map(Number)
        );
        let range = range_of(&values, true).expect("it was measured");
        assert_eq!(
            [range.best, range.median, range.worst],
            [9.0, 5.0, 3.0].map(Number)
        );
    }

    #[test]
    fn never_is_the_worst_and_nothing_does_not_count() {
        // 4, 6, never: the middle one is 6.
        let values = [Never, Number(6.0), Nothing, Number(4.0)];
        let range = range_of(&values, false).expect("it was measured");
        assert_eq!(
            [range.best, range.median, range.worst],
            [Number(4.0), Number(6.0), Never]
        );
        assert_eq!((range.runs, range.never), (3, 1));
        assert_eq!(range_of(&[Nothing], false), None);
    }
}
