//! A stop sweep as it is written.

use serde::Serialize;

use hallwright_trials::sweep::{SweepFindings, stop_ticks_of};
use hallwright_trials::{Case, order_words};

#[derive(Serialize)]
pub(super) struct Sweep<'a> {
    from_tick: u64,
    to_tick: u64,
    step_ticks: u64,
    stop_ticks: u64,
    order_pairs: u64,
    update_orders: u64,
    signal_orders: u64,
    seeds: u64,
    runs: u64,
    unmade_runs: u64,
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
    worst_at_stop_tick: Option<u64>,
    worst_update_order: String,
    worst_signal_order: String,
    worst_seed: u64,
    never_runs: u64,
}

#[derive(Serialize)]
struct Missed<'a> {
    /// `null` for what no goal asks.
    goal: Option<usize>,
    subject: &'a str,
    missed_runs: usize,
    at_stop_ticks: Vec<u64>,
}

impl<'a> Sweep<'a> {
    pub(super) fn of(sweep: &'a SweepFindings) -> Self {
        let marks = sweep.marks.iter().map(|range| Mark {
            section: range.section.as_deref(),
            mark: range.mark.words(),
            best_ticks: range.ticks.best.whole(),
            worst_ticks: range.ticks.worst.whole(),
            worst_at_stop_tick: range.worst_in.stop_at.map(|tick| tick.0),
            worst_update_order: order_words(&range.worst_in.orders.update),
            worst_signal_order: order_words(&range.worst_in.orders.signal),
            worst_seed: range.worst_in.seed,
            never_runs: range.ticks.never,
        });
        let missed = sweep.missed.iter().map(|missed| Missed {
            goal: missed.goal,
            subject: &missed.subject,
            missed_runs: missed.missed_in.len(),
            at_stop_ticks: ticks(&missed.missed_in),
        });
        Self {
            from_tick: sweep.range.from.0,
            to_tick: sweep.range.to.0,
            step_ticks: sweep.range.step_ticks,
            stop_ticks: sweep.tried.stop_ticks,
            order_pairs: sweep.tried.orders.pairs,
            update_orders: sweep.tried.orders.update_orders,
            signal_orders: sweep.tried.orders.signal_orders,
            seeds: sweep.tried.seeds,
            runs: sweep.tried.runs,
            unmade_runs: sweep.unmade_runs,
            all_goals_met: sweep.goals_met(),
            marks: marks.collect(),
            missed_goals: missed.collect(),
            misplaced_at_stop_ticks: ticks(&sweep.misplaced_in),
            passed_by_at_stop_ticks: ticks(&sweep.passed_by_in),
            lost_at_stop_ticks: ticks(&sweep.lost_in),
        }
    }
}

fn ticks(cases: &[Case]) -> Vec<u64> {
    let ticks = stop_ticks_of(cases).into_iter();
    ticks.map(|tick| tick.0).collect()
}
