//! Explains a run: why a stop took so long.
//!
//! A run is recorded in a [`history`], in which each item is followed from place to place. From the
//! event that made a mark true, `walk` goes back from each event to the condition of it that came
//! true last ([`moves`], [`signals`]), until the operator's stop is reached. The steps on the way are
//! the critical path of the stop; their ticks add up to its time exactly.

mod condition;
mod explanation;
mod fold;
mod history;
mod last;
mod moves;
mod shorten;
mod signals;
mod stop;
mod walk;

use hallwright_core::declare::Mark;

pub use self::condition::Cause;
pub use self::explanation::{Beyond, CauseSum, Explanation, PathRow, PlaceSum, Shorter, StopPath};
use crate::runner::{RunInput, run};

/// Explains a run: a mark of its first stop.
///
/// # Panics
///
/// If an invariant broke: a bug.
#[must_use]
pub fn explain(input: &RunInput<'_>, mark: Mark) -> Explanation {
    let findings = run(input, &mut |_| {});
    let pulses_at = findings
        .stops
        .first()
        .and_then(|found| stop::tick_before_mark(found, mark));
    let history = stop::record(input, pulses_at);
    Explanation {
        ticks_per_second: findings.ticks_per_second,
        stop: stop::explain_stop(input, &findings, &history, 0, mark),
    }
}
