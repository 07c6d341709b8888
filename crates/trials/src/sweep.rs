//! The stop sweep: a run repeated with the stop at every tick of a range, perhaps in several
//! orders and with several seeds.
//!
//! A design that stops well at one stop tick may stop badly at another, when an item is just between
//! two places. A sweep tries them all. Of each run a [`StopRow`] is kept, and [`fold`] puts them
//! together.

use std::collections::BTreeSet;

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, Wanted};

use crate::case::Case;
use crate::cases::{Choice, StopRange, Stops, Tried, cases};
use crate::compare::{Range, Value, range_of};
use crate::machine::{Machine, Unmade};

/// What a sweep found.
#[derive(Clone, PartialEq, Debug)]
pub struct SweepFindings {
    /// Ticks a second of the runs' world.
    pub ticks_per_second: u32,
    /// The stop ticks.
    pub range: StopRange,
    /// How many of them, in how many orders and with how many seeds.
    pub tried: Tried,
    /// How many runs more were asked for, and not made because the sweep was cut short.
    pub unmade_runs: u64,
    /// Best and worst of each mark: all sections together first, then each section.
    pub marks: Vec<MarkRange>,
    /// Each goal that was missed in any run.
    pub missed: Vec<MissedGoal>,
    /// The runs in which anything was misplaced.
    pub misplaced_in: Vec<Case>,
    /// The runs in which anything was passed by.
    pub passed_by_in: Vec<Case>,
    /// The runs in which anything was lost.
    pub lost_in: Vec<Case>,
}

/// The range of one mark over all runs.
#[derive(Clone, PartialEq, Debug)]
pub struct MarkRange {
    /// The section's name; `None` for all together.
    pub section: Option<String>,
    /// The mark's figure.
    pub mark: Name,
    /// What it was: the ticks from the stop (or restart).
    pub ticks: Range,
    /// The first run with the worst.
    pub worst_in: Case,
}

/// What was missed in some runs: a goal, or what is judged though no goal asks it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MissedGoal {
    /// The goal, by its place in the declarations; `None` for what no goal asks.
    pub goal: Option<usize>,
    /// What it is about.
    pub subject: String,
    /// The runs in which it was missed.
    pub missed_in: Vec<Case>,
}

impl SweepFindings {
    /// Whether every goal was met in every run that was made.
    #[must_use]
    pub fn goals_met(&self) -> bool {
        self.missed.is_empty()
    }
}

/// The stop ticks of these runs, each once.
#[must_use]
pub fn stop_ticks_of(cases: &[Case]) -> Vec<Tick> {
    let ticks: BTreeSet<Tick> = cases.iter().filter_map(|case| case.stop_at).collect();
    ticks.into_iter().collect()
}

const MARKS: [Name; 4] = [
    Name::CLEARED,
    Name::SAFE_TO_CLOSE,
    Name::QUIET,
    Name::RESUMED,
];

/// What is kept of one run.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct StopRow {
    ticks_per_second: u32,
    /// All together, then each section.
    scopes: Vec<Scope>,
    /// For each verdict its goal, its subject and whether it was met.
    goals: Vec<(Option<usize>, String, bool)>,
    misplaced: bool,
    passed_by: bool,
    lost: bool,
}

/// The marks of a section, or of all together.
#[derive(Clone, PartialEq, Debug)]
struct Scope {
    section: Option<String>,
    /// Each mark's ticks, the worst of all stops.
    ticks: [Value; MARKS.len()],
}

impl StopRow {
    /// What is kept of these findings.
    #[must_use]
    pub fn of(findings: &Findings) -> Self {
        let worst = |mark: Name, scope| Value::of(mark.worst(findings, &Of::section(scope)));
        let sections = findings.sections.iter().enumerate();
        let sections = sections.map(|(place, section)| (Some(place), Some(section.name.clone())));
        let scopes = std::iter::once((None, None)).chain(sections);
        let verdicts = findings.verdicts.iter();
        Self {
            ticks_per_second: findings.ticks_per_second,
            scopes: scopes
                .map(|(scope, section)| Scope {
                    section,
                    ticks: MARKS.map(|mark| worst(mark, scope)),
                })
                .collect(),
            goals: verdicts
                .map(|verdict| (verdict.goal, verdict.subject.clone(), verdict.is_met()))
                .collect(),
            misplaced: Name::MISPLACED.count(findings) > 0,
            passed_by: Name::PASSED_BY.count(findings) > 0,
            lost: Name::LOST.count(findings) > 0,
        }
    }
}

