//! Millbrook Granary, the whole hall and its modules: the figures that it is there to show.

use serde_json::Value;

use crate::support::{findings, hallwright, stderr};

const HALL: &str = "scenarios/granary.ron";
/// Thirteen stops spread over a minute.
const SWEEP: &str = "2500..3700/100";
const SMALL: [&str; 10] = [
    "built-slice",
    "bulk",
    "control",
    "hatch",
    "line",
    "overflow",
    "parallel-lines",
    "quay",
    "retrieval",
    "unloading",
];

/// Fails unless both engines agree on a run, whatever its goals.
fn verify(arguments: &[&str]) {
    let output = hallwright(&[&["run", "--verify"], arguments].concat());
    let said = stderr(&output);
    assert!(said.contains("verified"), "{arguments:?}: {said}");
}

#[test]
fn both_engines_agree_on_every_module() {
    for scenario in SMALL {
        verify(&[&format!("scenarios/granary/{scenario}.ron")]);
    }
}

#[test]
fn both_engines_agree_on_the_whole_hall_through_a_stop_and_a_restart() {
    // Stopped from 125 s to 145 s: long enough for all to come to rest.
    let short = ["--set", "run_seconds=165", "--set", "pause_seconds=20"];
    for variant in ["five sections", "two lines", "no stop buffer"] {
        verify(&[&[HALL, "--variant", variant][..], &short].concat());
    }
}

fn swept(variant: &str) -> Value {
    findings(&[HALL, "--variant", variant, "--stop-sweep", SWEEP], 0)
}

/// The worst time to a mark of the whole hall, in ticks; at no stop may it be missing.
fn worst_ticks(report: &Value, mark: &str) -> u64 {
    let marks = report["sweep"]["marks"]
        .as_array()
        .expect("marks are reported");
    let of_all = |found: &&Value| found["section"].is_null() && found["mark"] == mark;
    let found = marks.iter().find(of_all).expect("the hall has the mark");
    assert_eq!(found["never_runs"], 0, "{mark}");
    found["worst_ticks"]
        .as_u64()
        .unwrap_or_else(|| panic!("{mark}"))
}

/// At how many of the stops something was lost.
fn stops_with_losses(report: &Value) -> usize {
    let ticks = report["sweep"]["lost_at_stop_ticks"].as_array();
    ticks.expect("losses are reported").len()
}

/// Items of a kind of place, by the name that the report has for it.
fn whereabouts(report: &Value, place: &str) -> u64 {
    report["sorting"]["whereabouts"][place]
        .as_u64()
        .unwrap_or_else(|| panic!("{place}"))
}

/// Common practice, no source: a whole hall can be stopped within 30 s, with nothing lost.
#[test]
fn the_hall_in_fifteen_sections_stops_within_30_s_at_the_worst_moment() {
    let report = swept("fifteen sections, no return");
    // By hand: between quay and lamp 12 ticks of wiring, three ways of 36 blocks with two repeaters each; 6 of the
    // control, 40 for the quay's selectors, 205 for the canal and the hoppers at its end; the lamp's margin and
    // inverter are 42.
    let safe = worst_ticks(&report, "safe to close");
    assert_eq!(safe, 12 + 6 + 40 + 205 + 42);
    assert!(safe <= 30 * 20);
    assert_eq!(stops_with_losses(&report), 0);
    assert_eq!(whereabouts(&report, "misplaced_items"), 0);
    assert_eq!(whereabouts(&report, "in_lines_items"), 0);
    assert_eq!(report["sweep"]["all_goals_met"], true);
}

#[test]
fn more_sections_are_closed_sooner_and_a_return_costs_its_stream() {
    let safe = |variant| worst_ticks(&swept(variant), "safe to close");
    let cleared = |variant| worst_ticks(&swept(variant), "cleared");
    let five = safe("five sections");
    assert!(safe("one section") > safe("three sections"));
    assert!(safe("three sections") > five);
    assert!(five > safe("fifteen sections"));
    // The stream of a return needs 172 ticks at its ordinary speed.
    assert!(five > safe("fast stream"));
    assert!(five > safe("five sections, no return"));
    // But what is on the line is off it sooner.
    assert!(cleared("five sections") < cleared("five sections, no return"));
    // A control that takes 5 s puts nearly all of it on top: 96 ticks more than the ordinary 4.
    assert!(safe("very slow control") >= five + 80);
}

/// Common practice, no source: without a held call the last items of a batch circulate.
#[test]
fn a_call_that_is_not_held_keeps_the_last_items_going_round() {
    let held = findings(&[HALL, "--variant", "five sections"], 0);
    let not_held = findings(&[HALL, "--variant", "no call held"], 0);
    let unsorted =
        |report| whereabouts(report, "in_lines_items") + whereabouts(report, "loose_items");
    assert_eq!(unsorted(&held), 0);
    assert!(unsorted(&not_held) > 0);
    // Every item that is not in its store by then is one of the 1,085 wares of the scenario.
    assert!(unsorted(&not_held) < 1085);
}

/// Common practice, no source: without a stop buffer boxes despawn.
#[test]
fn the_least_stop_buffer_loses_nothing_and_the_next_smaller_one_a_box() {
    assert_eq!(stops_with_losses(&swept("least stop buffer")), 0);
    assert!(stops_with_losses(&swept("stop buffer one too small")) > 0);
    // Without one, boxes are lost wherever the stop comes.
    assert_eq!(stops_with_losses(&swept("no stop buffer")), 13);
}

#[test]
fn two_lines_resume_sooner_than_one() {
    let resumed = |variant| worst_ticks(&swept(variant), "resumed");
    assert!(resumed("two lines") * 2 <= resumed("five sections"));
}
