//! Flags of `run`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use hallwright_core::tick::Tick;

use super::leaving::LeavingFlags;
use super::many_runs::Cases;
use super::one_run::OneRun;
use super::values::tick_and_file;
use crate::files::{Target, target};

/// Flags of `run`.
#[derive(Debug, Args)]
#[command(
    after_help = "With `--stop-sweep` the run is repeated with its first stop at each tick of the range.\n\
    It has the orders of `--order` and `--signal-order`. With `--shuffles N` it has declared,\n\
    reversed and N shuffled orders, both together and each by itself. With `--seeds N` it is\n\
    made with the N seeds that follow, too. The worst of all these runs is reported beside\n\
    the run itself. `--shuffles` and `--seeds` need `--stop-sweep`; `--jobs` needs it or\n\
    `--leave-at`.\n\n\
    With `--leave-at` the run is left as well, in up to 40 ways at each tick. The report says\n\
    what breaks then, and why.\n\n\
    Formats:\n\
    \x20 text    for people\n\
    \x20 json    for programs\n\
    \x20 csv     a line for each figure, for tables\n\
    \x20 html    a page for the browser\n\
    \x20 trace   every event, one JSON object a line\n\
    \x20 flat    the layout with every module and parameter worked out\n\
    \x20 floors  the same, with its placed parts drawn height by height\n\
    \x20 bundle  the scenario with its modules and tables in one file\n\n\
    Examples:\n\
    \x20 hallwright run hall.ron\n\
    \x20 hallwright run scenarios/granary.ron --variant 'five sections' --stop-at 2620\n\
    \x20 hallwright run scenarios/first-slice.ron --variant leaky --output text --output html=leaky.html\n\n\
    Exit codes:\n\
    \x20 0  done\n\
    \x20 1  a goal was missed, or something broke when the run was left\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct RunFlags {
    #[command(flatten)]
    pub(crate) run: OneRun,

    #[command(flatten)]
    pub(crate) cases: Cases,

    #[command(flatten)]
    pub(crate) leaving: LeavingFlags,

    /// Run the slow reference engine beside the fast one and compare them at every tick.
    #[arg(long)]
    pub(crate) verify: bool,

    /// Save the run before this tick, to go on later with `--resume`. May be given several times.
    #[arg(long, value_name = "TICK=FILE", value_parser = tick_and_file)]
    pub(crate) save_at: Vec<(Tick, PathBuf)>,

    /// Go on from where `--save-at` saved the run. The report is that of the whole run; a trace begins there.
    #[arg(long, value_name = "FILE")]
    pub(crate) resume: Option<PathBuf>,

    /// Where what was found goes: text, json, csv, html, trace, flat, floors or bundle. Without a path, to
    /// standard output. May be given several times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<RunFormat>)]
    pub(crate) output: Vec<Target<RunFormat>>,
}

/// How a run, or what is run, is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum RunFormat {
    /// A summary for people.
    Text,
    /// Every figure, for programs.
    Json,
    /// A line for each figure, for tables.
    Csv,
    /// A page to look at in a browser.
    Html,
    /// Every event of the run, one JSON object a line.
    Trace,
    /// The layout flat, with every module and parameter worked out.
    Flat,
    /// The layout flat, its placed parts drawn instead of linked.
    Floors,
    /// The scenario with its modules and tables as one file.
    Bundle,
}
