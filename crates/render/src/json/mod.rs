//! The report for programs: JSON, with the unit of every figure in its field's name.
//!
//! Times are ticks; a moment's field ends in `_at_tick`, a duration's in `_ticks`. `null` stands for
//! "never" or "not declared". The order of fields and rows never depends on anything but the run.

mod account;
mod arrivals;
mod calibrate;
mod check;
mod compare;
mod explain;
mod goals;
mod leave;
mod levels;
mod limits;
mod margin;
mod retrieval;
mod run;
mod site;
mod stops;
mod sweep;
mod tune;
mod upsets;

pub use calibrate::calibrate_json;
pub use check::check_json;
pub use compare::compare_json;
pub use explain::explain_json;
pub use levels::levels_json;
use serde::Serialize;
pub use tune::tune_json;

use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_trials::leave::LeaveAsked;
use hallwright_trials::sweep::SweepFindings;

/// The version of this format. It grows when a field changes its meaning or goes away.
pub const SCHEMA_VERSION: u32 = 2;

/// Everything.
#[derive(Serialize)]
struct RunDocument<'a> {
    schema_version: u32,
    title: &'a str,
    variant: Option<&'a str>,
    seed: u64,
    update_order: &'a str,
    signal_order: &'a str,
    version: &'a str,
    input_digest: &'a str,
    command: &'a str,
    verified: Option<bool>,
    is_ok: bool,
    verdicts: Vec<goals::VerdictRow<'a>>,
    goals: goals::Goals<'a>,
    account: account::AccountReport<'a>,
    going_on: account::GoingOnReport<'a>,
    homes: Vec<account::Homes<'a>>,
    #[serde(flatten)]
    run: run::Run<'a>,
    stops: Vec<stops::StopRow<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<limits::LimitsReport<'a>>,
    retrieval: retrieval::Retrieval<'a>,
    upsets: upsets::UpsetsReport<'a>,
    taken_at_their_word: upsets::AtWordReport<'a>,
    /// Not there if nothing says where the parts stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    site: Option<site::SiteReport<'a>>,
    sweep: Option<sweep::Sweep<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    leave: Option<leave::LeaveReport<'a>>,
}

/// The report as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn json(
    heading: &Heading,
    findings: &Findings,
    sweep: Option<&SweepFindings>,
    left: Option<&LeaveAsked>,
) -> String {
    let report = RunDocument {
        schema_version: SCHEMA_VERSION,
        title: &heading.title,
        variant: heading.variant.as_deref(),
        seed: heading.seed,
        update_order: &heading.update_order,
        signal_order: &heading.signal_order,
        version: &heading.version,
        input_digest: &heading.input_digest,
        command: &heading.command,
        verified: heading.verified,
        is_ok: findings.is_ok(),
        verdicts: goals::all(findings),
        goals: goals::Goals::of(findings),
        account: account::AccountReport::of(&findings.account),
        going_on: account::GoingOnReport::of(&findings.going_on),
        homes: account::Homes::of(findings),
        run: run::Run::of(findings),
        stops: findings.stops.iter().map(stops::StopRow::of).collect(),
        limits: limits::LimitsReport::of(findings),
        retrieval: retrieval::Retrieval::of(findings),
        upsets: upsets::UpsetsReport::of(&findings.upsets),
        taken_at_their_word: upsets::AtWordReport::of(
            &findings.taken_at_word,
            findings.ticks_per_second,
        ),
        site: findings.site.as_ref().map(site::SiteReport::of),
        sweep: sweep.map(sweep::Sweep::of),
        leave: left.map(leave::LeaveReport::of),
    };
    written(&report)
}

/// Rows as indented JSON that may be shown anywhere.
fn written(rows: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(rows).expect("plain data can be written");
    text.push('\n');
    hallwright_names::json(&text).into_owned()
}
