//! Flags of `calibrate`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use hallwright_scenario::{DEFAULT_PART_LIMIT, LoadOptions};

use super::root::RootFlag;
use crate::files::{Target, target};

/// Flags of `calibrate`.
#[derive(Debug, Args)]
#[command(
    after_help = "Columns: name and ms_per_tick. Each hall also has one of two:\n\
    \x20 scenario, perhaps with variant: a path beside the table; it is run and counted\n\
    \x20 hopper_turns, comparator_updates and loose_stacks: each on average in a tick\n\
    A number that is written comes before one that a run counts.\n\n\
    Examples:\n\
    \x20 hallwright calibrate scenarios/costs/measured.csv\n\n\
    Exit codes:\n\
    \x20 0  done\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct CalibrateFlags {
    /// The halls that were measured (CSV), a row for each.
    pub(crate) measured: PathBuf,

    /// The most parts that a scenario may expand to.
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PART_LIMIT)]
    pub(crate) part_limit: usize,

    #[command(flatten)]
    pub(crate) root: RootFlag,

    /// Where the weights go: text, json or csv. Without a path, to standard output. May be given several
    /// times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<CalibrateFormat>)]
    pub(crate) output: Vec<Target<CalibrateFormat>>,
}

impl CalibrateFlags {
    /// How a hall's scenario is loaded.
    pub(crate) fn options(&self, variant: Option<&str>) -> LoadOptions {
        LoadOptions {
            variant: variant.map(str::to_owned),
            part_limit: self.part_limit,
            root: self.root.root.clone(),
            ..LoadOptions::default()
        }
    }
}

/// How weights are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CalibrateFormat {
    /// A summary for people, with a line to paste.
    Text,
    /// Every number, for programs.
    Json,
    /// A line for each hall.
    Csv,
}
