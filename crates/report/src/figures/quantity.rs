//! What a figure came to, exact until it is written.

use hallwright_core::tick::Tick;

use super::Unit;
use crate::units::{Rate, Share, mean};

/// What a figure came to in one run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Quantity {
    /// How much.
    pub amount: Amount,
    /// In which unit.
    pub unit: Unit,
}

/// How much, exact.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Amount {
    /// So many.
    Count(u64),
    /// A time in ticks until something came; `None` for never.
    Ticks(Option<u64>),
    /// How many ticks something took.
    Span(u64),
    /// A moment; `None` if it never came.
    Moment(Option<Tick>),
    /// So many in so many ticks, and how many ticks a second has.
    Rate(Rate, u32),
    /// A part of a whole.
    Share(Share),
    /// So much over so many; 0 of nothing.
    Mean {
        /// The sum.
        sum: u64,
        /// Over how many.
        count: u64,
    },
}

impl Amount {
    /// A mean; `None` of nothing.
    pub(super) fn mean_of(sum: u64, count: u64) -> Option<Self> {
        (count > 0).then_some(Self::Mean { sum, count })
    }

    /// Whether it is a time or a moment that never came.
    #[must_use]
    pub fn is_never(self) -> bool {
        matches!(self, Self::Ticks(None) | Self::Moment(None))
    }
}

impl Quantity {
    /// The value as a number in its unit, by at most one division; `None` for what never came, and for
    /// a share of nothing.
    #[must_use]
    pub fn value(self) -> Option<f64> {
        match self.amount {
            Amount::Count(count) | Amount::Span(count) => Some(count as f64),
            Amount::Ticks(ticks) => ticks.map(|ticks| ticks as f64),
            Amount::Moment(tick) => tick.map(|tick| tick.0 as f64),
            Amount::Rate(rate, ticks_per_second) => Some(rate.per_second(ticks_per_second)),
            Amount::Share(share) => share.value(),
            Amount::Mean { sum, count } => Some(mean(sum, count)),
        }
    }

    /// The number, if it is a whole one: of a count, of a span, of ticks that came.
    #[must_use]
    pub fn whole(self) -> Option<u64> {
        match self.amount {
            Amount::Count(count) | Amount::Span(count) => Some(count),
            Amount::Ticks(ticks) => ticks,
            Amount::Moment(tick) => tick.map(|tick| tick.0),
            Amount::Rate(..) | Amount::Share(_) | Amount::Mean { .. } => None,
        }
    }

    /// Whether it is a time, a span of it or a moment.
    #[must_use]
    pub fn is_time(self) -> bool {
        matches!(
            self.amount,
            Amount::Ticks(_) | Amount::Span(_) | Amount::Moment(_)
        )
    }
}