/// What a sweep came to.
#[derive(Clone, PartialEq, Debug)]
pub struct Swept {
    /// What the runs found; `None` if all of them broke.
    pub found: Option<SweepFindings>,
    /// The runs that broke, each with what it said.
    pub broken: Vec<(Case, String)>,
    /// How many runs were not made because the sweep was cut short.
    pub unmade_runs: u64,
}

/// Repeats a run with its first stop at every tick of a range, in each of these pairs of orders and of each
/// of these bases, which are one scenario loaded with one seed each.
#[must_use]
pub fn sweep(
    bases: &[RunInput<'_>],
    orders: Vec<Orders>,
    range: StopRange,
    machine: &Machine<'_>,
) -> Swept {
    let stops = Stops::Swept(range);
    let cases = cases(bases, &Choice { orders, stops });
    let jobs: Vec<(usize, Case)> = cases.iter().map(|case| (0, case.clone())).collect();
    let rows = machine.cases(&[bases.to_vec()], &jobs, Wanted::Judgement, |made| {
        StopRow::of(&made.findings)
    });
    let mut whole = Vec::new();
    let mut broken = Vec::new();
    let mut unmade_runs = 0;
    for (case, row) in cases.iter().zip(&rows) {
        match row {
            Ok(row) => whole.push((case, row)),
            Err(Unmade::Broke(message)) => broken.push((case.clone(), message.clone())),
            Err(Unmade::CutShort) => unmade_runs += 1,
        }
    }
    let found = fold(range, &whole);
    Swept {
        found: found.map(|found| SweepFindings {
            unmade_runs,
            ..found
        }),
        broken,
        unmade_runs,
    }
}

/// Puts the runs of one scenario together, in the order of its cases; `None` without a run.
#[must_use]
pub fn fold(range: StopRange, runs: &[(&Case, &StopRow)]) -> Option<SweepFindings> {
    let (_, first) = runs.first()?;
    let cases: Vec<Case> = runs.iter().map(|(case, _)| (*case).clone()).collect();
    Some(SweepFindings {
        ticks_per_second: first.ticks_per_second,
        range,
        tried: Tried::in_cases(&cases),
        unmade_runs: 0,
        marks: mark_ranges(first, runs),
        missed: missed_goals(first, runs),
        misplaced_in: cases_with(runs, |row| row.misplaced),
        passed_by_in: cases_with(runs, |row| row.passed_by),
        lost_in: cases_with(runs, |row| row.lost),
    })
}

fn cases_with(runs: &[(&Case, &StopRow)], is_so: impl Fn(&StopRow) -> bool) -> Vec<Case> {
    let runs = runs.iter().filter(|(_, row)| is_so(row));
    runs.map(|(case, _)| (*case).clone()).collect()
}

fn mark_ranges(first: &StopRow, runs: &[(&Case, &StopRow)]) -> Vec<MarkRange> {
    let mut ranges = Vec::new();
    for (scope, named) in first.scopes.iter().enumerate() {
        for (place, mark) in MARKS.into_iter().enumerate() {
            let ticks = |row: &StopRow| row.scopes[scope].ticks[place];
            let values: Vec<Value> = runs.iter().map(|(_, row)| ticks(row)).collect();
            let range = range_of(&values, mark.more_is_better());
            ranges.extend(range.and_then(|range| {
                let mut runs = runs.iter();
                let (worst_in, _) = runs.find(|(_, row)| ticks(row) == range.worst)?;
                Some(MarkRange {
                    section: named.section.clone(),
                    mark,
                    ticks: range,
                    worst_in: (*worst_in).clone(),
                })
            }));
        }
    }
    ranges
}

fn missed_goals(first: &StopRow, runs: &[(&Case, &StopRow)]) -> Vec<MissedGoal> {
    let goals = first.goals.iter().enumerate();
    let missed = goals.map(|(place, (goal, subject, _))| MissedGoal {
        goal: *goal,
        subject: subject.clone(),
        missed_in: cases_with(runs, |row| !row.goals[place].2),
    });
    missed
        .filter(|missed| !missed.missed_in.is_empty())
        .collect()
}
