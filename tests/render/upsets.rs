//! Sleep, mishaps and what is taken at its word, as text and as JSON.

use hallwright_render::{json, text};
use hallwright_report::run;
use serde_json::{Value, json};

use crate::support::{heading, input, scenario};

#[test]
fn the_text_has_a_line_for_sleep_and_one_for_mishaps() {
    let scenario = scenario("../layouts/valid/upsets.ron");
    let found = run(&input(&scenario), &mut |_| {});
    let text = text(&heading(&scenario), &found, None, None, 300);
    let line = |label: &str| {
        let mut lines = text.lines();
        lines.find(|line| line.starts_with(label)).unwrap_or("none")
    };
    assert_eq!(
        line("Slept"),
        "Slept     far from 5.0 s to 15.0 s, 9 parts from 6.0 s to 7.5 s, 25 parts from 16.0 s to 17.0 s; \
         opened again at 16.0 s, 18.0 s, 18.0 s, 50.0 s"
    );
    assert_eq!(
        line("Mishaps"),
        "Mishaps   5 signals stuck on from 20.0 s to 22.0 s, button stuck off from 20.0 s to 22.0 s, \
         18 signals stuck off from 23.0 s to 26.0 s, 8 signals stuck off from 26.0 s to 26.05 s"
    );
    // The hopper holds one of its 320 already, and the store barley in one of its 27 slots.
    assert_eq!(
        line("By hand"),
        "By hand   319 barley, 26 box put in; 1 box taken away"
    );
    assert_eq!(line("At word"), "none");
}

#[test]
fn the_json_says_the_same() {
    let scenario = scenario("../layouts/valid/upsets.ron");
    let found = run(&input(&scenario), &mut |_| {});
    let report: Value =
        serde_json::from_str(&json(&heading(&scenario), &found, None, None)).expect("it is JSON");
    let upsets = &report["upsets"];
    let spells = upsets["spells"].as_array().expect("a list");
    assert_eq!(spells.len(), 7);
    assert_eq!(
        spells[4],
        json!({
            "sort": "stuck_off", "begins_at_tick": 400, "over_at_tick": 440,
            "region": null, "parts": ["button"],
        })
    );
    assert_eq!(spells[0]["region"], "far");
    assert_eq!(upsets["reopened_at_ticks"], json!([320, 360, 360, 1000]));
    assert_eq!(upsets["boxes_taken_away"], 1);
    assert_eq!(upsets["put_in_by_hand_items"]["barley"], 319);
    assert_eq!(
        report["taken_at_their_word"],
        json!({"selectors": [], "shuttles": []})
    );
}

#[test]
fn a_hall_with_selectors_says_that_they_are_taken_at_their_word() {
    let scenario = scenario("dirty.ron");
    let found = run(&input(&scenario), &mut |_| {});
    let report: Value =
        serde_json::from_str(&json(&heading(&scenario), &found, None, None)).expect("it is JSON");
    let selectors = report["taken_at_their_word"]["selectors"]
        .as_array()
        .expect("a list");
    let parts: usize = selectors
        .iter()
        .map(|row| row["parts"].as_array().map_or(0, Vec::len))
        .sum();
    let text = text(&heading(&scenario), &found, None, None, 300);
    let is_told = text.lines().any(|line| line.starts_with("At word"));
    assert_eq!(is_told, parts > 0);
}
