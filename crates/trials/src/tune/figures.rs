//! What is kept of one run of a search, so little that it can be stored.

use serde::{Deserialize, Serialize};

use super::choose::Costs;
use crate::check::{relative_excess, worst_check};
use hallwright_report::findings::Findings;
use hallwright_report::goals::{Bound, Verdict};
use hallwright_report::verdicts::Question;
use hallwright_words::goal_words;

/// What one run came to.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct RunFigures {
    /// Every goal, in the order of declaration; then, for each question that is asked of every run, how
    /// it came off though no goal asks it. So goals stand at the same places in all designs.
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
    fn of(verdict: &Verdict, found: &Findings) -> Self {
        let check = worst_check(verdict);
        let bound = check.map(|check| match check.bound {
            Bound::AtLeast(least) => (least, true),
            Bound::AtMost(most) => (most, false),
        });
        let share = check.map(relative_excess);
        let mut words = goal_words(verdict, found);
        // The first cause says enough of a design that is left.
        if let Some(why) = verdict.why.first().filter(|_| !verdict.is_met()) {
            words.push_str(&format!("; {why}"));
        }
        Self {
            subject: verdict.subject.clone(),
            is_met: verdict.is_met(),
            words,
            measured: check.and_then(|check| check.measured.value()),
            bound: bound.map(|(bound, _)| bound),
            is_at_least: bound.is_some_and(|(_, is_least)| is_least),
            unit: check
                .map_or("", |check| check.measured.unit.key())
                .to_owned(),
            excess_share: share.filter(|share| share.is_finite()),
        }
    }

    /// Of a question that a goal of the file asks already, or that a design leaves nothing to ask about.
    fn not_asked(question: Question) -> Self {
        Self {
            subject: question.key().replace('_', " "),
            is_met: true,
            words: "not asked".to_owned(),
            measured: None,
            bound: None,
            is_at_least: false,
            unit: String::new(),
            excess_share: Some(0.0),
        }
    }

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
        let goals = found.goals().map(|verdict| GoalFigure::of(verdict, found));
        let anyway = Question::ALWAYS.into_iter().map(|question| {
            let mut verdicts = found.judged_anyway();
            let asked = verdicts.find(|verdict| verdict.question == question);
            asked.map_or_else(
                || GoalFigure::not_asked(question),
                |verdict| GoalFigure::of(verdict, found),
            )
        });
        Self {
            goals: goals.chain(anyway).collect(),
            costs: Costs::of(found),
        }
    }
}
