//! A comparison as comma-separated values (RFC 4180): a line for each figure and design.

use csv::{Terminator, WriterBuilder};

use hallwright_report::figures::Figure;
use hallwright_trials::compare::{Cell, Comparison, Design, Value};
use hallwright_trials::order_words;

const HEADER: [&str; 30] = [
    "design",
    "file",
    "variant",
    "figure",
    "scope",
    "of",
    "unit",
    "more_is_better",
    "runs",
    "never_runs",
    "best",
    "median",
    "worst",
    "worst_update_order",
    "worst_signal_order",
    "worst_seed",
    "worst_stop_at_tick",
    "pairs",
    "equal_pairs",
    "one_sided_pairs",
    "least_difference",
    "median_difference",
    "most_difference",
    "seeds",
    "mean_difference",
    "low_difference",
    "high_difference",
    "verdict",
    "ticks_per_second",
    "input_digest",
];

/// A comparison as comma-separated values. Numbers are in the unit that stands beside them; an empty
/// field was not measured.
///
/// # Panics
///
/// Never: what is written to memory can always be written.
#[must_use]
pub fn compare_csv(found: &Comparison) -> String {
    let mut builder = WriterBuilder::new();
    builder.terminator(Terminator::Any(b'\n'));
    let mut writer = builder.from_writer(Vec::new());
    writer.write_record(HEADER).expect("memory can be written");
    for row in &found.rows {
        for (design, cell) in found.designs.iter().zip(&row.cells) {
            if let Some(cell) = cell {
                let mut record = record(design, &row.figure, cell);
                record.push(found.ticks_per_second.to_string());
                record.push(design.input_digest.clone());
                writer.write_record(record).expect("memory can be written");
            }
        }
    }
    let bytes = writer.into_inner().expect("memory can be written");
    String::from_utf8(bytes).expect("only text was written")
}

fn record(design: &Design, figure: &Figure, cell: &Cell) -> Vec<String> {
    let range = &cell.range;
    let case = &cell.worst_case;
    let mut fields = vec![
        cell_of(&design.name),
        cell_of(&design.file),
        cell_of(design.variant.as_deref().unwrap_or_default()),
        figure.name.words().to_owned(),
        figure.scope.sort().to_owned(),
        cell_of(figure.scope.name().unwrap_or_default()),
        figure.unit.words().to_owned(),
        figure.name.more_is_better().to_string(),
        range.runs.to_string(),
        range.never.to_string(),
    ];
    fields.extend([range.best, range.median, range.worst].map(value));
    fields.push(order_words(&case.orders.update));
    fields.push(order_words(&case.orders.signal));
    fields.push(case.seed.to_string());
    fields.push(
        case.stop_at
            .map_or_else(String::new, |tick| tick.0.to_string()),
    );
    match &cell.difference {
        None => fields.resize(HEADER.len() - 2, String::new()),
        Some(difference) => {
            let counts = [difference.pairs, difference.equal, difference.one_sided];
            fields.extend(counts.map(|count| count.to_string()));
            let span = [difference.least, difference.median, difference.most];
            fields.extend(span.map(number));
            let interval = difference.interval;
            fields.push(interval.map_or_else(String::new, |found| found.seeds.to_string()));
            fields.push(number(interval.map(|found| found.mean)));
            fields.push(number(interval.map(|found| found.low)));
            fields.push(number(interval.map(|found| found.high)));
            fields.push(difference.verdict().to_owned());
        }
    }
    fields
}

/// A name as a cell.
fn cell_of(name: &str) -> String {
    hallwright_names::csv_cell(name).into_owned()
}

fn value(value: Value) -> String {
    match value {
        Value::Never => "never".to_owned(),
        value => number(value.number()),
    }
}

fn number(number: Option<f64>) -> String {
    number.map_or_else(String::new, |number| number.to_string())
}
