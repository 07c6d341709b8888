//! When what arrives in the scenario, when it is stopped, and how long it runs.

use crate::Plan;

/// A line carries an item every 8 ticks (tick rules, section 4).
const TICKS_AN_ITEM: u64 = 8;

/// What does not stack takes a slot for each item: it comes half as fast, so that what is under way
/// at a stop fits into the next buffer.
const LEAST_TICKS_A_STACK: u64 = 16;

/// At least so long does a stop take before the restart.
const LEAST_PAUSE_TICKS: u64 = 1200;

/// The times of a scenario, in ticks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Schedule {
    /// When a stack of which goods arrives.
    pub arrivals: Vec<(u64, usize)>,
    /// The operator's stop.
    pub stop_ticks: u64,
    /// From the stop to the restart.
    pub pause_ticks: u64,
    /// The whole run.
    pub run_ticks: u64,
}

/// Schedules one stack of every kind, in the order of the catalogue, with a stop half way. While the
/// hall is stopped nothing comes.
#[must_use]
pub fn schedule(plan: &Plan) -> Schedule {
    let laid = &plan.layout.laid;
    let slowest = laid.iter().map(crate::lay::Laid::stop_ticks);
    let slowest = slowest.max().unwrap_or(0);
    let pause_ticks = (2 * slowest.max(plan.hall.stop_within_ticks)).max(LEAST_PAUSE_TICKS);
    let spans: Vec<u64> = plan
        .catalogue
        .goods
        .iter()
        .map(|good| (TICKS_AN_ITEM * u64::from(good.stack_limit)).max(LEAST_TICKS_A_STACK))
        .collect();
    let busy_ticks: u64 = spans.iter().sum();
    let stop_ticks = busy_ticks / 2;
    let mut arrivals = Vec::with_capacity(spans.len());
    let mut tick = 0;
    for (number, span) in spans.iter().enumerate() {
        let is_behind = tick >= stop_ticks;
        arrivals.push((tick + if is_behind { pause_ticks } else { 0 }, number));
        tick += span;
    }
    let line_hoppers: u64 = laid.iter().map(|laid| laid.section.line_hoppers).sum();
    // Every section may wait for its signals, and what waited at the stop comes late.
    let under_way_ticks = 2 * TICKS_AN_ITEM * line_hoppers + 200 * laid.len() as u64;
    Schedule {
        arrivals,
        stop_ticks,
        pause_ticks,
        run_ticks: busy_ticks + pause_ticks + under_way_ticks + 2 * slowest + LEAST_PAUSE_TICKS,
    }
}
