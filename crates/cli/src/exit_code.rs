//! What the command reports the shell.

use std::process::ExitCode;

use hallwright_trials::check::CheckOutcome;

/// How a command ended. The numbers are part of the interface.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Outcome {
    /// It did what was asked, and every goal was met.
    Done,
    /// A goal was missed, or a recorded figure moved.
    GoalMissed,
    /// The flags or a file could not be used; nothing was run.
    Unusable,
    /// An invariant broke: a bug in hallwright.
    Broken,
    /// There was nothing to check.
    NothingFound,
    /// It was interrupted, and reported what it had by then.
    CutShort,
}

impl Outcome {
    fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::GoalMissed => 1,
            Self::Unusable => 2,
            Self::Broken => 3,
            Self::NothingFound => 4,
            // What shells report of a command that an interrupt ended.
            Self::CutShort => 130,
        }
    }
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome.code())
    }
}

impl From<CheckOutcome> for Outcome {
    fn from(outcome: CheckOutcome) -> Self {
        match outcome {
            CheckOutcome::Broken => Self::Broken,
            CheckOutcome::Unusable => Self::Unusable,
            CheckOutcome::Missed => Self::GoalMissed,
            CheckOutcome::CutShort => Self::CutShort,
            CheckOutcome::Nothing => Self::NothingFound,
            CheckOutcome::Ok => Self::Done,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_are_those_of_the_documentation() {
        let code = |outcome: CheckOutcome| Outcome::from(outcome).code();
        assert_eq!(code(CheckOutcome::Ok), 0);
        assert_eq!(code(CheckOutcome::Missed), 1);
        assert_eq!(code(CheckOutcome::Unusable), 2);
        assert_eq!(code(CheckOutcome::Broken), 3);
        assert_eq!(code(CheckOutcome::Nothing), 4);
        assert_eq!(code(CheckOutcome::CutShort), 130);
    }
}
