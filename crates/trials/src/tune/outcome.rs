//! All that is written of a search.

use std::collections::BTreeMap;

use crate::Case;

use super::choose::{Costs, Measure};
use super::search::{Fate, Near, Obstacle};

/// Everything that a search found.
#[derive(Clone, PartialEq, Debug)]
pub struct TuneReport {
    /// The version of this program.
    pub version: String,
    /// The scenario's file.
    pub file: String,
    /// Its title.
    pub title: String,
    /// The variant that the combinations start from; `None` for the parameters' own defaults.
    pub variant: Option<String>,
    /// What was tried, in the order of the ranges; the last one changes quickest.
    pub ranges: Vec<RangeTried>,
    /// What the cheapest is the cheapest by.
    pub by: Measure,
    /// Ticks a second of the runs' world.
    pub ticks_per_second: u32,
    /// Whether sections are declared, so that a stop is over when it is safe to close.
    pub has_sections: bool,
    /// The line of each goal, from 1.
    pub goal_lines: Vec<usize>,
    /// The runs that every combination must come through.
    pub runs: Runs,
    /// Every combination, in the order of trying.
    pub combinations: Vec<Combination>,
    /// The cheapest of those that meet all goals.
    pub cheapest: Option<usize>,
    /// Those of them that no other beats in every respect.
    pub undominated: Vec<usize>,
    /// If none meets all goals: what stood in the way. Candidates are combinations here.
    pub obstacles: Vec<Obstacle>,
    /// If none meets all goals: the combination that came nearest, with each goal that it misses.
    pub nearest: Vec<(usize, Near)>,
    /// The cheapest as a variant of the scenario, or else nothing.
    pub design: Option<Design>,
}

/// One parameter and what was tried.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RangeTried {
    /// The parameter.
    pub name: String,
    /// Its values as they are set on the command line.
    pub values: Vec<String>,
}

/// How many runs there are.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Runs {
    /// Update orders.
    pub orders: u64,
    /// Seeds.
    pub seeds: u64,
    /// Stop ticks; `None` if they are not the same number in every combination.
    pub stop_ticks: Option<u64>,
    /// All runs of all combinations.
    pub all: u64,
}

/// One combination.
#[derive(Clone, PartialEq, Debug)]
pub struct Combination {
    /// The value of each range's parameter, by its place in the range.
    pub values: Vec<usize>,
    /// The runs that it takes, in their order; none if it does not compile.
    pub cases: Vec<Case>,
    /// Its hoppers, if it compiles.
    pub hoppers: Option<u64>,
    /// Its width in blocks, if it compiles and one is declared.
    pub width_blocks: Option<u32>,
    /// What became of it, or why it does not compile.
    pub fate: Result<Fate, Refusal>,
    /// The command that runs it.
    pub command: String,
}

/// Why a combination does not compile.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal {
    /// What is wrong first, and how much more is.
    pub message: String,
    /// The file in which it is.
    pub file: String,
    /// The line, from 1, if that is known.
    pub line: Option<usize>,
}

/// A design that was found, as the text of a variant.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Design {
    /// The variant's name, which the scenario does not have yet.
    pub name: String,
    /// The line to put among the scenario's variants.
    pub text: String,
}

/// How a search ended, the worst first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum TuneOutcome {
    /// An invariant broke.
    Broken,
    /// No combination compiles.
    Unusable,
    /// No combination meets all goals.
    NoneFound,
    /// At least one does.
    Found,
}

impl Combination {
    /// What it costs, if it meets all goals.
    #[must_use]
    pub fn costs(&self) -> Option<&Costs> {
        match &self.fate {
            Ok(Fate::Meets(costs)) => Some(costs),
            _ => None,
        }
    }

    /// What became of it, in a few words.
    #[must_use]
    pub fn fate_words(&self) -> &'static str {
        match &self.fate {
            Ok(Fate::Meets(_)) => "meets all goals",
            Ok(Fate::Misses(_)) => "misses a goal",
            Ok(Fate::Broken(..)) => "broken",
            Err(_) => "does not compile",
        }
    }
}

impl TuneReport {
    /// How the search ended.
    #[must_use]
    pub fn outcome(&self) -> TuneOutcome {
        let any = |is_so: fn(&Combination) -> bool| self.combinations.iter().any(is_so);
        if any(|one| matches!(one.fate, Ok(Fate::Broken(..)))) {
            TuneOutcome::Broken
        } else if !any(|one| one.fate.is_ok()) {
            TuneOutcome::Unusable
        } else if self.cheapest.is_none() {
            TuneOutcome::NoneFound
        } else {
            TuneOutcome::Found
        }
    }

    /// The parameters of a combination, with their values: `sections=4, call_hold=40`.
    #[must_use]
    pub fn settings(&self, combination: usize) -> String {
        let settings = self.values(combination);
        let settings: Vec<String> = settings
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        settings.join(", ")
    }

    /// Each parameter of a combination with its value.
    pub fn values(&self, combination: usize) -> impl Iterator<Item = (&str, &str)> {
        let values = self.combinations[combination].values.iter();
        let ranges = self.ranges.iter().zip(values);
        ranges.map(|(range, value)| (range.name.as_str(), range.values[*value].as_str()))
    }

    /// The line of a goal, from 1; `None` for what is judged though no goal asks it.
    #[must_use]
    pub fn line_of(&self, goal: usize) -> Option<usize> {
        self.goal_lines.get(goal).copied()
    }

    /// How many combinations meet all goals.
    #[must_use]
    pub fn found(&self) -> usize {
        let combinations = self.combinations.iter();
        combinations.filter(|one| one.costs().is_some()).count()
    }

    /// How many combinations each goal kept out, for those that kept out any: the goal's place, what it
    /// is about, and how many missed it in their first run with a miss.
    #[must_use]
    pub fn kept_out(&self) -> Vec<(usize, &str, usize)> {
        let mut counts: BTreeMap<usize, (&str, usize)> = BTreeMap::new();
        for combination in &self.combinations {
            let Ok(Fate::Misses(miss)) = &combination.fate else {
                continue;
            };
            for (goal, figure) in &miss.goals {
                counts.entry(*goal).or_insert((&figure.subject, 0)).1 += 1;
            }
        }
        let counts = counts.into_iter();
        counts
            .map(|(goal, (subject, count))| (goal, subject, count))
            .collect()
    }
}
