//! Flags of `compare`.

use clap::{Args, ValueEnum};
use hallwright_report::figures::Name;

use super::build_rate::BuildRate;
use super::many_runs::ManyRuns;
use super::values::figure;
use crate::files::{Target, target};

/// Flags of `compare`.
#[derive(Debug, Args)]
#[command(
    after_help = "Each design runs in the same cases: declared, reversed and shuffled update orders and\n\
    signal orders, both together and each by itself, with every seed. Its first stop is at the\n\
    same ticks: those of `--stop-sweep`, or eight spread over the longest clock or cooldown\n\
    period.\n\n\
    The report has the best, the median and the worst of every figure. It shows how the runs\n\
    of a design differ from the first design's runs of the same cases. With several seeds it\n\
    has the mean difference with its 95 % interval (Student's t, each seed counted once).\n\n\
    Examples:\n\
    \x20 hallwright compare scenarios/first-slice.ron\n\
    \x20 hallwright compare scenarios/first-slice.ron --variant sealed --variant leaky --output csv=slices.csv\n\n\
    Exit codes:\n\
    \x20 0  done, whatever the answer is\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct CompareFlags {
    /// Scenario files, all variants of each; or one variant, written FILE#VARIANT.
    #[arg(required = true, value_name = "SCENARIO")]
    pub(crate) scenarios: Vec<String>,

    #[command(flatten)]
    pub(crate) many: ManyRuns,

    /// Report only this figure, such as `safe to close`; may be given several times.
    #[arg(long, value_name = "NAME", value_parser = figure)]
    pub(crate) figure: Vec<Name>,

    #[command(flatten)]
    pub(crate) build: BuildRate,

    /// Leave out the tables of single figures.
    #[arg(long)]
    pub(crate) brief: bool,

    /// Where what was found goes: text, markdown, csv, json, junit or html. Without a path, to standard
    /// output. May be given several times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<CompareFormat>)]
    pub(crate) output: Vec<Target<CompareFormat>>,
}

/// How what a comparison found is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CompareFormat {
    /// Tables for people.
    Text,
    /// Tables for pages.
    Markdown,
    /// A line for each figure and design.
    Csv,
    /// Every figure, for programs.
    Json,
    /// A test case for each figure, in XML.
    Junit,
    /// A page of the first two designs on one time.
    Html,
}
