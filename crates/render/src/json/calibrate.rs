//! What was worked out from halls that were measured, for programs.

use serde::Serialize;

use super::{SCHEMA_VERSION, written};
use hallwright_trials::calibrate::{Fit, WhyZero};

#[derive(Serialize)]
struct Report<'a> {
    schema_version: u32,
    /// The line for a scenario.
    costs: &'a str,
    weights: Vec<Weight>,
    root_mean_square_ms: f64,
    /// `null` where every hall takes the same.
    r_squared: Option<f64>,
    is_bound_to_fit: bool,
    /// How many weights the halls tell at most.
    rank: usize,
    halls: Vec<Hall<'a>>,
}

#[derive(Serialize)]
struct Weight {
    field: &'static str,
    microseconds: f64,
    /// Why it is 0; `null` if it is not.
    why_zero: Option<&'static str>,
}

#[derive(Serialize)]
struct Hall<'a> {
    name: &'a str,
    was_run: bool,
    hopper_turns_per_tick: f64,
    comparator_updates_per_tick: f64,
    loose_stacks_per_tick: f64,
    measured_ms_per_tick: f64,
    fitted_ms_per_tick: f64,
    off_ms: f64,
    /// `null` if nothing was measured.
    off_share: Option<f64>,
}

/// The weights and how well they fit as indented JSON.
#[must_use]
pub fn calibrate_json(fit: &Fit, costs: &str) -> String {
    let weights = fit.weights.iter().map(|weight| Weight {
        field: weight.of.field(),
        microseconds: weight.ms * 1000.0,
        why_zero: weight.why_zero.as_ref().map(|why| match why {
            WhyZero::NoneOfIt => "none_of_it",
            WhyZero::TooFewHalls => "too_few_halls",
            WhyZero::NotApart => "not_apart",
            WhyZero::BelowZero => "below_zero",
        }),
    });
    let halls = fit.halls.iter().map(|one| Hall {
        name: &one.hall.name,
        was_run: one.hall.was_run,
        hopper_turns_per_tick: one.hall.counts[0],
        comparator_updates_per_tick: one.hall.counts[1],
        loose_stacks_per_tick: one.hall.counts[2],
        measured_ms_per_tick: one.hall.measured_ms,
        fitted_ms_per_tick: one.fitted_ms,
        off_ms: one.off_ms(),
        off_share: one.off_share(),
    });
    written(&Report {
        schema_version: SCHEMA_VERSION,
        costs: costs.trim_end_matches(','),
        weights: weights.collect(),
        root_mean_square_ms: fit.root_mean_square_ms(),
        r_squared: fit.explained_share(),
        is_bound_to_fit: fit.is_bound_to_fit(),
        rank: fit.rank,
        halls: halls.collect(),
    })
}
