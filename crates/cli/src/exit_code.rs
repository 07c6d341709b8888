//! What the command tells the shell.

use std::process::ExitCode;

/// How a command ended. The numbers are part of the interface.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Outcome {
    /// It did what was asked, and every goal was met.
    Done,
    /// A goal was missed.
    GoalMissed,
    /// The flags or a file could not be used; nothing was run.
    Unusable,
    /// An invariant broke: a bug in hallwright.
    Broken,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Done => 0,
            Outcome::GoalMissed => 1,
            Outcome::Unusable => 2,
            Outcome::Broken => 3,
        })
    }
}
