//! One run, made in every way in which it can be made: the findings must be the same.

use serde_json::Value;

use crate::compare::{LANE, cell, compared};
use crate::support::{Halls, findings, hallwright, stderr, stdout};

/// The lane of `compare.rs`, run for so short that its declared length ends before the late stop has
/// come to rest.
fn short_run() -> Halls {
    let halls = Halls::new();
    halls.write(
        "lane.ron",
        &LANE
            .replace(r#"run_for: "10s""#, r#"run_for: "40t""#)
            .replace("goals: [", "goals: [StopsNotSafeAtMost(1), "),
    );
    halls
}

/// Stopped in tick 30 rather than 10, the run takes 40 + 20 ticks. The long lane moves its last item in
/// tick 46, in any order (see [`LANE`]): 16 ticks after the stop, and 6 after tick 40.
const RUN_TICKS: u64 = 60;
const AFTER_STOP_TICKS: u64 = 16;
const SWEEP: [&str; 2] = ["--stop-sweep", "30..30"];
const STOP: [&str; 2] = ["--stop-at", "30"];

/// JSON that a command prints.
fn printed(arguments: &[&str]) -> Value {
    let output = hallwright(&[arguments, &["--output", "json"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("it is JSON")
}

/// Fails unless each mark of a sweep came as late as it should, in every run.
fn all_marks_are_as_worked_out(sweep: &Value, runs: u64) {
    assert_eq!(sweep["runs"], runs);
    let marks = sweep["marks"].as_array().expect("marks");
    // Cleared, safe to close and quiet, of all together and of the lane.
    assert_eq!(marks.len(), 6);
    for mark in marks {
        assert_eq!(mark["best_ticks"], AFTER_STOP_TICKS, "{mark}");
        assert_eq!(mark["worst_ticks"], AFTER_STOP_TICKS, "{mark}");
        assert_eq!(mark["never_runs"], 0, "{mark}");
    }
}

#[test]
fn every_way_to_a_run_finds_the_same() {
    let halls = short_run();
    let lane = halls.path("lane.ron");
    let long = [lane.as_str(), "--variant", "long"];
    for (update, signal) in [
        ("declared", "declared"),
        ("reversed", "shuffled:1"),
        ("shuffled:1", "reversed"),
    ] {
        let order = ["--order", update, "--signal-order", signal];
        let run = findings(&[&long[..], &STOP, &order].concat(), 0);
        assert_eq!(run["run_ticks"], RUN_TICKS);
        for mark in ["cleared", "safe_to_close", "quiet"] {
            let ticks = &run["stops"][0][format!("stop_{mark}_ticks")];
            assert_eq!(*ticks, AFTER_STOP_TICKS, "{mark}");
        }
        let swept = findings(&[&long[..], &SWEEP, &order].concat(), 0);
        all_marks_are_as_worked_out(&swept["sweep"], 1);
        let explain = ["explain", &lane, "--variant", "long", "--mark", "cleared"];
        let explained = printed(&[&explain[..], &STOP, &order].concat());
        assert_eq!(explained["stop"]["mark_ticks"], AFTER_STOP_TICKS);
    }
    let orders = ["--shuffles", "1"];
    let swept = findings(&[&long[..], &SWEEP, &orders].concat(), 0);
    all_marks_are_as_worked_out(&swept["sweep"], 6);

    let checked = printed(&[&["check"], &long[..], &SWEEP, &orders].concat());
    all_marks_are_as_worked_out(&checked["scenarios"][0]["sweep"], 6);
    assert_eq!(checked["scenarios"][0]["sweep"], swept["sweep"]);
    assert_eq!(checked["scenarios"][0]["run_ticks"], RUN_TICKS);

    let designs = [&long[..], &["--variant", "short"]].concat();
    let found = compared(&[&designs[..], &SWEEP, &orders].concat());
    for figure in ["cleared", "safe to close", "quiet"] {
        let long = cell(
            &found,
            figure,
            usize::from(found["designs"][0]["variant"] != "long"),
        );
        assert_eq!(long["design"], "long");
        assert_eq!(long["best"].as_f64(), Some(AFTER_STOP_TICKS as f64));
        assert_eq!(long["worst"].as_f64(), Some(AFTER_STOP_TICKS as f64));
        assert_eq!(long["runs"], 6);
    }

    let tune = ["tune", &lane, "--set", "next=second", "--no-cache"];
    let tuned = printed(&[&tune[..], &SWEEP, &orders].concat());
    let design = &tuned["designs"][0];
    assert_eq!(design["worst_stop_ticks"], AFTER_STOP_TICKS);
    assert_eq!(design["runs"], 6);
}

#[test]
fn a_page_shows_the_run_that_the_flags_ask_for() {
    let halls = short_run();
    let lane = halls.path("lane.ron");
    let flags = [&lane, "--variant", "long", "--output", "html"];
    let page = |command: &str| {
        let output = hallwright(&[&[command], &flags[..], &STOP].concat());
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        stdout(&output)
    };
    let shown = page("show");
    assert!(shown.contains("safe to close</th><td class=\"\">0.8 s (16 t)"));
    assert!(shown == page("run"), "the pages of one run differ");
}

#[test]
fn the_seeds_of_a_sweep_follow_that_of_its_run() {
    let halls = short_run();
    let lane = halls.path("lane.ron");
    let flags = ["--variant", "long", "--seed", "5", "--seeds", "2"];
    let swept = findings(&[&[lane.as_str()], &flags[..], &SWEEP].concat(), 0);
    assert_eq!(swept["sweep"]["seeds"], 3);
    all_marks_are_as_worked_out(&swept["sweep"], 3);
    let command = swept["command"].as_str().expect("it can be repeated");
    assert!(
        command.ends_with("--variant long --seed 5 --seeds 2 --stop-sweep 30..30/1"),
        "{command}"
    );
}
