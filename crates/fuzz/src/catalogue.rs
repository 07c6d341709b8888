//! Catalogues and halls, and what is planned for them.

use std::fmt::Write as _;

use hallwright_plan::catalogue::read_catalogue;
use hallwright_plan::hall::hall;
use hallwright_plan::plan;
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{Diagnostic, Sources, render};

use crate::Came;
use crate::choices::Choices;
use crate::edit::edit;
use crate::folder::Folder;
use crate::spoil::perhaps_spoiled;

/// The columns, of which the first four are needed.
const COLUMNS: [&str; 7] = [
    "name",
    "stack_limit",
    "amount",
    "inflow_per_hour",
    "family",
    "wish",
    "a_year",
];
const NAMES: [&str; 8] = [
    "kind",
    "#2 kind",
    "kind's",
    "grün",
    "kind (old)",
    "a/b",
    "50%",
    "kind.",
];
const FAMILIES: [&str; 6] = ["", "grain", "wool", "", "timber", "a;b"];
const WISHES: [&str; 12] = [
    "",
    "",
    "automatic",
    "bulk",
    "multi",
    "oddments",
    "bulk 1",
    "multi side 1",
    "automatic side 2",
    "bulk 3 side 1",
    "side 1",
    "bulk 0",
];
const INFLOWS: [&str; 8] = [
    "0",
    "1.5",
    "120",
    "0.001",
    "9000",
    "30",
    "1000000000.999",
    "1.0001",
];

/// What a field of a catalogue says; wrong in few of them.
fn field(column: &str, number: usize, choices: &mut Choices<'_>) -> String {
    let is_odd = choices.once_in(40);
    let usual = |count: usize| if is_odd { count } else { count - 1 };
    match column {
        "name" => format!("{} {number}", NAMES[choices.below(usual(NAMES.len()))]),
        "stack_limit" => choices.text(&["64", "16", "1", "64"]).to_owned(),
        "amount" if is_odd => choices.number().to_string(),
        "amount" => (choices.below(50) * choices.below(200)).to_string(),
        "inflow_per_hour" => INFLOWS[choices.below(usual(INFLOWS.len()) - 1)].to_owned(),
        "family" => FAMILIES[choices.below(usual(FAMILIES.len()))].to_owned(),
        "wish" => WISHES[choices.below(usual(WISHES.len()) - 1)].to_owned(),
        _ => choices.below(30).to_string(),
    }
}

fn catalogue(choices: &mut Choices<'_>) -> String {
    let separator = choices.text(&[", ", ";", "\t", ","]);
    let columns = &COLUMNS[..4 + choices.below(4)];
    let mut text = columns.join(separator);
    text.push('\n');
    for number in 0..=choices.below(12) {
        let fields: Vec<String> = columns
            .iter()
            .map(|column| field(column, number, choices))
            .collect();
        text.push_str(&fields.join(separator));
        text.push('\n');
    }
    text
}

const SORTS: [&str; 3] = ["bulk", "multi", "oddments"];
const GROWTHS: [&str; 5] = [
    "Share(0.25)",
    "Slices(bulk: 1, multi: 2, oddments: 0)",
    "NewKinds(a_year: 2, years: 3)",
    "Share(10.0)",
    "NewKinds(a_year: 100000, years: 1000)",
];

fn description(choices: &mut Choices<'_>) -> String {
    let mut text = "(".to_owned();
    let mut field = |name: &str, value: String| {
        // A text takes everything.
        let _ = write!(text, "{name}: {value}, ");
    };
    field("sides", (1 + choices.below(2)).to_string());
    if choices.once_in(3) {
        field("lines", (1 + choices.below(2)).to_string());
    }
    if choices.once_in(4) {
        field("rows", (1 + choices.below(9)).to_string());
    }
    if choices.once_in(6) {
        field("length_blocks", (1 + choices.below(200)).to_string());
    }
    if choices.once_in(2) {
        field("stop_within", format!("\"{}t\"", 100 + choices.below(1200)));
    }
    if choices.once_in(3) {
        let families = choices.text(&["Mixed", "Together", "Neighbours"]);
        field("families", families.to_owned());
    }
    if choices.once_in(3) {
        let few = if choices.once_in(30) {
            GROWTHS.len()
        } else {
            3
        };
        field("growth", GROWTHS[choices.below(few)].to_owned());
    }
    if choices.once_in(6) {
        let (from, count) = (1 + choices.below(4), 1 + choices.below(3));
        let gap = format!("[(slices: \"multi\", from: {from}, count: {count})]");
        field("left_out", gap);
    }
    let has_boxes = choices.once_in(6);
    if has_boxes {
        let levels = 1 + choices.below(5);
        field(
            "boxes",
            format!("(levels: {levels}, hatch: {})", choices.once_in(2)),
        );
    }
    for (number, sort) in SORTS.iter().enumerate() {
        if number == 0 && has_boxes || choices.once_in(8) {
            continue;
        }
        let width = number.max(1) + choices.below(6);
        let kinds = 1 + choices.below(width);
        let slots = 27 * (1 + choices.below(13));
        field(
            sort,
            format!("(width_blocks: {width}, slots: {slots}, kinds: {kinds})"),
        );
    }
    text.push(')');
    match choices.once_in(8) {
        true => edit(&text, hallwright_plan::hall::DEFAULT_HALL, choices),
        false => text,
    }
}

fn has_error(problems: &[Diagnostic]) -> bool {
    let mut problems = problems.iter();
    problems.any(|problem| problem.severity == Severity::Error)
}

/// Tries the catalogue and the hall that some choices make.
///
/// # Panics
///
/// If something is refused without a word, or cannot be drawn.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    thread_local! {
        static FOLDER: Folder = Folder::with(&[]);
    }
    let hall_text = description(choices);
    let catalogue_text = catalogue(choices);
    let hall_text = perhaps_spoiled(hall_text.into_bytes(), choices);
    let catalogue_text = perhaps_spoiled(catalogue_text.into_bytes(), choices);
    let paths = FOLDER.with(|folder| {
        let catalogue = folder.write("goods.csv", &catalogue_text);
        (catalogue, folder.write("hall.ron", &hall_text))
    });
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let goods = read_catalogue(&paths.0, &mut sources, &mut problems);
    assert!(goods.is_some() != has_error(&problems));
    let reported = problems.len();
    let hall = hall(Some(&paths.1), &mut sources, &mut problems);
    assert!(hall.is_some() != has_error(&problems[reported..]));
    if !choices.goes_on() {
        return match (goods, hall) {
            (Some(_), Some(_)) => Came::Read,
            _ => Came::Refused,
        };
    }
    let came = match (goods, hall) {
        (Some(goods), Some(hall)) => {
            let plan = plan("Hall".to_owned(), goods, hall, &mut problems);
            assert!(plan.is_some() != has_error(&problems));
            if plan.is_some() {
                Came::Through
            } else {
                Came::Read
            }
        }
        _ => Came::Refused,
    };
    let drawn = render(&problems, &sources, false);
    assert_eq!(drawn.is_empty(), problems.is_empty());
    came
}
