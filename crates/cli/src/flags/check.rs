//! Flags of `check`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::leaving::LeavingFlags;
use super::many_runs::ManyRuns;
use crate::files::{Target, target};

/// Flags of `check`.
#[derive(Debug, Args)]
#[command(
    after_help = "Each variant runs in declared, reversed and shuffled update orders and signal orders,\n\
    both together and each by itself, with every seed, and with its first stop at eight\n\
    ticks spread over a clock or cooldown period, or at those of `--stop-sweep`: then the\n\
    worst of each mark of the stop is reported, with the run it was in. A goal is ok only\n\
    if it is ok in all of these runs. Recorded figures are those of the scenario as it\n\
    stands: with `--set` or `--stop-sweep` nothing is compared with them.\n\n\
    With `--leave-at` each variant with `regions` is left as well, with its own seed and its\n\
    stops as declared, in up to 40 ways at each tick: missed, if something broke at the last\n\
    tick, or at one at which the lamp said that the hall may be left.\n\n\
    With `--margin` each variant that misses nothing is tried with slower selectors and\n\
    shuttles as well. What is found there changes no exit code but 3.\n\n\
    Exit codes: 0 all ok, 1 a goal was missed, a recorded figure moved, or something broke in\n\
    a hall that was left, 2 the flags or a file cannot be used, 3 an invariant broke (a bug\n\
    in hallwright), 4 there was nothing to check."
)]
pub(crate) struct CheckFlags {
    /// Scenario files, and folders that are searched for them (*.ron).
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,

    #[command(flatten)]
    pub(crate) many: ManyRuns,

    #[command(flatten)]
    pub(crate) leaving: LeavingFlags,

    /// Try how much slower selectors and shuttles, which are taken at their word, may be before anything
    /// is missed: each group of alike ones by itself, up to 16 times.
    #[arg(long)]
    pub(crate) margin: bool,

    /// Write the figures of each scenario beside it, in place of comparing them.
    #[arg(long, conflicts_with_all = ["variant", "set", "stop_sweep"])]
    pub(crate) record: bool,

    /// Where what was found goes: text, json, junit, annotations or html, to a file or, without a path,
    /// to standard output; may be given several times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<CheckFormat>)]
    pub(crate) output: Vec<Target<CheckFormat>>,
}

impl CheckFlags {
    /// Whether scenarios run as they stand, so that recorded figures are theirs.
    pub(crate) fn is_as_recorded(&self) -> bool {
        self.many.loading.set.is_empty() && self.many.cases.stop_sweep.is_none()
    }
}

/// How what a check found is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CheckFormat {
    /// A line for each scenario, more for what was missed.
    Text,
    /// Every figure, for programs.
    Json,
    /// A test case for each goal, in XML.
    Junit,
    /// A line for each miss, for hosted CI services.
    Annotations,
    /// A page of the first run that missed a goal, or else of the first run.
    Html,
}
