//! The pages about commands and about the fields of their outputs leave nothing out.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::support::{hallwright, root, stdout};

fn page(name: &str) -> String {
    let path = root().join("docs/look-up").join(name);
    std::fs::read_to_string(path).expect("the page is there")
}

/// The spans of code of a page, blocks of code left out.
fn spans(page: &str) -> BTreeSet<String> {
    let outside_of_blocks = page.split("\n```").step_by(2);
    let spans = outside_of_blocks.flat_map(|text| text.split('`').skip(1).step_by(2));
    spans.map(str::to_owned).collect()
}

/// All commands, `new` first: it writes what others can take.
pub(crate) const COMMANDS: [&str; 12] = [
    "new",
    "run",
    "check",
    "compare",
    "tune",
    "explain",
    "show",
    "sheet",
    "plan",
    "levels",
    "calibrate",
    "completions",
];

/// The flags that the help of a command lists, such as `--stop-at`.
fn flags_of(command: &str) -> BTreeSet<String> {
    let help = stdout(&hallwright(&[command, "--help"]));
    let lines = help.lines().map(str::trim_start);
    let flags = lines.filter(|line| line.starts_with("--") || line.starts_with("-h,"));
    let names = flags.filter_map(|line| {
        let name = line.strip_prefix("-h, ").unwrap_or(line);
        name.split_whitespace().next()
    });
    names
        .filter(|name| *name != "--help")
        .map(str::to_owned)
        .collect()
}

/// The rows of the tables of a text.
fn rows(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| line.starts_with("| "))
}

/// The flags of a command by the page: those of its own section, and those of several commands.
fn flags_on_page(page: &str, command: &str) -> BTreeSet<String> {
    let section = |heading: &str| {
        let (_, behind) = page
            .split_once(&format!("\n## {heading}\n"))
            .expect("the section is there");
        behind.split("\n## ").next().unwrap_or(behind).to_owned()
    };
    let reads_a_scenario =
        !["new", "plan", "levels", "calibrate", "completions"].contains(&command);
    let mut flags = BTreeSet::new();
    for row in rows(&section("Flags of several commands")) {
        let cells: Vec<&str> = row.split(" | ").collect();
        let is_meant = match cells[1] {
            "all that read a scenario" => {
                let for_tables = ["| `--part-limit N`", "| `--root DIR`"].contains(&cells[0]);
                reads_a_scenario || (command == "calibrate" && for_tables)
            }
            "all" => true,
            "all but `new` and `completions`" => !["new", "completions"].contains(&command),
            named => named.contains(&format!("`{command}`")),
        };
        if is_meant {
            flags.extend(flag(row));
        }
    }
    for row in rows(&section(command)) {
        flags.extend(flag(row));
    }
    flags
}

/// The flag that a row is about.
fn flag(row: &str) -> Option<String> {
    let named = row.strip_prefix("| `--")?;
    let name = named.split(['`', ' ']).next()?;
    Some(format!("--{name}"))
}

#[test]
fn the_page_of_commands_has_every_flag() {
    let page = page("commands.md");
    for command in COMMANDS {
        assert_eq!(
            flags_of(command),
            flags_on_page(&page, command),
            "{command}"
        );
    }
    let help = stdout(&hallwright(&["--help"]));
    let listed: BTreeSet<&str> = help
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert_eq!(listed, COMMANDS.into());
}

/// The names of all fields in a value, but for those of maps whose keys are names of the scenario.
fn fields(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields_here) => {
            for (name, value) in fields_here {
                into.insert(name.clone());
                let is_map = name.ends_with("contents_items")
                    || [
                        "misplaced_items",
                        "missing_items",
                        "foreign_items",
                        "surplus_items",
                        "put_in_by_hand_items",
                        "values",
                        "files",
                        "counts",
                    ]
                    .contains(&name.as_str());
                let is_parts_list = name == "items" || name == "signals";
                if !is_map && !is_parts_list {
                    fields(value, into);
                }
            }
        }
        Value::Array(values) => values.iter().for_each(|value| fields(value, into)),
        _ => {}
    }
}

#[test]
fn the_pages_of_fields_have_every_field() {
    let names = ["fields.md", "fields-commands.md", "fields-tables.md"];
    let known: BTreeSet<String> = names.iter().flat_map(|name| spans(&page(name))).collect();
    // `account.rows`, `.sent` and `limits.flows` name the last of several.
    let known: BTreeSet<&str> = known
        .iter()
        .map(|span| span.trim_end_matches("[]"))
        .flat_map(|span| span.split(['.', '[', ']']))
        .collect();
    let slice = "scenarios/first-slice.ron";
    let leaving = "scenarios/leaving.ron";
    let costly = "scenarios/granary/retrieval.ron";
    for arguments in [
        &["run", slice, "--variant", "leaky"][..],
        &["run", "scenarios/bulk-slice.ron"],
        &["run", "scenarios/granary/line.ron"],
        &["run", costly],
        &["run", "scenarios/granary/unloading.ron"],
        &["run", leaving, "--stop-sweep", "1200..1201"],
        &["check", slice],
        &["check", leaving, "--leave-at", "1200", "--leave-ways", "4"],
        &["compare", slice, "--seeds", "1"],
        &["explain", slice, "--variant", "leaky"],
        &["explain", "scenarios/granary/line.ron"],
        &["levels"],
        &["calibrate", "scenarios/costs/measured.csv"],
        &["plan", "scenarios/plan/mill-catalogue.csv", "--no-proof"],
    ] {
        let output = hallwright(&[arguments, &["--output", "json"]].concat());
        let found: Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
        let mut all = BTreeSet::new();
        fields(&found, &mut all);
        assert!(all.len() > 3, "{arguments:?}");
        let unknown: Vec<&String> = all
            .iter()
            .filter(|name| !known.contains(name.as_str()))
            .collect();
        assert!(unknown.is_empty(), "{arguments:?}: {unknown:?}");
    }
}

#[test]
fn the_page_of_tables_has_every_column_and_event() {
    let known = spans(&page("fields-tables.md"));
    let slice = "scenarios/first-slice.ron";
    for arguments in [
        &["run", slice][..],
        &["check", slice],
        &["compare", slice],
        &["levels"],
        &["calibrate", "scenarios/costs/measured.csv"],
    ] {
        let table = stdout(&hallwright(&[arguments, &["--output", "csv"]].concat()));
        let head = table.lines().next().expect("a head");
        for column in head.split(',') {
            assert!(known.contains(column), "{arguments:?}: {column}");
        }
    }
    for scenario in [slice, "scenarios/granary/unloading.ron"] {
        let trace = stdout(&hallwright(&["run", scenario, "--output", "trace"]));
        for line in trace.lines().skip(1) {
            let event: Value = serde_json::from_str(line).expect("it is JSON");
            let event = event.as_object().expect("an object");
            let name = event["event"].as_str().expect("a name");
            for known_one in event.keys().map(String::as_str).chain([name]) {
                assert!(known.contains(known_one), "{line}: {known_one}");
            }
        }
    }
}
