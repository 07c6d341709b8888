//! The stop sweep: the run repeated with the stop at every tick of a range.
//!
//! A design that stops well at one moment may stop badly at another, when an item is just between
//! two places. A sweep tries them all.

use std::sync::atomic::{AtomicUsize, Ordering};

use hallwright_core::declare::{Declarations, Mark};
use hallwright_core::tick::Tick;
use rayon::prelude::*;

use hallwright_report::findings::Findings;
use hallwright_report::goals::{mark_of, mark_words};
use hallwright_report::{RunInput, run};

/// What a sweep found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SweepFindings {
    /// Ticks a second of the runs' world.
    pub ticks_per_second: u32,
    /// The first stop tick tried.
    pub from: Tick,
    /// The last one allowed.
    pub to: Tick,
    /// Ticks between two of them.
    pub step_ticks: u64,
    /// How many were tried.
    pub runs: u64,
    /// Best and worst of each mark: all sections together first, then each section.
    pub marks: Vec<MarkRange>,
    /// Each goal that was missed at any stop tick.
    pub missed: Vec<MissedGoal>,
    /// The stop ticks at which anything was misplaced.
    pub misplaced_at: Vec<Tick>,
    /// The stop ticks at which anything was passed by.
    pub passed_by_at: Vec<Tick>,
    /// The stop ticks at which anything was lost.
    pub lost_at: Vec<Tick>,
}

/// The range of one mark over all stop ticks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MarkRange {
    /// The section's name; `None` for all together.
    pub section: Option<String>,
    /// The mark.
    pub mark: &'static str,
    /// The least ticks from the stop (or restart); `None` if it never came to it.
    pub best_ticks: Option<u64>,
    /// The most; `None` if at one stop tick or more it never came to it.
    pub worst_ticks: Option<u64>,
    /// The first stop tick with the worst.
    pub worst_at: Tick,
    /// How many stop ticks never came to it.
    pub never: u64,
}

/// A goal that was missed at some stop ticks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MissedGoal {
    /// The goal, by its place in the declarations.
    pub goal: usize,
    /// What it is about.
    pub subject: String,
    /// The stop ticks at which it was missed.
    pub at: Vec<Tick>,
}

impl SweepFindings {
    /// Whether every goal was met at every stop tick.
    #[must_use]
    pub fn goals_met(&self) -> bool {
        self.missed.is_empty()
    }
}

/// Repeats the run with its first stop at every `step`th tick from `from` to `to`, both included, on
/// all cores. Restarts keep their distance from their stops, later stops theirs from the first, and
/// a run gets longer by as much as its stop is later. `progress` is told how many runs are over.
///
/// # Panics
///
/// If no stop is declared, or the range is empty.
pub fn sweep(
    input: &RunInput<'_>,
    from: Tick,
    to: Tick,
    step: u64,
    progress: &(dyn Fn(usize) + Sync),
) -> SweepFindings {
    assert!(
        !input.declarations.stops.is_empty(),
        "a sweep moves a declared stop"
    );
    assert!(from <= to, "a sweep needs at least one tick to stop at");
    let ticks: Vec<Tick> = (from.0..=to.0)
        .step_by(usize::try_from(step.max(1)).unwrap_or(usize::MAX))
        .map(Tick)
        .collect();
    let done = AtomicUsize::new(0);
    let rows: Vec<Row> = ticks
        .par_iter()
        .map(|at| {
            let findings = run_stopped_at(input, *at);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            Row::of(*at, &findings)
        })
        .collect();
    SweepFindings {
        ticks_per_second: input.network.rules().ticks_per_second,
        from,
        to,
        step_ticks: step.max(1),
        runs: rows.len() as u64,
        marks: mark_ranges(input.declarations, &rows),
        missed: missed_goals(&rows),
        misplaced_at: stop_ticks(&rows, |row| row.misplaced),
        passed_by_at: stop_ticks(&rows, |row| row.passed_by),
        lost_at: stop_ticks(&rows, |row| row.lost),
    }
}

fn run_stopped_at(input: &RunInput<'_>, at: Tick) -> Findings {
    let (declarations, run_ticks) = stopped_at(input, at);
    let moved = RunInput {
        run_ticks,
        declarations: &declarations,
        ..input.clone()
    };
    run(&moved, &mut |_| {})
}

