//! A comparison, for programs.

use serde::Serialize;

use super::SCHEMA_VERSION;
use super::check::{CaseRow, case_row};
use hallwright_report::figures::Unit;
use hallwright_trials::compare::{Cell, Comparison, Design, Difference, Row, Value};

#[derive(Serialize)]
struct CompareDocument<'a> {
    schema_version: u32,
    version: &'a str,
    ticks_per_second: u32,
    runs_each: usize,
    unmade_runs_each: u64,
    cases: Vec<CaseRow>,
    designs: &'a [Design],
    all_equal: bool,
    function_alike: Vec<AlikeRow<'a>>,
    not_comparable: &'a [String],
    broken_runs: Vec<BrokenRow<'a>>,
    figures: Vec<FigureRow<'a>>,
}

#[derive(Serialize)]
struct AlikeRow<'a> {
    designs: Vec<&'a str>,
    differ_in: Vec<&'static str>,
}

#[derive(Serialize)]
struct BrokenRow<'a> {
    design: &'a str,
    #[serde(flatten)]
    case: CaseRow,
    message: &'a str,
    command: &'a str,
}

#[derive(Serialize)]
struct FigureRow<'a> {
    figure: String,
    name: &'static str,
    scope: &'static str,
    of: Option<&'a str>,
    unit: &'static str,
    more_is_better: bool,
    equal_in_all_runs: bool,
    designs: Vec<Option<CellRow<'a>>>,
}

/// Numbers are in the unit of the figure; `null` beside `never_runs` above 0 stands for never.
#[derive(Serialize)]
struct CellRow<'a> {
    design: &'a str,
    runs: u64,
    never_runs: u64,
    best: Option<f64>,
    median: Option<f64>,
    worst: Option<f64>,
    worst_case: CaseRow,
    less_the_first: Option<DifferenceRow>,
}

#[derive(Serialize)]
struct DifferenceRow {
    verdict: &'static str,
    pairs: u64,
    equal_pairs: u64,
    one_sided_pairs: u64,
    least: Option<f64>,
    median: Option<f64>,
    most: Option<f64>,
    mean_over_seeds: Option<IntervalRow>,
}

#[derive(Serialize)]
struct IntervalRow {
    seeds: u64,
    mean: f64,
    low_of_95_percent: f64,
    high_of_95_percent: f64,
    shows_difference: bool,
}

/// A comparison as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn compare_json(found: &Comparison) -> String {
    let name = |place: usize| found.designs[place].name.as_str();
    let report = CompareDocument {
        schema_version: SCHEMA_VERSION,
        version: &found.version,
        ticks_per_second: found.ticks_per_second,
        runs_each: found.cases.len(),
        unmade_runs_each: found.unmade_cases,
        cases: found.cases.iter().map(case_row).collect(),
        designs: &found.designs,
        all_equal: found.is_all_equal(),
        function_alike: found
            .alike
            .iter()
            .map(|alike| AlikeRow {
                designs: alike.designs.iter().map(|place| name(*place)).collect(),
                differ_in: alike
                    .differ_in
                    .iter()
                    .map(|row| found.rows[*row].figure.name.words())
                    .collect(),
            })
            .collect(),
        not_comparable: &found.incomparable,
        broken_runs: found
            .broken
            .iter()
            .map(|broken| BrokenRow {
                design: name(broken.design),
                case: case_row(&broken.case),
                message: &broken.message,
                command: &broken.command,
            })
            .collect(),
        figures: found.rows.iter().map(|row| figure(row, found)).collect(),
    };
    super::written(&report)
}

fn figure<'a>(row: &'a Row, found: &'a Comparison) -> FigureRow<'a> {
    let cells = row.cells.iter().zip(&found.designs);
    FigureRow {
        figure: row.figure.words(),
        name: row.figure.name.words(),
        scope: row.figure.scope.sort(),
        of: row.figure.scope.name(),
        unit: match row.figure.unit {
            Unit::WorkPerTick => "work units/tick",
            unit => unit.words(),
        },
        more_is_better: row.figure.name.more_is_better(),
        equal_in_all_runs: row.is_equal,
        designs: cells
            .map(|(cell, design)| cell.as_ref().map(|cell| cell_row(cell, &design.name)))
            .collect(),
    }
}

fn cell_row<'a>(cell: &Cell, design: &'a str) -> CellRow<'a> {
    let number = |value: Value| value.number();
    CellRow {
        design,
        runs: cell.range.runs,
        never_runs: cell.range.never,
        best: number(cell.range.best),
        median: number(cell.range.median),
        worst: number(cell.range.worst),
        worst_case: case_row(&cell.worst_case),
        less_the_first: cell.difference.as_ref().map(difference),
    }
}

fn difference(found: &Difference) -> DifferenceRow {
    DifferenceRow {
        verdict: found.verdict(),
        pairs: found.pairs,
        equal_pairs: found.equal,
        one_sided_pairs: found.one_sided,
        least: found.least,
        median: found.median,
        most: found.most,
        mean_over_seeds: found.interval.map(|interval| IntervalRow {
            seeds: interval.seeds,
            mean: interval.mean,
            low_of_95_percent: interval.low,
            high_of_95_percent: interval.high,
            shows_difference: interval.shows_difference(),
        }),
    }
}
