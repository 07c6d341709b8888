//! `hallwright explain`: the page, the JSON, and what cannot be explained.

use crate::support::{Halls, hallwright, root, stderr, stdout, unwrapped};

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
    let words = unwrapped(&text);
    assert!(words.contains("would save in this run"), "{text}");
    assert!(
        words.contains("try it in all orders with `hallwright check`"),
        "{text}"
    );
    // Which mark it is, and how the others are asked for.
    assert!(words.contains("This explains \"safe to close\"."), "{text}");
    assert!(
        words.contains("`--mark cleared` or `--mark quiet`"),
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

#[test]
fn a_stop_while_the_hall_waits_for_goods_waits_for_the_delivery() {
    // The quay's wire is on at the stop, and only its level changes when the fleet lands at 136 s.
    let output = hallwright(&[
        "explain",
        "scenarios/granary.ron",
        "--variant",
        "one section",
        "--stop-at",
        "500",
    ]);
    let text = unwrapped(&stdout(&output));
    assert!(
        text.contains("late delivery (99.7 %, most of it at quay.buffer)"),
        "{text}"
    );
}

#[test]
fn a_mark_for_which_no_shorter_time_was_tried_is_said_to_have_none() {
    // Its items are pushed on through six hoppers: cooldowns, which no builder sets.
    let output = hallwright(&["explain", "tests/trials/line.ron", "--mark", "cleared"]);
    let text = unwrapped(&stdout(&output));
    assert!(
        text.contains("No shorter time was tried: no wait on the way has a time of its own."),
        "{text}"
    );
    assert!(text.contains("This explains \"cleared\"."), "{text}");
    assert!(text.contains("about as much at each of 5 parts"), "{text}");
}

#[test]
fn a_reason_is_promised_only_where_there_is_one() {
    let explained = |goal: &str| {
        let halls = Halls::new();
        let path = halls.path("hall.ron");
        let missed = std::fs::read_to_string(root().join("tests/trials/line.ron"));
        let missed = missed.expect("the hall is there");
        let (hall, _) = missed.split_once("goals: [").expect("it has goals");
        let text = format!("{hall}goals: [{goal}],\n)\n");
        halls.write("hall.ron", &text);
        stdout(&hallwright(&["explain", &path]))
    };
    let bound = explained("HoppersPerBlockAtMost(0.001)");
    assert!(!bound.contains("and why:"), "{bound}");
    let late = explained("MarkWithin(mark: Cleared, within: \"1t\")");
    assert!(late.contains("and why:"), "{late}");
    assert!(
        unwrapped(&late).contains("of it are cooldown, about as much at each of 5 parts"),
        "{late}"
    );
}