/// The declarations with the first stop at this tick and all later ones moved along, and how long the
/// run then takes: longer by as much as the stop is later.
///
/// # Panics
///
/// If no stop is declared.
#[must_use]
pub fn stopped_at(input: &RunInput<'_>, at: Tick) -> (Declarations, u64) {
    let mut declarations = input.declarations.clone();
    let first = declarations.stops[0].at;
    for stop in &mut declarations.stops {
        stop.at = at + (stop.at - first);
    }
    let run_ticks = input.run_ticks.saturating_add(at.0.saturating_sub(first.0));
    (declarations, run_ticks)
}

const MARKS: [Mark; 4] = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet, Mark::Resumed];

/// What is kept of one run.
struct Row {
    at: Tick,
    /// For all together, then for each section: each mark's ticks, the worst of all stops. The outer
    /// `None` for a mark that the run does not have, the inner for never.
    marks: Vec<[Option<Option<u64>>; 4]>,
    /// For each goal its subject and whether it was met.
    goals: Vec<(String, bool)>,
    misplaced: bool,
    passed_by: bool,
    lost: bool,
}

impl Row {
    fn of(at: Tick, findings: &Findings) -> Self {
        let scopes = std::iter::once(None).chain((0..findings.sections.len()).map(Some));
        let worst = |mark: Mark, scope: Option<usize>| {
            let stops = findings.stops.iter();
            let ticks = stops.filter_map(|stop| mark_of(stop, mark, scope));
            ticks.reduce(|worst, ticks| worst.zip(ticks).map(|(worst, ticks)| worst.max(ticks)))
        };
        let verdicts = findings.verdicts.iter();
        Self {
            at,
            marks: scopes
                .map(|scope| MARKS.map(|mark| worst(mark, scope)))
                .collect(),
            goals: verdicts
                .map(|verdict| (verdict.subject.clone(), verdict.is_met()))
                .collect(),
            misplaced: findings.misplaced_items() > 0,
            passed_by: findings.overflow.first_passed_by_at.is_some(),
            lost: findings.loss.items > 0,
        }
    }
}

fn stop_ticks(rows: &[Row], went_wrong: fn(&Row) -> bool) -> Vec<Tick> {
    rows.iter()
        .filter(|row| went_wrong(row))
        .map(|row| row.at)
        .collect()
}

fn mark_ranges(declared: &Declarations, rows: &[Row]) -> Vec<MarkRange> {
    let names = declared
        .sections
        .iter()
        .map(|section| Some(section.name.clone()));
    let mut ranges = Vec::new();
    for (scope, section) in std::iter::once(None).chain(names).enumerate() {
        for (place, mark) in MARKS.into_iter().enumerate() {
            let measured: Vec<(Tick, Option<u64>)> = rows
                .iter()
                .filter_map(|row| row.marks[scope][place].map(|ticks| (row.at, ticks)))
                .collect();
            // Never is later than any tick; of equals, the first is named.
            let key = |ticks: Option<u64>| ticks.unwrap_or(u64::MAX);
            let worst = measured.iter().rev().max_by_key(|(_, ticks)| key(*ticks));
            let Some((worst_at, worst_ticks)) = worst.copied() else {
                continue;
            };
            ranges.push(MarkRange {
                section: section.clone(),
                mark: mark_words(mark),
                best_ticks: measured.iter().filter_map(|(_, ticks)| *ticks).min(),
                worst_ticks,
                worst_at,
                never: measured.iter().filter(|(_, ticks)| ticks.is_none()).count() as u64,
            });
        }
    }
    ranges
}

fn missed_goals(rows: &[Row]) -> Vec<MissedGoal> {
    let Some(first) = rows.first() else {
        return Vec::new();
    };
    let goals = first.goals.iter().enumerate();
    let missed = goals.map(|(goal, (subject, _))| MissedGoal {
        goal,
        subject: subject.clone(),
        at: rows
            .iter()
            .filter(|row| !row.goals[goal].1)
            .map(|row| row.at)
            .collect(),
    });
    missed.filter(|missed| !missed.at.is_empty()).collect()
}
