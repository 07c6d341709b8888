//! Tables of arrivals, read by a scenario that has a part and goods of every sort.

use crate::Came;
use crate::choices::Choices;
use crate::folder::Folder;
use crate::runs::load_and_run;
use crate::spoil::perhaps_spoiled;

/// Who reads the table.
const SCENARIO: &str = r#"(
    title: "Arrivals",
    run_for: "5s",
    goods: {"barley": 64, "ham": 16, "flail": 1, "box": Box},
    parts: {
        "in": Chest(),
        "pond": Mouth(),
        "brook": Stream(blocks: 3, mouth: "pond"),
        "line": Hopper(above: "in", target: "bin"),
        "lip": Hopper(mouth: "pond", target: "end"),
        "bin": Dropper(target: "end", trigger: "beat"),
        "end": Barrel(),
    },
    signals: {"gate": Lever(starts_on: true), "beat": Clock(period: "8t", high: "4t")},
    uses: {"row": Row(module: "slice", count: 2)},
    modules: {"slice": (ports: {"store": "chest"}, parts: {"chest": Chest()})},
    arrivals: {"listed": FromFile(path: "arrivals.csv", when_full: Wait, while_on: "gate")},
)
"#;

/// Where the table is.
const TABLE: &str = "arrivals.csv";

/// The columns, of which the first is written either way.
const COLUMNS: [&str; 5] = ["time", "place", "kind", "count", "full_of"];

/// What stands in a column; most of it is right.
const TIMES: [&str; 14] = [
    "1s",
    "20t",
    "0.5s",
    "1min",
    "0t",
    "3s",
    "2t",
    "2h",
    "1.05s",
    "100s",
    "-1s",
    "1",
    "s",
    "99999999999999h",
];
const TICKS: [&str; 10] = [
    "0",
    "1",
    "20",
    "33",
    "7",
    "99",
    "1000000000",
    "18446744073709551616",
    "-1",
    "1.5",
];
const PLACES: [&str; 14] = [
    "in",
    "pond",
    "brook",
    "line",
    "bin",
    "end",
    "row[0].store",
    "row[1].store",
    "row[first].store",
    "row[last].chest",
    "row[2].store",
    "gate",
    "row[*].store",
    "nowhere",
];
const KINDS: [&str; 9] = [
    "barley", "ham", "flail", "barley", "ham", "barley", "box", "oat", "grün",
];
const COUNTS: [&str; 9] = [
    "1",
    "64",
    "",
    "2",
    "5",
    "100",
    "4294967295",
    "0",
    "4294967296",
];

/// Which times are tried: some of a row are wrong in few tables only.
fn usual<'t>(all: &'t [&'t str], wrong: usize, choices: &mut Choices<'_>) -> &'t str {
    let all = match choices.once_in(24) {
        true => all,
        false => &all[..all.len() - wrong],
    };
    choices.text(all)
}

/// Writes a table.
fn table(choices: &mut Choices<'_>) -> String {
    let is_ticks = choices.once_in(2);
    let mut columns = COLUMNS.to_vec();
    for column in (0..columns.len()).rev() {
        columns.swap(column, choices.below(column + 1));
    }
    let optional = 3 + choices.below(3);
    columns.retain(|column| COLUMNS[..optional].contains(column) || choices.once_in(40));
    let heads = columns.iter().map(|column| match *column {
        "time" if is_ticks => "tick",
        column => column,
    });
    let mut text = heads.collect::<Vec<_>>().join(", ");
    text.push('\n');
    for _ in 0..choices.below(10) {
        if choices.once_in(10) {
            text.push_str("# A comment, with a comma.\n");
        }
        let is_box = choices.once_in(4) && columns.contains(&"full_of");
        let fields: Vec<&str> = columns
            .iter()
            .map(|column| match *column {
                "time" if is_ticks => usual(&TICKS, 3, choices),
                "time" => usual(&TIMES, 4, choices),
                "place" => usual(&PLACES, 4, choices),
                "kind" if is_box => "box",
                "kind" => usual(&KINDS, 2, choices),
                "count" => usual(&COUNTS, 2, choices),
                _ if is_box => usual(&KINDS, 3, choices),
                _ => "",
            })
            .collect();
        text.push_str(&fields.join(", "));
        text.push('\n');
    }
    text
}

/// Tries the table that some choices make.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    thread_local! {
        static FOLDER: Folder = Folder::with(&[("scenario.ron", SCENARIO)]);
    }
    let table = table(choices);
    let table = perhaps_spoiled(table.into_bytes(), choices);
    FOLDER.with(|folder| {
        folder.write(TABLE, &table);
        // Whatever is wrong with a row is reported as one sort.
        load_and_run(
            &folder.path("scenario.ron"),
            &[hallwright_scenario::ids::FILE_BAD_ROW],
            choices.goes_on(),
        )
    })
}
