//! Every design of a search as a line of a table.

use std::borrow::Cow;

use csv::Writer;

use hallwright_names::csv_cell;
use hallwright_trials::compare::Value;
use hallwright_trials::tune::{Design, Fate, Measure, TuneReport};

/// The columns behind those of the parameters.
const COLUMNS: [&str; 10] = [
    "fate",
    "is_undominated",
    "runs",
    "hoppers",
    "width_blocks",
    "worst_work_units_per_tick",
    "worst_stop_ticks",
    "missed_goals",
    "reason",
    "build_hours",
];

/// Every design, in the order of trying. What is not known is left empty; several missed goals
/// are reported with `; ` between them.
#[must_use]
pub fn tune_csv(report: &TuneReport) -> String {
    let mut table = Writer::from_writer(Vec::new());
    let names = report.ranges.iter().map(|range| csv_cell(&range.name));
    // Writing to memory cannot fail, and all rows have the same length.
    let header = names.chain(COLUMNS.map(Cow::Borrowed));
    let _ = table.write_record(header.map(Cow::into_owned).collect::<Vec<String>>());
    for (number, design) in report.designs.iter().enumerate() {
        let values = report
            .values(number)
            .map(|(_, value)| csv_cell(value).into_owned());
        let row = values.chain(figures(number, design, report));
        let _ = table.write_record(row.collect::<Vec<String>>());
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

fn figures(number: usize, design: &Design, report: &TuneReport) -> [String; 10] {
    let shown = |number: Option<u64>| number.map_or_else(String::new, |number| number.to_string());
    let costs = design.costs();
    let cost = |measure| costs.map(|costs| costs.value(measure));
    let work = cost(Measure::Work).and_then(Value::number);
    let hours = cost(Measure::BuildHours).and_then(Value::number);
    let missed = match &design.fate {
        Ok(Fate::Misses(miss)) => {
            let words = miss.goals.iter().map(|(_, goal)| goal.words.as_str());
            words.collect::<Vec<&str>>().join("; ")
        }
        _ => String::new(),
    };
    [
        design.fate_words().to_owned(),
        report.undominated.contains(&number).to_string(),
        design.cases.len().to_string(),
        shown(design.hoppers),
        shown(design.width_blocks.map(u64::from)),
        work.map_or_else(String::new, |work| format!("{work:.4}")),
        shown(cost(Measure::Stop).and_then(Value::whole)),
        csv_cell(&missed).into_owned(),
        csv_cell(&design.reason().unwrap_or_default()).into_owned(),
        hours.map_or_else(String::new, |hours| format!("{hours:.4}")),
    ]
}
