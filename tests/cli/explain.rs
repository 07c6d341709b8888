//! `hallwright explain`: the page, the JSON, and what cannot be explained.

use crate::support::{hallwright, stderr, stdout};

const HALL: &str = "tests/explain/planted/long_hold.ron";

#[test]
fn the_page_says_what_decided_and_what_would_help() {
    let output = hallwright(&["explain", HALL]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    // The hold of 300 ticks, and the inverter's 2.
    assert!(
        text.contains("safe to close 15.1 s (302 t) later"),
        "{text}"
    );
    assert!(
        text.contains("held signal (99.3 %, most of it at running)"),
        "{text}"
    );
    assert!(text.contains("0 t  the operator's stop"), "{text}");
    assert!(
        text.contains("held signal of running (300 t): saves up to"),
        "{text}"
    );
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn the_waits_add_up_in_json() {
    let output = hallwright(&["explain", HALL, "--output", "json", "--mark", "cleared"]);
    let found: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("the explanation is JSON");
    let stop = &found["stop"];
    assert_eq!(stop["mark"], "cleared");
    let way = stop["way"].as_array().expect("a way");
    let sum: u64 = way
        .iter()
        .map(|wait| wait["wait_ticks"].as_u64().expect("ticks"))
        .sum();
    assert_eq!(Some(sum), stop["mark_ticks"].as_u64());
}

#[test]
fn a_stop_that_is_not_there_cannot_be_moved() {
    let hall = "tests/explain/planted/circulation.ron";
    let output = hallwright(&["explain", hall, "--stop-at", "100"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("declares none in `stops`"));
    let output = hallwright(&["explain", hall]);
    assert_eq!(output.status.code(), Some(0));
    assert!(stdout(&output).contains("The run has no stop."));
}
