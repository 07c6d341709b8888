//! The tables of a comparison, shared by text and Markdown.

use hallwright_report::figures::{Name, Scope, Topic, Unit};
use hallwright_report::units::{count, time};
use hallwright_trials::OrdersTried;
use hallwright_trials::compare::{
    Alike, Cell, Comparison, Difference, Row, difference_words, short_words, span_words,
    value_words,
};

/// Columns of figures beside the names of the designs: a header, and a cell for each design.
pub(super) struct Columns {
    /// What the table is about.
    pub(super) title: String,
    /// Header and cells.
    pub(super) columns: Vec<(String, Vec<String>)>,
}

/// What was run: how many runs of each design, in which orders, seeds and stop ticks.
pub(super) fn runs_words(found: &Comparison) -> String {
    let tps = found.ticks_per_second;
    let orders = OrdersTried::of(found.cases.iter().map(|case| &case.orders));
    let mut seeds: Vec<u64> = Vec::new();
    let mut stops = Vec::new();
    for case in &found.cases {
        if !seeds.contains(&case.seed) {
            seeds.push(case.seed);
        }
        if let Some(tick) = case.stop_at
            && !stops.contains(&tick)
        {
            stops.push(tick);
        }
    }
    let stops = match (stops.first(), stops.last()) {
        (Some(first), Some(last)) if first != last => format!(
            ", {} from {} to {}",
            count(stops.len() as u64, "stop", "stops"),
            time(first.0, tps),
            time(last.0, tps)
        ),
        (Some(only), _) => format!(", stop at {}", time(only.0, tps)),
        _ => String::new(),
    };
    let cut_short = match found.unmade_cases {
        0 => String::new(),
        unmade => format!("; cut short before {unmade} more"),
    };
    format!(
        "{} each: {}, {}{stops}{cut_short}",
        count(found.cases.len() as u64, "run", "runs"),
        orders.words(),
        count(seeds.len() as u64, "seed", "seeds"),
    )
}

/// Which designs function alike, and in what they differ.
pub(super) fn alike_words(alike: &Alike, found: &Comparison) -> String {
    let names: Vec<&str> = alike
        .designs
        .iter()
        .map(|design| found.designs[*design].name.as_str())
        .collect();
    let runs = count(found.cases.len() as u64, "run", "runs");
    let differences: Vec<String> = alike
        .differ_in
        .iter()
        .map(|row| {
            let row = &found.rows[*row];
            let values = alike.designs.iter().map(|design| {
                let cell = row.cells[*design].as_ref();
                cell.map_or_else(|| "-".to_owned(), |cell| worst(row, cell, found))
            });
            let values: Vec<String> = values.collect();
            format!("{} {}", row.figure.in_a_sentence(), values.join(" / "))
        })
        .collect();
    let differ = if differences.is_empty() {
        "they differ in nothing that is compared".to_owned()
    } else {
        format!("they differ in {}", differences.join(", "))
    };
    format!(
        "{} function alike in all {runs}; {differ}",
        names.join(" and ")
    )
}

fn worst(row: &Row, cell: &Cell, found: &Comparison) -> String {
    short_words(cell.range.worst, row.figure.unit, found.ticks_per_second)
}

/// Figures that are the same in every run of every design, in words.
pub(super) fn same_words(found: &Comparison) -> Vec<String> {
    let rows = found.rows.iter().filter(|row| is_same(row));
    let whole = rows.filter(|row| is_reported_whole(row));
    whole
        .filter_map(|row| {
            let range = &row.cells[0].as_ref()?.range;
            let short = |value| short_words(value, row.figure.unit, found.ticks_per_second);
            // A range runs upwards, whichever of its ends is the better one.
            let (least, most) = match row.figure.name.more_is_better() {
                true => (short(range.worst), short(range.best)),
                false => (short(range.best), short(range.worst)),
            };
            let name = row.figure.in_a_sentence();
            Some(if least == most {
                format!("{name} {most}")
            } else {
                format!("{name} {least} to {most}")
            })
        })
        .collect()
}

/// Whether all designs have it and none differs from the first in any run.
fn is_same(row: &Row) -> bool {
    row.is_equal && row.cells.iter().all(Option::is_some)
}

/// Whether a figure is about a whole design or a flow.
fn is_reported_whole(row: &Row) -> bool {
    matches!(row.figure.scope, Scope::All | Scope::Flow(_))
}

/// The worst of each figure that is not the same everywhere, a table for each topic.
pub(super) fn overview(found: &Comparison) -> Vec<Columns> {
    let tables = Topic::ALL.map(|topic| {
        let rows = found.rows.iter().filter(|row| {
            row.figure.name.topic() == topic && is_reported_whole(row) && !is_same(row)
        });
        let header = |row: &Row| match &row.figure.scope {
            Scope::Flow(flow) => flow.clone(),
            _ => row.figure.words(),
        };
        let worst = if topic == Topic::Cost {
            ""
        } else {
            ", at worst"
        };
        Columns {
            title: format!("{}{worst}", topic.words()),
            columns: rows.map(|row| (header(row), worsts(row, found))).collect(),
        }
    });
    tables
        .into_iter()
        .filter(|table| !table.columns.is_empty())
        .collect()
}

