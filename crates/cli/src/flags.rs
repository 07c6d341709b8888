//! The flags, as the builder types them: one file for each command, and the groups that they share.

mod build_rate;
mod calibrate;

mod check;
mod compare;
mod completions;
mod explain;
mod leaving;
mod levels;
mod loading;
mod many_runs;
mod new;
mod one_run;
mod plan;
mod root;
mod run;
mod sheet;
mod show;
mod tune;
mod values;

use clap::{ColorChoice, Parser, Subcommand};

pub(crate) use calibrate::{CalibrateFlags, CalibrateFormat};
pub(crate) use check::{CheckFlags, CheckFormat};
pub(crate) use compare::{CompareFlags, CompareFormat};
pub(crate) use completions::CompletionsFlags;
pub(crate) use explain::{ExplainFlags, ExplainFormat};
pub(crate) use leaving::LeavingFlags;
pub(crate) use levels::{LevelsFlags, LevelsFormat};
pub(crate) use many_runs::{Cases, SHUFFLES};
pub(crate) use new::NewFlags;
pub(crate) use one_run::OneRun;
pub(crate) use plan::{PlanFlags, PlanFormat};
pub(crate) use run::{RunFlags, RunFormat};
pub(crate) use sheet::{SheetFlags, SheetFormat};
pub(crate) use show::{ShowFlags, ShowFormat};
pub(crate) use tune::{By, TuneFlags, TuneFormat};

/// Tries a storage hall's sorter before the first block is placed.
#[derive(Debug, Parser)]
#[command(version, about, long_about = None, max_term_width = 100)]
pub(crate) struct Flags {
    /// Report only results, errors and warnings: no notes and no progress.
    #[arg(long, global = true, display_order = 900)]
    pub(crate) quiet: bool,

    /// When diagnostics are in colour. `auto`: on a terminal, unless `NO_COLOR`, `CLICOLOR`, `CLICOLOR_FORCE` or `TERM`
    /// ask for something else.
    #[arg(
        long,
        global = true,
        display_order = 901,
        value_name = "WHEN",
        default_value = "auto"
    )]
    pub(crate) color: ColorChoice,

    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Run a scenario and say what was found.
    Run(Box<RunFlags>),
    /// Draw a run, or two variants of it, as a page to look at in a browser.
    Show(Box<ShowFlags>),
    /// Check scenarios: every variant in several orders, seeds and stop ticks.
    Check(CheckFlags),
    /// Look through ranges of parameters for the cheapest design that meets all goals.
    Tune(TuneFlags),
    /// Compare designs: variants, or different scenarios that do the same job, side by side.
    Compare(CompareFlags),
    /// Say why a stop took so long, and what went wrong where.
    Explain(Box<ExplainFlags>),
    /// Write a small scenario to start from.
    New(NewFlags),
    /// Plan a hall from a catalogue of goods, and write a scenario of it.
    Plan(PlanFlags),
    /// Write the build sheet: what stands where, what to bring, and in which order to build it.
    Sheet(SheetFlags),
    /// Say from how many items on a comparator reads each level.
    Levels(LevelsFlags),
    /// Work out what a hall costs the world, in milliseconds, from halls that you measured.
    Calibrate(CalibrateFlags),
    /// Write a script by which a shell completes commands and flags.
    Completions(CompletionsFlags),
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_flags_are_sound() {
        Flags::command().debug_assert();
    }
}
