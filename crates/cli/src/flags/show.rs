//! Flags of `show`.

use clap::{Args, ValueEnum};

use super::one_run::OneRun;
use crate::files::{Target, target};

/// Flags of `show`.
#[derive(Debug, Args)]
#[command(
    after_help = "With two variants, both are drawn on one time. The page is one file that needs no\n\
    network: a summary, a map, curves, and a cursor that goes through every tick. It stays\n\
    below 5 MB. If something had to be left out for that, standard error and the page say so.\n\n\
    Examples:\n\
    \x20 hallwright show hall.ron\n\
    \x20 hallwright show scenarios/first-slice.ron --variant sealed --variant leaky --output html=pair.html\n\n\
    Exit codes:\n\
    \x20 0  the page is written\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct ShowFlags {
    #[command(flatten)]
    pub(crate) run: OneRun,

    /// Where the page goes: html, to a file or, without a path, to standard output. Without it: to a
    /// file with the scenario's name and `.html`, in the folder you are in.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<ShowFormat>)]
    pub(crate) output: Vec<Target<ShowFormat>>,
}

/// How a run is drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum ShowFormat {
    /// A page to look at in a browser.
    Html,
}
