//! What a run measured, as comma-separated values (RFC 4180): a line for each figure.

use csv::Writer;
use serde::Serialize;

use hallwright_names::csv_cell;
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_trials::compare::{Value, measure};

/// A line.
#[derive(Serialize)]
struct Row<'a> {
    title: &'a str,
    variant: &'a str,
    update_order: &'a str,
    signal_order: &'a str,
    seed: u64,
    figure: &'a str,
    scope: &'a str,
    of: &'a str,
    unit: &'a str,
    value: String,
    input_digest: &'a str,
}

/// The figures of a run, those in which designs are compared. Numbers are in the unit that stands beside them;
/// a mark that never came is `never`, and what was not measured is empty.
#[must_use]
pub fn run_csv(heading: &Heading, found: &Findings) -> String {
    let mut table = Writer::from_writer(Vec::new());
    for (figure, value) in measure(found) {
        // Writing to memory cannot fail.
        let _ = table.serialize(Row {
            title: &csv_cell(&heading.title),
            variant: &csv_cell(heading.variant.as_deref().unwrap_or_default()),
            update_order: &heading.update_order,
            signal_order: &heading.signal_order,
            seed: heading.seed,
            figure: figure.name.words(),
            scope: figure.scope.sort(),
            of: &csv_cell(figure.scope.name().unwrap_or_default()),
            unit: figure.unit.words(),
            value: match value {
                Value::Never => "never".to_owned(),
                Value::Nothing => String::new(),
                Value::Number(number) => number.to_string(),
            },
            input_digest: &heading.input_digest,
        });
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}
