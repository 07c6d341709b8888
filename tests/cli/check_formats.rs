//! What `check` writes, in every format, and the workflow of the documentation.

use std::collections::BTreeMap;
use std::process::Command;
use std::time::Duration;

use quick_junit::{Report, TestCaseStatus};
use serde_json::Value;

use crate::support::{Halls, hallwright, root, stderr, stdout, unwrapped};

/// One store that can never hold what twelve goals ask for, and one goal that holds.
fn twelve_misses() -> Halls {
    let halls = Halls::new();
    let goals: Vec<String> = (1..=12)
        .map(|more| format!("Contents(parts: \"store\", at_least: {}),", 5 + more))
        .collect();
    halls.write(
        "hall.ron",
        &format!(
            r#"(
    title: "Hall & <store>",
    run_for: "2s",
    goods: {{"barley": 64}},
    parts: {{"head": Hopper(target: "store"), "store": Chest()}},
    signals: {{"full": Comparator(reads: "store")}},
    arrivals: {{"haul": AllAtOnce(place: "head", kind: "barley", count: 5)}},
    lamps: {{"full": (signal: "full", watches: "store")}},
    goals: [
        LampRise(lamp: "full", not_before: "0t"),
{}
    ],
    stores: {{"barley": (parts: "store", takes: "barley")}},
)
"#,
            goals.join("\n")
        ),
    );
    halls
}

#[test]
fn every_format_can_be_written_at_once_and_has_the_same_exit_code() {
    let halls = twelve_misses();
    let files = ["text", "json", "csv", "junit", "annotations"];
    let mut arguments = vec!["check".to_owned(), halls.folder().to_owned()];
    for format in files {
        arguments.push("--output".to_owned());
        arguments.push(format!("{format}={}", halls.path(&format!("out.{format}"))));
        let alone = hallwright(&["check", halls.folder(), "--output", &format!("{format}=-")]);
        assert_eq!(alone.status.code(), Some(1), "{format}");
        assert!(!alone.stdout.is_empty(), "{format}");
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let output = hallwright(&arguments);
    assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
    assert!(output.stdout.is_empty(), "{}", stdout(&output));
    for format in files {
        let printed = hallwright(&["check", halls.folder(), "--output", &format!("{format}=-")]);
        assert_eq!(
            untimed(&halls.read(&format!("out.{format}"))),
            untimed(&stdout(&printed)),
            "{format}"
        );
    }
}

/// A report without how long its runs took, which is never the same.
fn untimed(report: &str) -> String {
    let mut pieces = report.trim_end().split(" time=\"");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |all, piece| {
        let (_, rest) = piece.split_once('"').expect("a time ends");
        all + rest
    })
}

