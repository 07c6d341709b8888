//! A stop tried at very many ticks, in several orders: how long it took at the worst until it was safe to
//! close, and whether everything came home after the restart.
//!
//! Unlike a [`sweep`](crate::sweep), which makes whole runs and measures everything, the run up to the
//! stops is made once for many of them, and only these two questions are asked.

use std::ops::ControlFlow;

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::RunInput;

use crate::case::Case;
use crate::cases::OrdersTried;
use crate::machine::{Machine, Unmade};
use crate::stop_trial::{Landed, StopTrial, count_moves, try_stops};

/// So many stops at least share the run up to them.
const LEAST_SHARED: usize = 16;

/// Into so many jobs at most the stops of one pair of orders are divided.
const MOST_SHARES: usize = 8;

/// What the stops came to.
#[derive(Clone, PartialEq, Debug)]
pub struct StopsEverywhere {
    /// How many stop ticks were tried, each in every pair of orders.
    pub stop_ticks: u64,
    /// The first and the last of them.
    pub span: Option<(Tick, Tick)>,
    /// In which orders.
    pub orders: OrdersTried,
    /// How many stops were run to the end.
    pub runs: u64,
    /// How many were not made because they were cut short.
    pub unmade_runs: u64,
    /// The first of the slowest stops.
    pub worst: Option<Tried>,
    /// The first run in which not everything came home.
    pub astray: Option<Tried>,
    /// In how many runs not everything came home.
    pub astray_runs: u64,
    /// What broke: runs with the orders of the case, from the stop of the case on, each with what it said.
    pub broken: Vec<(Case, String)>,
}

/// One stop that was tried.
#[derive(Clone, PartialEq, Debug)]
pub struct Tried {
    /// When, and in which orders.
    pub case: Case,
    /// Ticks from the stop until it was safe to close; `None` if it never was.
    pub safe_to_close_ticks: Option<u64>,
    /// Where everything was at the end.
    pub landed: Landed,
}

/// How many of the ticks of a span can be tried in so many pairs of orders, if about so many moves of items
/// may be made: all of them in a small hall. It follows from the hall alone, whatever the machine.
#[must_use]
pub fn affordable_stops(
    base: &RunInput<'_>,
    orders: usize,
    span_ticks: u64,
    most_moves: u64,
) -> u64 {
    // What a look at every part costs besides, after each stop.
    const MOVES_A_PART: u64 = 2;
    let parts = base.network.part_count() as u64;
    let moves = count_moves(base) + MOVES_A_PART * parts;
    let runs = most_moves / moves.max(1);
    (runs / orders.max(1) as u64).clamp(1, span_ticks.max(1))
}

/// So many ticks, spread evenly over a span from this tick on.
#[must_use]
pub fn spread(from: Tick, span_ticks: u64, count: u64) -> Vec<Tick> {
    let count = count.clamp(1, span_ticks.max(1));
    (0..count)
        .map(|number| from + number * span_ticks / count)
        .collect()
}

/// Tries the first stop of a run at these ticks, which ascend, in each of these pairs of orders, until the
/// machine is cut short. The machine is reported every stop.
#[must_use]
pub fn stops_everywhere(
    base: &RunInput<'_>,
    orders: &[Orders],
    ticks: &[Tick],
    machine: &Machine<'_>,
) -> StopsEverywhere {
    let share = ticks.len().div_ceil(MOST_SHARES).max(LEAST_SHARED);
    let jobs: Vec<(&Orders, &[Tick])> = orders
        .iter()
        .flat_map(|orders| ticks.chunks(share).map(move |ticks| (orders, ticks)))
        .collect();
    let trials = machine.runs(&jobs, |(orders, ticks)| {
        let input = RunInput {
            orders: (*orders).clone(),
            ..base.clone()
        };
        let mut is_first = true;
        try_stops(&input, ticks, || {
            // The machine counts the last one itself.
            if !std::mem::take(&mut is_first) {
                machine.made_one();
            }
            match machine.is_cut_short() {
                true => ControlFlow::Break(()),
                false => ControlFlow::Continue(()),
            }
        })
    });
    let mut found = StopsEverywhere {
        stop_ticks: ticks.len() as u64,
        span: ticks.first().copied().zip(ticks.last().copied()),
        orders: OrdersTried::of(orders),
        runs: 0,
        unmade_runs: 0,
        worst: None,
        astray: None,
        astray_runs: 0,
        broken: Vec::new(),
    };
    for ((orders, ticks), trials) in jobs.iter().zip(trials) {
        let case = |at: Option<Tick>| Case {
            seed: base.seed,
            orders: (*orders).clone(),
            stop_at: at,
        };
        match trials {
            Ok(trials) => {
                found.unmade_runs += (ticks.len() - trials.len()) as u64;
                for trial in &trials {
                    found.take_up(trial, case(Some(trial.at)));
                }
            }
            Err(Unmade::CutShort) => found.unmade_runs += ticks.len() as u64,
            Err(Unmade::Broke(said)) => found.broken.push((case(ticks.first().copied()), said)),
        }
    }
    found
}

impl StopsEverywhere {
    fn take_up(&mut self, trial: &StopTrial, case: Case) {
        self.runs += 1;
        let tried = Tried {
            case,
            safe_to_close_ticks: trial.safe_to_close_ticks,
            landed: trial.landed,
        };
        // Never is worse than any time.
        let slowness = |ticks: Option<u64>| ticks.unwrap_or(u64::MAX);
        let is_worse = self.worst.as_ref().is_none_or(|worst| {
            slowness(tried.safe_to_close_ticks) > slowness(worst.safe_to_close_ticks)
        });
        if is_worse {
            self.worst = Some(tried.clone());
        }
        if tried.landed.astray_items > 0 {
            self.astray_runs += 1;
            self.astray.get_or_insert(tried);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stops_are_spread_evenly_over_their_span() {
        let ticks = |count| -> Vec<u64> {
            let ticks = spread(Tick(100), 10, count);
            ticks.into_iter().map(|tick| tick.0).collect()
        };
        assert_eq!(ticks(4), [100, 102, 105, 107]);
        assert_eq!(ticks(10), (100..110).collect::<Vec<u64>>());
        assert_eq!(ticks(50), ticks(10), "each tick once");
        assert_eq!(ticks(0), [100], "at least one");
    }
}
