//! Flags of `tune`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use hallwright_trials::tune::Measure;

use super::build_rate::BuildRate;
use super::many_runs::ManyRuns;
use crate::files::{Target, target};

/// Flags of `tune`.
#[derive(Debug, Args)]
#[command(
    after_help = "Every design of values runs as in `check`: in declared, reversed and shuffled update\n\
    orders and signal orders, both together and each by itself, with every seed. Its first\n\
    stop is at eight ticks spread over a clock or cooldown period, or at those of\n\
    `--stop-sweep`. A design is given up with the first run that misses a goal. Goals for the\n\
    variant that `--variant` starts from must be met, too. A parameter of `--set` has that one\n\
    value.\n\n\
    Results are kept in the folder `.hallwright` beside the scenario, so an interrupted search\n\
    goes on where it was. The folder may be removed at any time.\n\n\
    Examples:\n\
    \x20 hallwright tune scenarios/granary/line.ron --range call_hold=100..200/50 --shuffles 0\n\n\
    Exit codes:\n\
    \x20 0  a design meets all goals\n\
    \x20 1  none does\n\
    \x20 2  the flags or a file cannot be used, or no design compiles\n\
    \x20 3  an invariant broke: a bug in hallwright\n\
    \x20 4  there is no goal to meet"
)]
pub(crate) struct TuneFlags {
    /// The scenario file (RON), which declares `ranges` of its parameters.
    pub(crate) scenario: PathBuf,

    #[command(flatten)]
    pub(crate) many: ManyRuns,

    /// The values to try for a parameter, such as `call_hold=40..200/8` or `sections=1,2,4`, in
    /// place of those declared; may be given several times.
    #[arg(long, value_name = "NAME=RANGE", value_parser = name_and_range)]
    pub(crate) range: Vec<(String, String)>,

    /// The figure of which the cheapest design has the least. Ties: the other figures, in this order,
    /// then the first one tried.
    #[arg(long, value_enum, default_value_t = By::Hoppers)]
    pub(crate) by: By,

    #[command(flatten)]
    pub(crate) build: BuildRate,

    /// The most runs that a search may come to.
    #[arg(long, value_name = "N", default_value_t = 20_000)]
    pub(crate) run_limit: u64,

    /// Keep results in this folder.
    #[arg(long, value_name = "DIR")]
    pub(crate) cache: Option<PathBuf>,

    /// Keep no results, and use none that were kept.
    #[arg(long, conflicts_with = "cache")]
    pub(crate) no_cache: bool,

    /// Where what was found goes: text, json, csv or variant. Without a path, to standard output. May be
    /// given several times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<TuneFormat>)]
    pub(crate) output: Vec<Target<TuneFormat>>,
}

/// What a search looks for the least of.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum By {
    /// Hoppers.
    Hoppers,
    /// Mean work a tick, of the worst run.
    Work,
    /// Width in blocks.
    Width,
    /// How long the worst stop takes until it is safe to close (without sections: until all is quiet).
    Stop,
    /// Hours that it takes to build.
    BuildHours,
}

impl From<By> for Measure {
    fn from(by: By) -> Self {
        match by {
            By::Hoppers => Self::Hoppers,
            By::Work => Self::Work,
            By::Width => Self::Width,
            By::Stop => Self::Stop,
            By::BuildHours => Self::BuildHours,
        }
    }
}

/// How what a search found is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum TuneFormat {
    /// A summary for people.
    Text,
    /// Every design, for programs.
    Json,
    /// Every design, a line each.
    Csv,
    /// The cheapest design, as a line to put among the scenario's variants.
    Variant,
}

fn name_and_range(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, range)) if !name.is_empty() && !range.is_empty() => {
            Ok((name.to_owned(), range.to_owned()))
        }
        _ => Err(
            "write it as NAME=FROM..TO/STEP, such as `call_hold=40..200/8`, or as \
            NAME=VALUE,VALUE…, such as `sections=1,2,4`"
                .to_owned(),
        ),
    }
}
