//! The machine that makes runs, with its progress shown.

use std::num::NonZeroUsize;

use anyhow::{Context, Result};
use hallwright_trials::Machine;

use crate::progress::Progress;

/// So many runs at once, but no more than there are.
fn needed(at_once: Option<NonZeroUsize>, runs: u64) -> Option<NonZeroUsize> {
    let runs = usize::try_from(runs).unwrap_or(usize::MAX);
    let runs = NonZeroUsize::new(runs).unwrap_or(NonZeroUsize::MIN);
    at_once.map(|at_once| at_once.min(runs))
}

/// A machine for so many runs at once (`None`: as many as there are cores), which shows how many of
/// all are over.
pub(crate) fn machine(
    at_once: Option<NonZeroUsize>,
    runs: u64,
    unit: &'static str,
) -> Result<Machine<'static>> {
    let mut progress = Progress::new(runs, unit);
    let machine = Machine::new(needed(at_once, runs), move |over| progress.at(over));
    machine.context("the runs cannot be spread over the cores")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_no_more_threads_than_runs() {
        let threads =
            |at_once, runs| needed(NonZeroUsize::new(at_once), runs).map(NonZeroUsize::get);
        assert_eq!(threads(1_000_000, 3), Some(3));
        assert_eq!(threads(2, 3), Some(2));
        assert_eq!(threads(7, 0), Some(1));
        assert_eq!(needed(None, 3), None);
    }
}
