//! What is kept of one run of a search, so little that it can be stored.

use serde::{Deserialize, Serialize};

use super::choose::Costs;
use crate::check::{relative_excess, worst_check};
use hallwright_report::findings::Findings;
use hallwright_report::goals::Bound;
use hallwright_report::words::goal_words;

/// What one run came to.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct RunFigures {
    /// Every goal, in the order of declaration.
    pub goals: Vec<GoalFigure>,
    /// What it costs.
    pub costs: Costs,
}

/// A goal in one run.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct GoalFigure {
    /// What it is about.
    pub subject: String,
    /// Whether it was met.
    pub is_met: bool,
    /// What was measured against which bound, in words.
    pub words: String,
    /// What was measured, in the unit; `None` for what never came.
    pub measured: Option<f64>,
    /// The bound, in the unit; `None` if there was nothing to hold against it.
    pub bound: Option<f64>,
    /// Whether the bound is the least that is allowed; otherwise the most.
    pub is_at_least: bool,
    /// The unit, as JSON names it.
    pub unit: String,
    /// By how much the bound is exceeded, as a share of it (of 1 where it is less); negative by how
    /// much it is kept; `None` if what was to come never came.
    pub excess_share: Option<f64>,
}

impl GoalFigure {
    /// The excess as a number that can be compared: infinite for what never came.
    #[must_use]
    pub fn excess(&self) -> f64 {
        self.excess_share.unwrap_or(f64::INFINITY)
    }
}

impl RunFigures {
    /// What is kept of a run's findings.
    #[must_use]
    pub fn of(found: &Findings) -> Self {
        let goals = found.verdicts.iter().map(|verdict| {
            let check = worst_check(verdict);
            let bound = check.map(|check| match check.bound {
                Bound::AtLeast(least) => (least, true),
                Bound::AtMost(most) => (most, false),
            });
            let share = check.map(relative_excess);
            GoalFigure {
                subject: verdict.subject.clone(),
                is_met: verdict.is_met(),
                words: goal_words(verdict, found),
                measured: check.and_then(|check| check.measured.value()),
                bound: bound.map(|(bound, _)| bound),
                is_at_least: bound.is_some_and(|(_, is_least)| is_least),
                unit: check
                    .map_or("", |check| check.measured.unit.key())
                    .to_owned(),
                excess_share: share.filter(|share| share.is_finite()),
            }
        });
        Self {
            goals: goals.collect(),
            costs: Costs::of(found),
        }
    }
}
