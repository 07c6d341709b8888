//! The machine that makes runs, with its progress shown.

use std::num::NonZeroUsize;

use anyhow::{Context, Result};
use hallwright_trials::Machine;

use crate::interrupt::{self, Awaited};
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
    let progress = Progress::new(runs, unit);
    let machine = Machine::new(needed(at_once, runs), move |over| progress.over(over));
    machine.context("the runs cannot be spread over the cores")
}

/// As [`machine`], but makes no further cases once the command was interrupted.
pub(crate) fn interruptible(
    at_once: Option<NonZeroUsize>,
    runs: u64,
    unit: &'static str,
) -> Result<Machine<'static>> {
    let progress = Progress::new(runs, unit);
    let awaited = Awaited::new();
    let machine = Machine::new(needed(at_once, runs), move |over| {
        // It lives as long as the machine.
        let _ = &awaited;
        progress.over(over);
    });
    let machine = machine.context("the runs cannot be spread over the cores")?;
    Ok(machine.cut_short_by(interrupt::came))
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
