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
    both together and each by itself, and with every seed. Its first stop is at eight ticks\n\
    spread over a clock or cooldown period. With `--stop-sweep` it is at those ticks, and the\n\
    report shows the worst run of each mark of the stop: the one with the longest time from\n\
    the stop to the mark, or one that never reaches it.\n\n\
    A goal is ok only if it is ok in all of these runs. Recorded figures are those of the\n\
    scenario as it stands. With `--set` or `--stop-sweep` nothing is compared with them.\n\
    A scenario without recorded figures is checked without them, unless `--require-figures`\n\
    is given.\n\n\
    With `--leave-at` each variant with `regions` is left as well, in up to 40 ways at each\n\
    tick. It has its own seed, and its stops as declared. A leave is missed if something broke\n\
    at the last tick, or at one at which the lamp said that the hall may be left.\n\n\
    With `--margin` each variant that misses nothing is tried with slower selectors and\n\
    shuttles as well. This changes no exit code but 3.\n\n\
    Examples:\n\
    \x20 hallwright check hall.ron\n\
    \x20 hallwright check hall.ron --record\n\
    \x20 hallwright check hall.ron scenarios/first-slice.ron --output text --output junit=check.xml\n\n\
    Exit codes:\n\
    \x20 0  all ok\n\
    \x20 1  a goal was missed, a recorded figure moved, or a hall that was left broke\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright\n\
    \x20 4  there was nothing to check"
)]
pub(crate) struct CheckFlags {
    /// Scenario files, and folders that are searched for them (*.ron).
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,

    #[command(flatten)]
    pub(crate) many: ManyRuns,

    #[command(flatten)]
    pub(crate) leaving: LeavingFlags,

    /// Try how much slower selectors and shuttles may be before anything is missed. They are taken at
    /// their word. Each group of alike ones is tried by itself, up to 16 times.
    #[arg(long)]
    pub(crate) margin: bool,

    /// Write the figures of each scenario beside it, in place of comparing them. Nothing is written of a
    /// scenario that misses a goal.
    #[arg(long, conflicts_with_all = ["variant", "set", "stop_sweep"])]
    pub(crate) record: bool,

    /// Write the figures of scenarios that miss a goal as well.
    #[arg(long, requires = "record")]
    pub(crate) record_missed: bool,

    /// Take a scenario without recorded figures for an error.
    #[arg(long, conflicts_with_all = ["record", "set", "stop_sweep"])]
    pub(crate) require_figures: bool,

    /// Where what was found goes: text, json, csv, junit, annotations or html. Without a path, to standard
    /// output. May be given several times. Without it: text.
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
    /// A line for each thing that was judged, for tables.
    Csv,
    /// A test case for each goal, in XML.
    Junit,
    /// A line for each miss, for hosted CI services.
    Annotations,
    /// A page of the first run that missed a goal, or else of the first run.
    Html,
}
