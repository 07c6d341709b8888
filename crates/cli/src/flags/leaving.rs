//! Flags that say when a hall is left: of `check` and `run`.

use clap::{Args, value_parser};
use hallwright_trials::StopRange;
use hallwright_trials::leave::MOST_PATTERNS;

use super::values::tick_range;

/// When a hall is left, and in how many ways.
#[derive(Clone, Debug, Args)]
pub(crate) struct LeavingFlags {
    /// Leave the hall at the end of each tick of a range, or of one, such as 2550. Its `regions` fall
    /// asleep one after another, and it is opened again in other orders.
    #[arg(long, value_name = "FROM..TO/STEP", value_parser = tick_range)]
    pub(crate) leave_at: Option<StopRange>,

    /// In how many ways to leave it at each tick, 1 to 40; 40 if left out.
    #[arg(long, value_name = "N", requires = "leave_at",
        value_parser = value_parser!(u64).range(1..=MOST_PATTERNS as u64))]
    pub(crate) leave_ways: Option<u64>,
}

impl LeavingFlags {
    /// In how many ways at most.
    pub(crate) fn most_ways(&self) -> usize {
        let ways = self.leave_ways.and_then(|ways| usize::try_from(ways).ok());
        ways.unwrap_or(MOST_PATTERNS)
    }

    /// The same for one tick.
    pub(crate) fn at(&self, tick: hallwright_core::tick::Tick) -> Self {
        Self {
            leave_at: Some(StopRange {
                from: tick,
                to: tick,
                step_ticks: 1,
            }),
            ..self.clone()
        }
    }

    /// As a shell takes it.
    pub(crate) fn words(&self) -> Vec<String> {
        let range = self.leave_at.map(|range| match range.from == range.to {
            true => format!("--leave-at {}", range.from),
            false => format!(
                "--leave-at {}..{}/{}",
                range.from, range.to, range.step_ticks
            ),
        });
        let ways = self.leave_ways.map(|ways| format!("--leave-ways {ways}"));
        range.into_iter().chain(ways).collect()
    }
}
