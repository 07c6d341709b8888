//! Flags of `run`.

use clap::{Args, ValueEnum};

use super::leaving::LeavingFlags;
use super::many_runs::Cases;
use super::one_run::OneRun;
use crate::files::{Target, target};

/// Flags of `run`.
#[derive(Debug, Args)]
#[command(
    after_help = "With `--stop-sweep` the run is repeated with its first stop at each tick of the range,\n\
    in the orders of `--order` and `--signal-order`; with `--shuffles N` in declared,\n\
    reversed and N shuffled orders, both together and each by itself; with `--seeds N`\n\
    with the N seeds that follow, too. Then the worst of all these runs is reported beside\n\
    the run itself.\n\n\
    With `--leave-at` the run is left as well, in up to 40 ways at each tick: what breaks then\n\
    is reported, with why.\n\n\
    Formats: text for people, json for programs, html a page for the browser, trace every\n\
    event, one JSON object a line, flat the layout with every module and parameter worked\n\
    out, floors the same with its placed parts drawn height by height, bundle the scenario\n\
    with its modules and tables in one file.\n\n\
    Exit codes: 0 done, 1 a goal was missed, or something broke when the run was left, 2 the\n\
    flags or a file cannot be used, 3 an invariant broke (a bug in hallwright)."
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

    /// Where what was found goes: text, json, html, trace, flat, floors or bundle, to a file or, without a
    /// path, to standard output; may be given several times. Without it: text.
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
