//! What a check found, for programs.

use serde::Serialize;

use super::SCHEMA_VERSION;
use super::goals::{VerdictRow, row_of};
use super::leave::LeaveReport;
use super::margin::MarginReport;
use super::site::SiteReport;
use super::sweep::Sweep;
use hallwright_trials::check::{
    CheckOutcome, CheckReport, Checked, Compared, GoalChecked, Moved, Problem,
};
use hallwright_trials::{Case, order_words};

#[derive(Serialize)]
struct CheckDocument<'a> {
    schema_version: u32,
    version: &'a str,
    outcome: &'static str,
    runs: u64,
    scenarios: Vec<Scenario<'a>>,
    problems: &'a [Problem],
    nothing_to_check_in: &'a [String],
    module_files: &'a [String],
    recorded_files: &'a [String],
}

#[derive(Serialize)]
struct Scenario<'a> {
    file: &'a str,
    title: &'a str,
    variant: Option<&'a str>,
    input_digest: &'a str,
    is_ok: bool,
    order_pairs: u64,
    update_orders: u64,
    signal_orders: u64,
    runs: u64,
    unmade_runs: u64,
    run_ticks: u64,
    ticks_per_second: u32,
    goals: Vec<GoalRow<'a>>,
    /// Not there if nothing says where the parts stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    site: Option<SiteReport<'a>>,
    broken_runs: Vec<BrokenRow<'a>>,
    recorded: Option<Recorded<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sweep: Option<Sweep<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    leave: Option<LeaveReport<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    margin: Option<MarginReport<'a>>,
}

#[derive(Serialize)]
struct GoalRow<'a> {
    /// `null` for what no goal asks.
    line: Option<usize>,
    is_ok: bool,
    runs: u64,
    missed_runs: u64,
    worst: WorstRow<'a>,
}

#[derive(Serialize)]
struct WorstRow<'a> {
    #[serde(flatten)]
    case: CaseRow,
    #[serde(flatten)]
    verdict: VerdictRow<'a>,
    words: &'a str,
    missed_by: Option<&'a str>,
    causes: &'a [String],
    command: &'a str,
}

#[derive(Serialize)]
pub(super) struct CaseRow {
    update_order: String,
    signal_order: String,
    seed: u64,
    stop_at_tick: Option<u64>,
}

#[derive(Serialize)]
struct BrokenRow<'a> {
    #[serde(flatten)]
    case: CaseRow,
    message: &'a str,
    command: &'a str,
}

#[derive(Serialize)]
struct Recorded<'a> {
    file: &'a str,
    is_ok: bool,
    is_missing: bool,
    scenario_changed: bool,
    figures: u64,
    same_until_tick: Option<u64>,
    parted_before_tick: Option<u64>,
    moved: &'a [Moved],
}

/// What a check found as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn check_json(report: &CheckReport) -> String {
    let rows = CheckDocument {
        schema_version: SCHEMA_VERSION,
        version: &report.version,
        outcome: outcome_words(report.outcome()),
        runs: report.runs(),
        scenarios: report.checked.iter().map(scenario).collect(),
        problems: &report.problems,
        nothing_to_check_in: &report.empty,
        module_files: &report.module_files,
        recorded_files: &report.recorded,
    };
    super::written(&rows)
}

fn outcome_words(outcome: CheckOutcome) -> &'static str {
    match outcome {
        CheckOutcome::Broken => "broken",
        CheckOutcome::Unusable => "unusable",
        CheckOutcome::Missed => "missed",
        CheckOutcome::CutShort => "cut short",
        CheckOutcome::Nothing => "nothing",
        CheckOutcome::Ok => "ok",
    }
}

fn scenario(checked: &Checked) -> Scenario<'_> {
    let broken = checked.fold.broken.iter().map(|broken| BrokenRow {
        case: case_row(&broken.case),
        message: &broken.message,
        command: &broken.command,
    });
    Scenario {
        file: &checked.file,
        title: &checked.title,
        variant: checked.variant.as_deref(),
        input_digest: &checked.input_digest,
        is_ok: checked.is_ok(),
        order_pairs: checked.fold.orders.pairs,
        update_orders: checked.fold.orders.update_orders,
        signal_orders: checked.fold.orders.signal_orders,
        runs: checked.runs,
        unmade_runs: checked.unmade_runs,
        run_ticks: checked.fold.run_ticks,
        ticks_per_second: checked.fold.ticks_per_second,
        goals: checked.fold.goals.iter().map(goal_row).collect(),
        site: checked.fold.site.as_ref().map(SiteReport::of),
        broken_runs: broken.collect(),
        recorded: checked.compared.as_ref().map(recorded),
        sweep: checked.fold.sweep.as_ref().map(Sweep::of),
        leave: checked.leave.as_ref().map(LeaveReport::of),
        margin: checked.margin.as_ref().map(MarginReport::of),
    }
}

pub(super) fn case_row(case: &Case) -> CaseRow {
    CaseRow {
        update_order: order_words(&case.orders.update),
        signal_order: order_words(&case.orders.signal),
        seed: case.seed,
        stop_at_tick: case.stop_at.map(|tick| tick.0),
    }
}

fn goal_row(goal: &GoalChecked) -> GoalRow<'_> {
    let worst = &goal.worst;
    // A goal counts its checks by stop; here the tick of the first is enough.
    GoalRow {
        line: goal.line,
        is_ok: goal.is_ok(),
        runs: goal.runs,
        missed_runs: goal.missed_runs,
        worst: WorstRow {
            case: case_row(&worst.case),
            verdict: row_of(&worst.verdict, |_| None),
            words: &worst.words,
            missed_by: Some(worst.excess_words.as_str()).filter(|words| !words.is_empty()),
            causes: &worst.causes,
            command: &worst.command,
        },
    }
}

fn recorded(compared: &Compared) -> Recorded<'_> {
    Recorded {
        file: &compared.file,
        is_ok: compared.is_ok(),
        is_missing: compared.is_missing,
        scenario_changed: compared.input_changed,
        figures: compared.figures,
        same_until_tick: compared.parted.map(|(from, _)| from.0),
        parted_before_tick: compared.parted.map(|(_, until)| until.0),
        moved: &compared.moved,
    }
}
