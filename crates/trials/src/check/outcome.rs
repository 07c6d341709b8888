//! What a whole check found.

use std::time::Duration;

use serde::Serialize;

use super::fold::{Fold, GoalChecked};
use super::record::Compared;
use crate::leave::LeaveAsked;
use crate::margin::Margin;
use hallwright_report::units::count;
use hallwright_report::verdicts::Ruling;

/// Everything that a check found.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CheckReport {
    /// The version of this program.
    pub version: String,
    /// Each scenario and variant, in the order of checking.
    pub checked: Vec<Checked>,
    /// Files that could not be used, and records without their scenario.
    pub problems: Vec<Problem>,
    /// Paths in which there was nothing to check.
    pub empty: Vec<String>,
    /// Files that hold only modules, and were not run.
    pub module_files: Vec<String>,
    /// Files of figures that were written.
    pub recorded: Vec<String>,
}

/// One scenario in one variant.
#[derive(Clone, PartialEq, Debug)]
pub struct Checked {
    /// Its file.
    pub file: String,
    /// Its title.
    pub title: String,
    /// The variant; `None` if it has none.
    pub variant: Option<String>,
    /// The digest of everything that was read.
    pub input_digest: String,
    /// How many runs were made.
    pub runs: u64,
    /// How many runs more were to be made, and were not because the check was cut short.
    pub unmade_runs: u64,
    /// How long they took, all together: the only thing here that is not the same the next time.
    pub took: Duration,
    /// What they came to.
    pub fold: Fold,
    /// How it compares with its recorded figures, if there are any.
    pub compared: Option<Compared>,
    /// What becomes of it when it is left, if that was asked.
    pub leave: Option<LeaveAsked>,
    /// How much slower what is taken at its word may be, if that was asked.
    pub margin: Option<Margin>,
}

/// Something wrong that is not in a run. Its fields are written for programs by their names.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Problem {
    /// The file.
    pub file: String,
    /// The line, from 1, if that is known.
    pub line: Option<usize>,
    /// What is wrong.
    pub message: String,
    /// Whether the file is a record that lost its scenario or variant, which is a miss. Otherwise it
    /// cannot be used at all.
    #[serde(skip)]
    pub is_orphan: bool,
}

/// How a check ended, the worst first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum CheckOutcome {
    /// An invariant broke.
    Broken,
    /// A file could not be used.
    Unusable,
    /// A goal was missed, or a recorded figure moved.
    Missed,
    /// It was cut short: nothing was missed in the runs that were made.
    CutShort,
    /// There was nothing to check.
    Nothing,
    /// All goals hold.
    Ok,
}

impl Checked {
    /// What was missed: goals, and what is judged though no goal asks it.
    pub fn missed(&self) -> impl Iterator<Item = &GoalChecked> {
        self.fold.goals.iter().filter(|goal| !goal.is_ok())
    }

    /// What held, but not without an exception of the file or not to its end.
    pub fn held_with_a_word(&self) -> impl Iterator<Item = &GoalChecked> {
        let held = self.fold.goals.iter().filter(|goal| goal.is_ok());
        held.filter(|goal| goal.ruling() != Ruling::Ok)
    }

    /// Whether it held in every run and is as recorded, and all that was asked for was tried.
    #[must_use]
    pub fn is_ok(&self) -> bool {
        self.is_ok_so_far() && !self.lacks_any()
    }

    /// Whether nothing is known to be wrong with it, but not all that was asked for was tried.
    #[must_use]
    pub fn is_cut_short(&self) -> bool {
        self.is_ok_so_far() && self.lacks_any()
    }

    fn lacks_any(&self) -> bool {
        self.unmade().next().is_some()
    }

    /// What was not made because the check was cut short: `all runs`, and `3 runs`.
    pub fn unmade(&self) -> impl Iterator<Item = (&'static str, String)> {
        let leaves = self.leave.as_ref().map_or(0, LeaveAsked::unmade_leaves);
        let searches = self.margin.as_ref().map_or(0, Margin::unmade_searches);
        let each = [
            ("all runs", self.unmade_runs, "run", "runs"),
            ("all leaves", leaves, "leave", "leaves"),
            ("all of the margin", searches, "search", "searches"),
        ];
        let each = each.into_iter().filter(|(_, unmade, ..)| *unmade > 0);
        each.map(|(what, unmade, one, several)| (what, count(unmade, one, several)))
    }

