//! The table of halls that were measured.

use std::path::Path;

use hallwright_scenario::Diagnostic;
use hallwright_scenario::placed_table::{PlacedRow, PlacedTable, PlacedText, read_placed_table};
use hallwright_scenario::source::{Sources, Span};

/// A column that is needed, and missing.
const MISSING_COLUMN: &str = "measured::missing-column";
/// A column that is not known, or there twice.
const UNKNOWN_COLUMN: &str = "measured::unknown-column";
/// A field that cannot be understood, or is empty though it is needed.
const BAD_FIELD: &str = "measured::bad-field";
/// Fewer than two halls.
pub(super) const TOO_FEW: &str = "measured::too-few";
/// Halls of which each has as much of everything as the others.
pub(super) const ALL_ALIKE: &str = "measured::all-alike";

/// The columns with numbers of a tick.
const COUNTS: [&str; 3] = ["hopper_turns", "comparator_updates", "loose_stacks"];
/// All columns.
const COLUMNS: &str = "`name`, `ms_per_tick`, `scenario`, `variant`, `hopper_turns`, \
                       `comparator_updates`, `loose_stacks`";
/// The most that anything in the table may be.
const MOST: f64 = 1e9;

/// A hall as its row says.
pub(super) struct Row {
    /// What it is called.
    pub(super) name: String,
    /// Milliseconds a tick.
    pub(super) measured_ms: f64,
    /// What is in it in a tick, as far as that is written.
    pub(super) counts: [Option<f64>; 3],
    /// The scenario to run, as it is written, and the variant.
    pub(super) scenario: Option<(String, Option<String>)>,
    /// The row.
    pub(super) span: Span,
}

/// Reads the table. `None` if anything is wrong with it; all mistakes are reported.
pub(super) fn read(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Vec<Row>> {
    let table = read_placed_table(path, sources, problems)?;
    check_columns(&table, problems);
    if !problems.is_empty() {
        return None;
    }
    let rows: Vec<Option<Row>> = table
        .rows
        .iter()
        .map(|row| hall(&table, row, problems))
        .collect();
    if table.rows.len() < 2 {
        let message = format!("`{}` has fewer than two halls", path.display());
        let problem = match table.rows.first() {
            Some(row) => Diagnostic::error(TOO_FEW, row.span, message),
            None => Diagnostic::general(TOO_FEW, message),
        };
        let help = "measure another hall, and add a row for it: one hall says nothing of what is \
                    dear in it";
        problems.push(problem.help(help.to_owned()));
    }
    let rows: Option<Vec<Row>> = rows.into_iter().collect();
    rows.filter(|_| problems.is_empty())
}

fn check_columns(table: &PlacedTable, problems: &mut Vec<Diagnostic>) {
    let known = |column: &PlacedText| {
        let others = ["name", "ms_per_tick", "scenario", "variant"];
        let mut all = COUNTS.iter().chain(&others);
        all.any(|name| column.is_called(name))
    };
    for (number, column) in table.columns.iter().enumerate() {
        let mut earlier = table.columns[..number].iter();
        let message = if earlier.any(|earlier| earlier.is_called(&column.text)) {
            format!("there are two columns `{}`", column.text)
        } else if known(column) {
            continue;
        } else {
            format!("a table of measured halls has no column `{}`", column.text)
        };
        let problem = Diagnostic::error(UNKNOWN_COLUMN, column.span, message);
        problems.push(problem.help(format!("the columns are {COLUMNS}")));
    }
    let needed: &[&str] = if table.column("scenario").is_some() {
        &["name", "ms_per_tick"]
    } else {
        &[
            "name",
            "ms_per_tick",
            "hopper_turns",
            "comparator_updates",
            "loose_stacks",
        ]
    };
    for name in needed {
        if table.column(name).is_some() {
            continue;
        }
        let message = format!("the column `{name}` is missing");
        let problem = match table.columns.first() {
            Some(first) => Diagnostic::error(MISSING_COLUMN, first.span, message),
            None => Diagnostic::general(MISSING_COLUMN, message),
        };
        let help = if COUNTS.contains(name) {
            format!("add it, or a column `scenario` with files to run; the columns are {COLUMNS}")
        } else {
            format!("add it; the columns are {COLUMNS}")
        };
        problems.push(problem.help(help));
    }
}

/// What a row has in a column; `None` if there is no such column or it is empty.
fn field<'t>(table: &PlacedTable, row: &'t PlacedRow, column: &str) -> Option<&'t PlacedText> {
    let field = row.fields.get(table.column(column)?)?;
    Some(field).filter(|field| !field.text.is_empty())
}

/// The hall of one row. Everything wrong with it is reported.
fn hall(table: &PlacedTable, row: &PlacedRow, problems: &mut Vec<Diagnostic>) -> Option<Row> {
    let before = problems.len();
    let text = |column: &str| field(table, row, column).map(|field| field.text.clone());
    let empty = |column: &str, help: &str, problems: &mut Vec<Diagnostic>| {
        let message = format!("the field `{column}` is empty");
        let problem = Diagnostic::error(BAD_FIELD, row.span, message);
        problems.push(problem.help(help.to_owned()));
    };
    let name = text("name");
    if name.is_none() {
        empty("name", "write what the hall is called", problems);
    }
    let scenario = text("scenario").map(|scenario| (scenario, text("variant")));
    if scenario.is_none()
        && let Some(variant) = field(table, row, "variant")
    {
        let message = "a variant without a scenario";
        let problem = Diagnostic::error(BAD_FIELD, variant.span, message);
        let help = "name the file of the variant under `scenario`, or leave the field empty";
        problems.push(problem.help(help.to_owned()));
    }
    let counts = COUNTS.map(|column| match field(table, row, column) {
        Some(field) => number(column, field, problems),
        None => {
            if scenario.is_none() {
                let help = "write how many there are in a tick on average, 0 for none, or name a \
                            scenario to count them in";
                empty(column, help, problems);
            }
            None
        }
    });
    let measured_ms = match field(table, row, "ms_per_tick") {
        Some(field) => number("ms_per_tick", field, problems),
        None => {
            let help = "write how many milliseconds a tick took on average";
            empty("ms_per_tick", help, problems);
            None
        }
    };
    if problems.len() > before {
        return None;
    }
    Some(Row {
        name: name?,
        measured_ms: measured_ms?,
        counts,
        scenario,
        span: row.span,
    })
}

/// A number of at least 0.
fn number(column: &str, field: &PlacedText, problems: &mut Vec<Diagnostic>) -> Option<f64> {
    let parsed: Option<f64> = field.text.parse().ok();
    let message = match parsed {
        Some(number) if (0.0..=MOST).contains(&number) => return Some(number),
        Some(number) if number < 0.0 => {
            format!("`{column}` is {}, which is below 0", field.text)
        }
        Some(number) if number > MOST => format!("`{column}` is {}, which is too much", field.text),
        _ => format!("`{}` is not a number", field.text),
    };
    let problem = Diagnostic::error(BAD_FIELD, field.span, message);
    let help = match column {
        "ms_per_tick" => "write milliseconds with a point, such as `1.25`, at least 0",
        _ => "write how many there are in a tick on average, such as `180` or `0.5`, at least 0",
    };
    problems.push(problem.help(help.to_owned()));
    None
}