/// The worst of each mark, and of what waited, by subsystem.
pub(super) fn by_subsystem(found: &Comparison) -> Vec<Columns> {
    let scopes = found.rows.iter().map(|row| &row.figure.scope);
    let mut subsystems: Vec<&Scope> = scopes
        .filter(|scope| matches!(scope, Scope::Subsystem(_)))
        .collect();
    subsystems.sort();
    subsystems.dedup();
    // A single one says nothing that the whole does not say.
    if subsystems.len() < 2 {
        return Vec::new();
    }
    let tables = Name::all_compared().map(|name| {
        let rows = found.rows.iter().filter(|row| {
            row.figure.name == name && matches!(row.figure.scope, Scope::Subsystem(_))
        });
        let mut rows: Vec<&Row> = rows.filter(|row| !is_same(row)).collect();
        if rows.iter().all(|row| is_as_whole(row, found)) {
            rows.clear();
        }
        let header = |row: &Row| row.figure.scope.name().unwrap_or_default().to_owned();
        Columns {
            title: format!("{}, at worst", capital(name.words())),
            columns: rows
                .iter()
                .map(|row| (header(row), worsts(row, found)))
                .collect(),
        }
    });
    tables.filter(|table| !table.columns.is_empty()).collect()
}

/// Whether a part of the design has just what the whole has, so that it is reported already.
fn is_as_whole(row: &Row, found: &Comparison) -> bool {
    let whole = found
        .rows
        .iter()
        .find(|whole| whole.figure.name == row.figure.name && whole.figure.scope == Scope::All);
    let is_same = |(own, whole): (&Option<Cell>, &Option<Cell>)| {
        let worst = |cell: &Cell| cell.range.worst;
        // Some designs may lack this part.
        own.is_none() || own.as_ref().map(worst) == whole.as_ref().map(worst)
    };
    whole.is_some_and(|whole| row.cells.iter().zip(&whole.cells).all(is_same))
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

fn worsts(row: &Row, found: &Comparison) -> Vec<String> {
    let cells = row.cells.iter();
    cells
        .map(|cell| {
            let shown = cell.as_ref().map(|cell| worst(row, cell, found));
            shown.unwrap_or_else(|| "-".to_owned())
        })
        .collect()
}

/// A table of one figure: best, median, worst of each design and its difference to the first.
pub(super) struct FigureTable {
    pub(super) header: Vec<String>,
    pub(super) rows: Vec<Vec<String>>,
}

/// A table for each figure of whole designs that is not the same everywhere.
pub(super) fn figure_tables(found: &Comparison) -> Vec<FigureTable> {
    let rows = found.rows.iter();
    let reported = rows.filter(|row| is_reported_whole(row) && !is_same(row));
    reported.map(|row| figure_table(row, found)).collect()
}

fn figure_table(row: &Row, found: &Comparison) -> FigureTable {
    let tps = found.ticks_per_second;
    let unit = row.figure.unit;
    let has_intervals = has_intervals(row);
    let is_steady = is_steady(row);
    let ranges: &[&str] = if is_steady {
        &["in every run"]
    } else {
        &["best", "median", "worst"]
    };
    let mut header = vec![capital(&row.figure.in_a_sentence())];
    header.extend(ranges.iter().map(ToString::to_string));
    header.push("less the first".to_owned());
    if has_intervals {
        header.push("mean, 95 % within".to_owned());
    }
    let rows = row.cells.iter().enumerate().map(|(place, cell)| {
        let mut words = vec![found.designs[place].name.clone()];
        let Some(cell) = cell else {
            words.resize(header.len(), "-".to_owned());
            return words;
        };
        let range = &cell.range;
        let values = [range.best, range.median, range.worst].into_iter();
        let shown = values.take(ranges.len());
        words.extend(shown.map(|value| value_words(value, unit, tps)));
        let difference = cell.difference.as_ref();
        words.push(match difference {
            _ if place == 0 => "the first".to_owned(),
            None => "-".to_owned(),
            Some(difference) => difference_cell(difference, unit, tps),
        });
        if has_intervals {
            let interval = difference.map(|found| interval_words(found, unit, tps));
            words.push(interval.unwrap_or_else(|| "-".to_owned()));
        }
        words
    });
    FigureTable {
        rows: rows.collect(),
        header: header.clone(),
    }
}

/// Whether each design has the same value in all of its runs.
fn is_steady(row: &Row) -> bool {
    let mut cells = row.cells.iter().flatten();
    cells.all(|cell| cell.range.best == cell.range.worst)
}

/// Whether any design has an interval in this figure.
fn has_intervals(row: &Row) -> bool {
    let cells = row.cells.iter().flatten();
    let mut differences = cells.filter_map(|cell| cell.difference);
    differences.any(|difference| difference.interval.is_some())
}

/// The paired difference: equal in all runs, or from the least to the most.
fn difference_cell(difference: &Difference, unit: Unit, tps: u32) -> String {
    if difference.is_equal() {
        return "equal in all runs".to_owned();
    }
    let span = match (difference.least, difference.most) {
        (Some(least), Some(most)) => Some(span_words(least, most, unit, tps)),
        _ => None,
    };
    let one_sided = (difference.one_sided > 0).then(|| {
        let runs = count(difference.one_sided, "run", "runs");
        format!("only one came to it in {runs}")
    });
    let words: Vec<String> = [span, one_sided].into_iter().flatten().collect();
    words.join("; ")
}

/// Mean and interval of the difference, or that none is shown.
fn interval_words(difference: &Difference, unit: Unit, tps: u32) -> String {
    let Some(interval) = difference.interval.filter(|_| !difference.is_equal()) else {
        return "-".to_owned();
    };
    let mean = difference_words(interval.mean, unit, tps);
    if interval.low == interval.high {
        return mean;
    }
    let span = span_words(interval.low, interval.high, unit, tps);
    if interval.shows_difference() {
        format!("{mean}, {span}")
    } else {
        format!("no difference shown: {mean}, {span}")
    }
}
