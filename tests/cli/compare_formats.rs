//! What `compare` writes, in every format.

use std::process::{Command, Stdio};

use insta::assert_snapshot;
use quick_junit::Report;

use crate::compare::{cell, code, compared, lane};
use crate::support::{hallwright, root, stderr, stdout};

const RANGE: [&str; 2] = ["--stop-sweep", "10..12"];

#[test]
fn the_text_of_a_small_comparison() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let text = stdout(&hallwright(&[&["compare", &lane], &RANGE[..]].concat()));
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(!text.contains('\u{1b}'), "a pipe gets no colours");
    assert_snapshot!(text);
}

#[test]
fn the_markdown_of_a_small_comparison() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let arguments = ["compare", &lane, "--output", "markdown=-"];
    assert_snapshot!(stdout(&hallwright(&[&arguments[..], &RANGE].concat())));
}

#[test]
fn only_the_figures_that_are_asked_for_are_reported() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let figures = ["--figure", "cleared", "--figure", "hoppers"];
    let report = compared(&[&[lane.as_str()], &figures[..]].concat());
    let names = report["figures"].as_array().expect("figures").iter();
    let names: Vec<&str> = names.filter_map(|row| row["name"].as_str()).collect();
    // Of the hall and of its only section.
    assert_eq!(names, ["cleared", "cleared", "hoppers"]);
}

#[test]
fn every_line_of_the_csv_has_its_figures() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let path = halls.path("found.csv");
    let target = format!("csv={path}");
    let output = hallwright(&[&["compare", &lane, "--output", &target], &RANGE[..]].concat());
    assert_eq!(code(&output), 0);
    assert!(output.stdout.is_empty());
    let mut reader = csv::Reader::from_path(&path).expect("the file is there");
    let header = reader.headers().expect("a header").clone();
    let column = |name: &str| {
        header
            .iter()
            .position(|column| column == name)
            .expect("a column")
    };
    let records: Vec<csv::StringRecord> = reader
        .records()
        .map(|record| record.expect("fields as in the header"))
        .collect();
    let report = compared(&[&[lane.as_str()], &RANGE[..]].concat());
    let figures = report["figures"].as_array().expect("figures");
    let cells = figures
        .iter()
        .flat_map(|row| row["designs"].as_array().expect("designs"));
    assert_eq!(records.len(), cells.filter(|cell| !cell.is_null()).count());
    let long = records
        .iter()
        .find(|record| {
            &record[column("design")] == "long"
                && &record[column("figure")] == "cleared"
                && &record[column("scope")] == "all"
        })
        .expect("a line of it");
    assert_eq!(&long[column("unit")], "ticks");
    assert_eq!(&long[column("best")], "34");
    assert_eq!(&long[column("worst")], "36");
    assert_eq!(&long[column("median_difference")], "7");
    assert_eq!(&long[column("verdict")], "differs");
    assert_eq!(cell(&report, "cleared", 1)["worst"], 36.0);
}

#[test]
fn junit_has_a_suite_for_each_design() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let output = hallwright(&["compare", &lane, "--output", "junit=-"]);
    let report = Report::deserialize_from_str(&stdout(&output)).expect("it is JUnit");
    let names: Vec<&str> = report
        .test_suites
        .iter()
        .map(|suite| suite.name.as_str())
        .collect();
    assert_eq!(names, ["short", "long", "as short"]);
    let cleared = report.test_suites[1]
        .test_cases
        .iter()
        .find(|case| case.name.as_str() == "cleared");
    let worst = cleared.and_then(|case| {
        case.properties
            .iter()
            .find(|property| property.name.as_str() == "worst")
    });
    // 46 - 10 ticks: the first of the eight stops is the declared one.
    assert_eq!(
        worst.map(|property| property.value.as_str()),
        Some("1.8 s (36 t)")
    );
}

#[cfg(unix)]
#[test]
fn a_reader_that_stops_early_is_no_error() {
    let halls = lane();
    let binary = env!("CARGO_BIN_EXE_hallwright");
    let command = format!(
        "set -o pipefail; '{binary}' compare '{}' | head -n 1",
        halls.path("lane.ron")
    );
    let output = Command::new("bash")
        .args(["-c", &command])
        .current_dir(root())
        .stderr(Stdio::piped())
        .output()
        .expect("a shell");
    assert_eq!(code(&output), 0);
    assert_eq!(stdout(&output), "Lane\n");
    assert!(!stderr(&output).contains("error"), "{}", stderr(&output));
}
