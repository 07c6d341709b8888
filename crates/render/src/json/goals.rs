//! Goals as they are written.

use serde::Serialize;

use hallwright_report::findings::Findings;
use hallwright_report::goals::{Bound, Verdict};

#[derive(Serialize)]
pub(super) struct Goals<'a> {
    met: usize,
    missed: usize,
    all_met: bool,
    verdicts: Vec<VerdictRow<'a>>,
}

/// A goal, judged, as it is written.
#[derive(Serialize)]
pub(super) struct VerdictRow<'a> {
    question: &'static str,
    verdict: &'static str,
    judged_anyway: bool,
    subject: &'a str,
    met: bool,
    went_wrong_at_tick: Option<u64>,
    remark: Option<&'a str>,
    why: &'a [String],
    checks: Vec<CheckRow>,
}

#[derive(Serialize)]
struct CheckRow {
    met: bool,
    /// What `measured`, `at_least` and `at_most` are in.
    unit: &'static str,
    measured: Option<serde_json::Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<serde_json::Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<serde_json::Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stop_at_tick: Option<u64>,
}

impl<'a> Goals<'a> {
    pub(super) fn of(found: &'a Findings) -> Self {
        let met = found.goals().filter(|verdict| verdict.is_met()).count();
        let missed = found.goals().count() - met;
        Self {
            met,
            missed,
            all_met: missed == 0,
            verdicts: found.goals().map(|verdict| row(verdict, found)).collect(),
        }
    }
}

/// All verdicts: the goals, then what is judged anyway.
pub(super) fn all(found: &Findings) -> Vec<VerdictRow<'_>> {
    let verdicts = found.verdicts.iter();
    verdicts.map(|verdict| row(verdict, found)).collect()
}

fn row<'a>(verdict: &'a Verdict, found: &Findings) -> VerdictRow<'a> {
    row_of(verdict, |stop| Some(found.stops[stop].at.0))
}

/// A judged goal. `tick_of_stop`: when a stop was, by its place among the stops of the run.
pub(super) fn row_of(
    verdict: &Verdict,
    tick_of_stop: impl Fn(usize) -> Option<u64>,
) -> VerdictRow<'_> {
    let checks = verdict.checks.iter().map(|check| {
        let (least, most) = match check.bound {
            Bound::AtLeast(bound) => (Some(bound), None),
            Bound::AtMost(bound) => (None, Some(bound)),
        };
        CheckRow {
            met: check.is_met(),
            unit: check.measured.unit.key(),
            measured: check.measured.value().and_then(number),
            at_least: least.and_then(number),
            at_most: most.and_then(number),
            stop_at_tick: check.stop.and_then(&tick_of_stop),
        }
    });
    VerdictRow {
        question: verdict.question.key(),
        verdict: verdict.ruling.key(),
        judged_anyway: verdict.is_judged_anyway(),
        subject: &verdict.subject,
        met: verdict.is_met(),
        went_wrong_at_tick: verdict.went_wrong_at.map(|tick| tick.0),
        remark: verdict.remark.as_deref(),
        why: &verdict.why,
        checks: checks.collect(),
    }
}

/// A number, without a fraction where it is whole.
fn number(value: f64) -> Option<serde_json::Number> {
    // Up to here, every whole number has an exact floating-point value.
    const EXACT: f64 = 9_007_199_254_740_992.0;
    if value.fract() == 0.0 && (0.0..=EXACT).contains(&value) {
        return Some((value as u64).into());
    }
    serde_json::Number::from_f64(value)
}
