//! Flags of `explain`.

use clap::{Args, ValueEnum};
use hallwright_declared::declarations::Mark;

use super::one_run::OneRun;
use crate::files::{Target, target};

/// Flags of `explain`.
#[derive(Debug, Args)]
#[command(
    after_help = "The waits that are reported add up to the time from the stop to the mark.\n\n\
    Examples:\n\
    \x20 hallwright explain hall.ron\n\
    \x20 hallwright explain scenarios/granary.ron --variant 'one section'\n\
    \x20 hallwright explain scenarios/granary.ron --variant 'one section' --mark cleared\n\n\
    Exit codes:\n\
    \x20 0  done\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct ExplainFlags {
    #[command(flatten)]
    pub(crate) run: OneRun,

    /// The mark of the first stop that is explained.
    #[arg(long, value_enum, default_value_t = MarkFlag::SafeToClose)]
    pub(crate) mark: MarkFlag,

    /// Where the explanation goes: text or json. Without a path, to standard output. May be given several
    /// times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<ExplainFormat>)]
    pub(crate) output: Vec<Target<ExplainFormat>>,
}

/// How an explanation is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum ExplainFormat {
    /// A page for people.
    Text,
    /// Every figure, for programs.
    Json,
}

/// A mark of a stop.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum MarkFlag {
    /// Lines and lifts hold nothing.
    Cleared,
    /// Besides, every lock is on, no pulse is under way and nothing is loose.
    SafeToClose,
    /// Nothing moves.
    Quiet,
}

impl MarkFlag {
    /// The flag that chooses it again.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Cleared => " --mark cleared",
            Self::SafeToClose => "",
            Self::Quiet => " --mark quiet",
        }
    }
}

impl From<MarkFlag> for Mark {
    fn from(flag: MarkFlag) -> Self {
        match flag {
            MarkFlag::Cleared => Self::Cleared,
            MarkFlag::SafeToClose => Self::SafeToClose,
            MarkFlag::Quiet => Self::Quiet,
        }
    }
}
