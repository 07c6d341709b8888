//! What a search found, for programs.

use serde::Serialize;
use serde_json::{Map, Value};

use super::SCHEMA_VERSION;
use super::check::{CaseRow, case_row};
use hallwright_trials::tune::{Design, Fate, GoalFigure, Measure, Near, TuneOutcome, TuneReport};

#[derive(Serialize)]
struct TuneDocument<'a> {
    schema_version: u32,
    version: &'a str,
    outcome: &'static str,
    file: &'a str,
    title: &'a str,
    variant: Option<&'a str>,
    by: &'static str,
    stop_mark: &'static str,
    ticks_per_second: u32,
    order_pairs: u64,
    update_orders: u64,
    signal_orders: u64,
    seeds: u64,
    stop_ticks: Option<u64>,
    runs: u64,
    is_cut_short: bool,
    untried_designs: usize,
    goals_met_by_designs: usize,
    cheapest: Option<usize>,
    undominated: &'a [usize],
    variant_name: Option<&'a str>,
    variant_text: Option<&'a str>,
    kept_out: Vec<KeptOut<'a>>,
    nearest: Vec<NearRow<'a>>,
    designs: Vec<DesignRow<'a>>,
}

/// How many designs a goal kept out.
#[derive(Serialize)]
struct KeptOut<'a> {
    /// `null` for what no goal asks.
    line: Option<usize>,
    subject: &'a str,
    designs: usize,
    nearest: Option<NearRow<'a>>,
}

/// A goal in a design's worst run for it.
#[derive(Serialize)]
struct NearRow<'a> {
    /// `null` for what no goal asks.
    line: Option<usize>,
    design: usize,
    values: Map<String, Value>,
    #[serde(flatten)]
    case: CaseRow,
    #[serde(flatten)]
    goal: GoalRow<'a>,
}

#[derive(Serialize)]
struct GoalRow<'a> {
    subject: &'a str,
    met: bool,
    words: &'a str,
    unit: &'a str,
    measured: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
}

#[derive(Serialize)]
struct DesignRow<'a> {
    values: Map<String, Value>,
    fate: &'static str,
    is_undominated: bool,
    runs: usize,
    hoppers: Option<u64>,
    width_blocks: Option<u32>,
    worst_work_units_per_tick: Option<f64>,
    worst_stop_ticks: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    build_hours: Option<f64>,
    first_miss: Option<MissRow<'a>>,
    reason: Option<String>,
    command: &'a str,
}

#[derive(Serialize)]
struct MissRow<'a> {
    #[serde(flatten)]
    case: CaseRow,
    goals: Vec<MissedGoal<'a>>,
}

#[derive(Serialize)]
struct MissedGoal<'a> {
    /// `null` for what no goal asks.
    line: Option<usize>,
    #[serde(flatten)]
    goal: GoalRow<'a>,
}

/// What a search found as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn tune_json(report: &TuneReport) -> String {
    let numbered = report.designs.iter().enumerate();
    let found = report.found.as_ref();
    let rows = TuneDocument {
        schema_version: SCHEMA_VERSION,
        version: &report.version,
        outcome: outcome_words(report.outcome()),
        file: &report.file,
        title: &report.title,
        variant: report.variant.as_deref(),
        by: report.by.words(),
        stop_mark: Measure::Stop.figure(report.has_sections).words(),
        ticks_per_second: report.ticks_per_second,
        order_pairs: report.runs.orders.pairs,
        update_orders: report.runs.orders.update_orders,
        signal_orders: report.runs.orders.signal_orders,
        seeds: report.runs.seeds,
        stop_ticks: report.runs.stop_ticks,
        runs: report.runs.all,
        is_cut_short: report.is_cut_short,
        untried_designs: report.untried(),
        goals_met_by_designs: report.found(),
        cheapest: report.cheapest,
        undominated: &report.undominated,
        variant_name: found.map(|found| found.name.as_str()),
        variant_text: found.map(|found| found.text.as_str()),
        kept_out: kept_out(report),
        nearest: report
            .nearest
            .iter()
            .map(|(goal, near)| near_row(*goal, near, report))
            .collect(),
        designs: numbered
            .map(|(number, design)| row(number, design, report))
            .collect(),
    };
    super::written(&rows)
}

fn outcome_words(outcome: TuneOutcome) -> &'static str {
    match outcome {
        TuneOutcome::Broken => "broken",
        TuneOutcome::Unusable => "unusable",
        TuneOutcome::NoneFound => "none",
        TuneOutcome::CutShort => "cut short",
        TuneOutcome::Found => "found",
    }
}

fn kept_out(report: &TuneReport) -> Vec<KeptOut<'_>> {
    let rows = report.kept_out().into_iter();
    rows.map(|(goal, subject, designs)| {
        let mut obstacles = report.obstacles.iter();
        let obstacle = obstacles.find(|obstacle| obstacle.goal == goal);
        KeptOut {
            line: report.line_of(goal),
            subject,
            designs,
            nearest: obstacle.map(|obstacle| near_row(goal, &obstacle.nearest, report)),
        }
    })
    .collect()
}

fn values(report: &TuneReport, design: usize) -> Map<String, Value> {
    let values = report.values(design);
    values
        .map(|(name, value)| (name.to_owned(), value.into()))
        .collect()
}

fn near_row<'a>(goal: usize, near: &'a Near, report: &TuneReport) -> NearRow<'a> {
    NearRow {
        line: report.line_of(goal),
        design: near.candidate,
        values: values(report, near.candidate),
        case: case_row(&report.designs[near.candidate].cases[near.run]),
        goal: goal_row(&near.figure),
    }
}

fn goal_row(goal: &GoalFigure) -> GoalRow<'_> {
    GoalRow {
        subject: &goal.subject,
        met: goal.is_met,
        words: &goal.words,
        unit: &goal.unit,
        measured: goal.measured,
        at_least: goal.bound.filter(|_| goal.is_at_least),
        at_most: goal.bound.filter(|_| !goal.is_at_least),
    }
}

fn row<'a>(number: usize, design: &'a Design, report: &TuneReport) -> DesignRow<'a> {
    let costs = design.costs();
    let cost = |measure| costs.map(|costs| costs.value(measure));
    let first_miss = match &design.fate {
        Ok(Fate::Misses(miss)) => {
            let goals = miss.goals.iter().map(|(goal, figure)| MissedGoal {
                line: report.line_of(*goal),
                goal: goal_row(figure),
            });
            Some(MissRow {
                case: case_row(&design.cases[miss.run]),
                goals: goals.collect(),
            })
        }
        _ => None,
    };
    DesignRow {
        values: values(report, number),
        fate: design.fate_words(),
        is_undominated: report.undominated.contains(&number),
        runs: design.cases.len(),
        hoppers: design.hoppers,
        width_blocks: design.width_blocks,
        worst_work_units_per_tick: cost(Measure::Work).and_then(|work| work.number()),
        worst_stop_ticks: cost(Measure::Stop).and_then(|stop| stop.whole()),
        build_hours: cost(Measure::BuildHours).and_then(|hours| hours.number()),
        first_miss,
        reason: design.reason(),
        command: &design.command,
    }
}
