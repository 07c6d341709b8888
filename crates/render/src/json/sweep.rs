//! A stop sweep as it is written.

use hallwright_core::tick::Tick;
use serde::Serialize;

use hallwright_trials::SweepFindings;

#[derive(Serialize)]
pub(super) struct Sweep<'a> {
    from_tick: u64,
    to_tick: u64,
    step_ticks: u64,
    runs: u64,
    all_goals_met: bool,
    marks: Vec<Mark<'a>>,
    missed_goals: Vec<Missed<'a>>,
    misplaced_at_stop_ticks: Vec<u64>,
    passed_by_at_stop_ticks: Vec<u64>,
    lost_at_stop_ticks: Vec<u64>,
}

#[derive(Serialize)]
struct Mark<'a> {
    section: Option<&'a str>,
    mark: &'a str,
    best_ticks: Option<u64>,
    worst_ticks: Option<u64>,
    worst_at_stop_tick: u64,
    never_runs: u64,
}

#[derive(Serialize)]
struct Missed<'a> {
    goal: usize,
    subject: &'a str,
    at_stop_ticks: Vec<u64>,
}

impl<'a> Sweep<'a> {
    pub(super) fn of(sweep: &'a SweepFindings) -> Self {
        let marks = sweep.marks.iter().map(|range| Mark {
            section: range.section.as_deref(),
            mark: range.mark,
            best_ticks: range.best_ticks,
            worst_ticks: range.worst_ticks,
            worst_at_stop_tick: range.worst_at.0,
            never_runs: range.never,
        });
        let missed = sweep.missed.iter().map(|missed| Missed {
            goal: missed.goal,
            subject: &missed.subject,
            at_stop_ticks: ticks(&missed.at),
        });
        Self {
            from_tick: sweep.from.0,
            to_tick: sweep.to.0,
            step_ticks: sweep.step_ticks,
            runs: sweep.runs,
            all_goals_met: sweep.goals_met(),
            marks: marks.collect(),
            missed_goals: missed.collect(),
            misplaced_at_stop_ticks: ticks(&sweep.misplaced_at),
            passed_by_at_stop_ticks: ticks(&sweep.passed_by_at),
            lost_at_stop_ticks: ticks(&sweep.lost_at),
        }
    }
}

fn ticks(at: &[Tick]) -> Vec<u64> {
    at.iter().map(|tick| tick.0).collect()
}