#[test]
fn a_file_that_cannot_be_written_is_exit_code_2_and_leaves_nothing_behind() {
    let halls = twelve_misses();
    let target = halls.path("no/such/folder/out.xml");
    let output = hallwright(&[
        "check",
        halls.folder(),
        "--output",
        &format!("junit={target}"),
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains(&target), "{}", stderr(&output));
    for wrong in ["xml=-", "xml", "junit="] {
        let output = hallwright(&["check", halls.folder(), "--output", wrong]);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        assert!(
            stderr(&output).contains("FORMAT=PATH"),
            "{}",
            stderr(&output)
        );
    }
}

#[test]
fn the_json_has_the_worst_run_of_each_goal() {
    let halls = twelve_misses();
    let output = hallwright(&["check", halls.folder(), "--output", "json=-"]);
    let report: Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    assert_eq!(report["outcome"], "missed");
    let scenario = &report["scenarios"][0];
    assert_eq!(scenario["runs"], 8);
    let all = scenario["goals"].as_array().expect("goals are reported");
    // What no goal asks has no line.
    let goals: Vec<&Value> = all.iter().filter(|goal| !goal["line"].is_null()).collect();
    assert_eq!((goals.len(), all.len()), (13, 22));
    assert_eq!(goals[0]["is_ok"], true);
    assert_eq!(goals[0]["line"], 10);
    let worst = &goals[12]["worst"];
    assert_eq!(goals[12]["line"], 22);
    assert_eq!(worst["checks"][0]["measured"], 5);
    assert_eq!(worst["checks"][0]["at_least"], 17);
    assert_eq!(worst["update_order"], "declared");
    assert_eq!(worst["signal_order"], "declared");
    assert!(
        worst["missed_by"]
            .as_str()
            .is_some_and(|by| by.starts_with("12 items too few"))
    );
}

#[test]
fn the_junit_file_has_a_case_for_each_goal_with_simulated_times() {
    let halls = twelve_misses();
    let output = hallwright(&["check", halls.folder(), "--output", "junit=-"]);
    let report = Report::deserialize_from_str(&stdout(&output)).expect("it is JUnit XML");
    let suite = &report.test_suites[0];
    // Nine are judged though no goal asks.
    assert_eq!((suite.tests, suite.failures, suite.errors), (22, 12, 0));
    let property = |case: &quick_junit::TestCase, name: &str| {
        let found = case
            .properties
            .iter()
            .find(|property| *property.name == *name);
        found.map(|property| property.value.to_string())
    };
    let lamp = &suite.test_cases[0];
    assert!(matches!(lamp.status, TestCaseStatus::Success { .. }));
    // The head moves its first item 7 ticks after it came, and the comparator sees it 2 ticks later.
    assert_eq!(
        property(lamp, "simulated_measured_ticks").as_deref(),
        Some("9")
    );
    assert_eq!(
        property(lamp, "simulated_measured_seconds").as_deref(),
        Some("0.450")
    );
    assert_eq!(lamp.time, None, "its runs are those of all others");
    assert!(suite.time.is_some_and(|took| took > Duration::ZERO));
    assert_eq!(report.time, suite.time);
    let TestCaseStatus::NonSuccess {
        message,
        description,
        ..
    } = &suite.test_cases[12].status
    else {
        panic!("the last goal is missed");
    };
    assert!(
        message
            .as_ref()
            .is_some_and(|text| text.contains("at least 17"))
    );
    assert!(
        description
            .as_ref()
            .is_some_and(|text| text.contains("again: hallwright run"))
    );
}

#[test]
fn the_table_says_of_each_goal_what_the_json_says() {
    let halls = twelve_misses();
    halls.write("broken.ron", "(title: 3");
    let written =
        |format: &str| stdout(&hallwright(&["check", halls.folder(), "--output", format]));
    let json: Value = serde_json::from_str(&written("json")).expect("it is JSON");
    let goals = json["scenarios"][0]["goals"].as_array().expect("goals");
    let table = written("csv");
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<BTreeMap<String, String>> = table
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("it is a table");
    // The file that cannot be used has the last row.
    assert_eq!(rows.len(), goals.len() + 1);
    for (row, goal) in rows.iter().zip(goals) {
        let line = goal["line"].as_u64();
        assert_eq!(
            row["line"],
            line.map_or_else(String::new, |line| line.to_string())
        );
        assert_eq!(row["is_ok"], goal["is_ok"].to_string());
        assert_eq!(row["missed_runs"], goal["missed_runs"].to_string());
        assert_eq!(
            row["words"],
            goal["worst"]["words"].as_str().expect("words")
        );
        assert_eq!(
            row["command"],
            goal["worst"]["command"].as_str().expect("a command")
        );
    }
    let last = rows.last().expect("a row");
    assert!(last["file"].ends_with("broken.ron"));
    assert_eq!(
        (last["subject"].as_str(), last["is_ok"].as_str()),
        ("file", "false")
    );
    assert!(!last["words"].is_empty());
}

#[test]
fn a_run_can_be_written_as_a_table() {
    let output = hallwright(&[
        "run",
        "scenarios/first-slice.ron",
        "--variant",
        "leaky",
        "--output",
        "csv",
    ]);
    let table = stdout(&output);
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<BTreeMap<String, String>> = table
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("it is a table");
    let value = |figure: &str, unit: &str| {
        let mut rows = rows.iter();
        let row = rows.find(|row| row["figure"] == figure && row["unit"] == unit);
        row.expect("it is measured")["value"].clone()
    };
    // As many as the goals of this variant allow, exactly.
    assert_eq!(value("misplaced", "items"), "172");
    assert_eq!(value("sieves not intact", "sieves"), "2");
}

#[test]
fn a_broken_file_is_an_error_in_the_junit_file() {
    let halls = Halls::new();
    halls.write("hall.ron", "(title: 3");
    let output = hallwright(&["check", halls.folder(), "--output", "junit=-"]);
    assert_eq!(output.status.code(), Some(2));
    let report = Report::deserialize_from_str(&stdout(&output)).expect("it is JUnit XML");
    assert_eq!(report.errors, 1);
}

#[test]
fn annotations_are_the_nine_worst_at_their_lines_and_then_how_many_more() {
    let halls = twelve_misses();
    let output = hallwright(&["check", halls.folder(), "--output", "annotations=-"]);
    let text = stdout(&output);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 10, "{text}");
    // The worst asks for 17 items, in line 22.
    let place = format!("::error file={},line=22::", halls.path("hall.ron"));
    assert!(lines[0].starts_with(&place), "{text}");
    assert!(lines[0].contains("5 items, at least 17"), "{text}");
    // The store is declared in line 5.
    let part = format!("%0Aat store, {}:5%0A", halls.path("hall.ron"));
    assert!(lines[0].contains(&part), "{text}");
    assert!(lines[8].contains("at least 9"), "{text}");
    assert_eq!(lines[9], "::error::and 3 more");
}

#[test]
fn all_well_means_no_annotation() {
    let output = hallwright(&[
        "check",
        "scenarios/granary/hatch.ron",
        "--output",
        "annotations=-",
    ]);
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stdout.is_empty(), "{}", stdout(&output));
}

/// The code of the page's blocks in a language.
fn blocks(page: &str, language: &str) -> Vec<String> {
    let opening = format!("```{language}\n");
    page.split(&opening)
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .map(str::to_owned)
        .collect()
}

#[cfg(unix)]
#[test]
fn the_shell_line_of_the_page_works_where_it_is_pasted() {
    let page = std::fs::read_to_string(root().join("docs/do/ci.md")).expect("the page is there");
    let blocks = blocks(&page, "sh");
    let line = blocks.last().expect("it has a shell line");
    let halls = Halls::new();
    std::fs::create_dir(halls.path("scenarios")).expect("a folder");
    // The line demands a record.
    for file in ["scenarios/first-slice.ron", "scenarios/first-slice.figures"] {
        let text = std::fs::read_to_string(root().join(file));
        halls.write(file, &text.expect("the scenario and its record are there"));
    }
    let command = std::path::Path::new(env!("CARGO_BIN_EXE_hallwright"));
    let folder = command.parent().expect("it is in a folder");
    let paths = std::env::var("PATH").unwrap_or_default();
    let output = Command::new("sh")
        .args(["-e", "-c", line])
        .current_dir(halls.folder())
        .env("PATH", format!("{}:{paths}", folder.display()))
        .output()
        .expect("a shell is there");
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(unwrapped(&stdout(&output)).contains("all ok"));
    let xml = halls.read("check.xml");
    Report::deserialize_from_str(&xml).expect("it is JUnit XML");
}