    fn is_ok_so_far(&self) -> bool {
        self.fold.broken.is_empty()
            && self.missed().next().is_none()
            && self.compared.as_ref().is_none_or(Compared::is_ok)
            && self.leave.as_ref().is_none_or(LeaveAsked::is_ok_so_far)
    }

    /// Whether no run broke an invariant.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.fold.broken.is_empty()
            && !self.leave.as_ref().is_some_and(LeaveAsked::is_broken)
            && !self.margin.as_ref().is_some_and(Margin::is_broken)
    }

    /// Its file and its variant.
    #[must_use]
    pub fn name(&self) -> String {
        match &self.variant {
            None => self.file.clone(),
            Some(variant) => format!("{}, {variant}", self.file),
        }
    }
}

impl CheckReport {
    /// How the check ended.
    #[must_use]
    pub fn outcome(&self) -> CheckOutcome {
        let each = |is_so: fn(&Checked) -> bool| self.checked.iter().any(is_so);
        if each(|checked| !checked.is_whole()) {
            CheckOutcome::Broken
        } else if self.problems.iter().any(|problem| !problem.is_orphan) {
            CheckOutcome::Unusable
        } else if each(|checked| !checked.is_ok() && !checked.is_cut_short())
            || !self.problems.is_empty()
        {
            CheckOutcome::Missed
        } else if each(Checked::is_cut_short) {
            CheckOutcome::CutShort
        } else if !self.empty.is_empty() || self.judged() == 0 {
            CheckOutcome::Nothing
        } else {
            CheckOutcome::Ok
        }
    }

    /// How many goals and records were judged.
    fn judged(&self) -> usize {
        let each = self.checked.iter();
        each.map(|checked| {
            let leave = checked.leave.as_ref();
            let left = leave.is_some_and(|leave| leave.report().is_some());
            checked.fold.goals.len() + usize::from(checked.compared.is_some()) + usize::from(left)
        })
        .sum::<usize>()
            + self.recorded.len()
    }

    /// How many runs were made.
    #[must_use]
    pub fn runs(&self) -> u64 {
        self.checked.iter().map(|checked| checked.runs).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::super::BrokenRun;
    use super::*;
    use crate::Case;

    fn checked() -> Checked {
        Checked {
            file: "hall.ron".to_owned(),
            title: "Hall".to_owned(),
            variant: None,
            input_digest: String::new(),
            runs: 5,
            unmade_runs: 0,
            took: Duration::ZERO,
            fold: Fold::default(),
            compared: Some(Compared::default()),
            leave: None,
            margin: None,
        }
    }

    fn problem(is_orphan: bool) -> Problem {
        Problem {
            file: "other.ron".to_owned(),
            line: None,
            message: String::new(),
            is_orphan,
        }
    }

    #[test]
    fn the_worst_decides() {
        let mut report = CheckReport::default();
        assert_eq!(report.outcome(), CheckOutcome::Nothing);
        report.checked.push(checked());
        assert_eq!(report.outcome(), CheckOutcome::Ok);
        report.empty.push("folder".to_owned());
        assert_eq!(report.outcome(), CheckOutcome::Nothing);
        report.checked[0].unmade_runs = 2;
        assert_eq!(report.outcome(), CheckOutcome::CutShort);
        report.problems.push(problem(true));
        assert_eq!(report.outcome(), CheckOutcome::Missed);
        report.problems.push(problem(false));
        assert_eq!(report.outcome(), CheckOutcome::Unusable);
        report.checked[0].fold.broken.push(BrokenRun {
            case: Case::as_declared(0),
            message: String::new(),
            command: String::new(),
        });
        assert_eq!(report.outcome(), CheckOutcome::Broken);
    }

    #[test]
    fn a_scenario_without_goal_and_record_is_nothing_to_check() {
        let mut report = CheckReport::default();
        report.checked.push(Checked {
            compared: None,
            ..checked()
        });
        assert_eq!(report.outcome(), CheckOutcome::Nothing);
    }
}
