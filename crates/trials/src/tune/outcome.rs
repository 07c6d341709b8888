//! All that is written of a search.

use std::collections::BTreeMap;

use hallwright_report::units::count;

use crate::{Case, OrdersTried};

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
    /// The variant that the designs start from; `None` for the parameters' own defaults.
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
    /// The runs that every design must come through.
    pub runs: Runs,
    /// Every design, in the order of trying.
    pub designs: Vec<Design>,
    /// Whether the search was cut short: there are runs that were not made.
    pub is_cut_short: bool,
    /// The cheapest of those that meet all goals.
    pub cheapest: Option<usize>,
    /// Those of them that no other beats in every respect.
    pub undominated: Vec<usize>,
    /// If none meets all goals: what stood in the way. Candidates are designs here.
    pub obstacles: Vec<Obstacle>,
    /// If none meets all goals: the design that came nearest, with each goal that it misses.
    pub nearest: Vec<(usize, Near)>,
    /// The cheapest as a variant of the scenario, or else nothing.
    pub found: Option<FoundVariant>,
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
    /// Orders.
    pub orders: OrdersTried,
    /// Seeds.
    pub seeds: u64,
    /// Stop ticks; `None` if they are not the same number in every design.
    pub stop_ticks: Option<u64>,
    /// All runs of all designs.
    pub all: u64,
}

/// One design.
#[derive(Clone, PartialEq, Debug)]
pub struct Design {
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

/// Why a design does not compile.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal {
    /// What is wrong first, and how much more is.
    pub message: String,
    /// The file in which it is.
    pub file: String,
    /// The line, from 1, if that is known.
    pub line: Option<usize>,
}

/// The design that was found, as a variant of the scenario.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FoundVariant {
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
    /// No design compiles.
    Unusable,
    /// No design meets all goals.
    NoneFound,
    /// It was cut short: some designs were not tried to the end, and one of them may be better than what was found.
    CutShort,
    /// At least one does.
    Found,
}

impl Design {
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
            Ok(Fate::Untried(_)) => "not tried to the end",
            Err(_) => "does not compile",
        }
    }

    /// Why it was not tried to the end, in words, unless it missed a goal.
    #[must_use]
    pub fn reason(&self) -> Option<String> {
        match &self.fate {
            Ok(Fate::Meets(_) | Fate::Misses(_)) => None,
            Ok(Fate::Broken(_, message)) => Some(message.clone()),
            Ok(Fate::Untried(made)) => {
                let runs = count(self.cases.len() as u64, "run", "runs");
                Some(format!("cut short after {made} of {runs}"))
            }
            Err(refusal) => Some(refusal.message.clone()),
        }
    }
}

impl TuneReport {
    /// How the search ended.
    #[must_use]
    pub fn outcome(&self) -> TuneOutcome {
        let any = |is_so: fn(&Design) -> bool| self.designs.iter().any(is_so);
        if any(|one| matches!(one.fate, Ok(Fate::Broken(..)))) {
            TuneOutcome::Broken
        } else if !any(|one| one.fate.is_ok()) {
            TuneOutcome::Unusable
        } else if self.untried() > 0 {
            TuneOutcome::CutShort
        } else if self.cheapest.is_none() {
            TuneOutcome::NoneFound
        } else {
            TuneOutcome::Found
        }
    }

    /// The parameters of a design, with their values: `sections=4, call_hold=40`.
    #[must_use]
    pub fn settings(&self, design: usize) -> String {
        let settings = self.values(design);
        let settings: Vec<String> = settings
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        settings.join(", ")
    }

    /// Each parameter of a design with its value.
    pub fn values(&self, design: usize) -> impl Iterator<Item = (&str, &str)> {
        let values = self.designs[design].values.iter();
        let ranges = self.ranges.iter().zip(values);
        ranges.map(|(range, value)| (range.name.as_str(), range.values[*value].as_str()))
    }

    /// The line of a goal, from 1; `None` for what is judged though no goal asks it.
    #[must_use]
    pub fn line_of(&self, goal: usize) -> Option<usize> {
        self.goal_lines.get(goal).copied()
    }

    /// How many designs meet all goals.
    #[must_use]
    pub fn found(&self) -> usize {
        let designs = self.designs.iter();
        designs.filter(|one| one.costs().is_some()).count()
    }

    /// How many designs were not tried to the end because the search was cut short.
    #[must_use]
    pub fn untried(&self) -> usize {
        let fates = self.designs.iter().map(|one| &one.fate);
        let untried = fates.filter(|fate| matches!(fate, Ok(Fate::Untried(_))));
        untried.count()
    }

    /// How many designs each goal kept out, for those that kept out any: the goal's place, what it
    /// is about, and how many missed it in their first run with a miss.
    #[must_use]
    pub fn kept_out(&self) -> Vec<(usize, &str, usize)> {
        let mut counts: BTreeMap<usize, (&str, usize)> = BTreeMap::new();
        for design in &self.designs {
            let Ok(Fate::Misses(miss)) = &design.fate else {
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
