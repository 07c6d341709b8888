//! What must be so about the variants of `docs/understand/stops.md`, whatever the figures are: orders
//! between designs that follow from the tick rules, and figures worked out by hand from them.

use std::process::Command;

use serde_json::Value;

use crate::root;
use crate::tables::{FOUND, page};

/// One figure of one design of the page: its best and its worst.
fn figure(figure: &str, design: &str) -> (f64, f64) {
    cell(&FOUND.json, figure, design)
}

fn cell(report: &Value, figure: &str, design: &str) -> (f64, f64) {
    let rows = report["figures"].as_array().expect("figures");
    let row = rows.iter().find(|row| row["figure"] == figure);
    let row = row.unwrap_or_else(|| panic!("no figure {figure}"));
    let cells = row["designs"].as_array().expect("designs");
    let cell = cells.iter().find(|cell| cell["design"] == design);
    let cell = cell.unwrap_or_else(|| panic!("no {figure} of {design}"));
    let number = |name: &str| cell[name].as_f64().unwrap_or(f64::INFINITY);
    (number("best"), number("worst"))
}

fn worst(name: &str, design: &str) -> f64 {
    figure(name, design).1
}

/// Fails unless each of these designs has less of it, at worst, than the next.
fn rises(name: &str, designs: &[&str]) {
    for pair in designs.windows(2) {
        let (less, more) = (worst(name, pair[0]), worst(name, pair[1]));
        assert!(
            less < more,
            "{name}: {} {less}, {} {more}",
            pair[0],
            pair[1]
        );
    }
}

#[test]
fn figures_in_sentences_are_those_of_the_comparison() {
    let page = page().replace('\n', " ");
    for (name, design) in [
        ("safe to close", "back by hoppers"),
        ("safe to close", "five sections"),
        ("safe to close", "fifteen sections, no return"),
        ("safe to close", "least hoppers"),
        ("resumed", "five sections"),
        ("resumed", "two lines"),
    ] {
        let said = format!(" {} s", worst(name, design) / 20.0);
        assert!(page.contains(&said), "{name} of {design}: {said}");
    }
    let best = "fifteen sections, no return";
    let later = worst("safe to close", "fast stream") - worst("safe to close", best);
    assert!(page.contains(&format!("needs {} s more", later / 20.0)));
    let saved = worst("hoppers", best) - worst("hoppers", "least hoppers");
    assert_eq!(saved, 13.0, "it saves thirteen hoppers");
}

#[test]
fn more_sections_clear_sooner() {
    // Without a return the last item of a section has all of it before it, 8 ticks a hopper, and the
    // sections run out side by side: half the hoppers, about half the time.
    rises(
        "cleared of line",
        &[
            "fifteen sections, no return",
            "five sections, no return",
            "three sections, no return",
            "one section",
        ],
    );
    // And a line that is cleared sooner is locked sooner.
    rises(
        "safe to close",
        &[
            "fifteen sections, no return",
            "five sections, no return",
            "three sections, no return",
            "one section",
        ],
    );
}

#[test]
fn a_return_clears_a_line_sooner_but_a_slow_stream_makes_it_safe_later() {
    for (with, without) in [
        ("one section, with return", "one section"),
        ("three sections", "three sections, no return"),
        ("five sections", "five sections, no return"),
    ] {
        // No item has more than half of the section before it.
        rises("cleared of line", &[with, without]);
        // What was drawn back needs 14.4 ticks a block on the stream, where a line of hoppers needs 8.
        rises("safe to close", &[without, with]);
    }
    // A faster stream is safe sooner: 43 ticks for what takes the ordinary one 172.
    rises("safe to close", &["fast stream", "five sections"]);
}

#[test]
fn a_return_by_hoppers_costs_seventy_hoppers() {
    // By hand: 30 slices in five sections are 6 a section. A slice is five blocks long, so half of a section is
    // 15 blocks, and as many hoppers carry back what is drawn off in the middle. In the
    // first section the slice built of parts is one of the three before the middle. The stream's cup, one
    // hopper, is not needed. 5 x (15 - 1) = 70.
    let hoppers = |design: &str| worst("hoppers", design);
    assert_eq!(hoppers("back by hoppers") - hoppers("five sections"), 70.0);
    rises("hoppers per block", &["five sections", "back by hoppers"]);
    // In fifteen sections half of one is a slice, and in the first the slice built of parts is before it:
    // 15 x (5 - 1) + 5 = 65.
    let with_steps = hoppers("fifteen sections, back by hoppers");
    assert_eq!(with_steps - hoppers("fifteen sections"), 65.0);
}

#[test]
fn a_slower_control_stops_everything_later() {
    rises(
        "safe to close",
        &["five sections", "slow control", "very slow control"],
    );
    rises(
        "cleared of quay",
        &[
            "control at once",
            "five sections",
            "slow control",
            "very slow control",
        ],
    );
}

#[test]
fn the_quay_is_cleared_nineteen_ticks_and_the_controls_latency_after_a_stop() {
    // By hand, from section 3 of the tick rules and the modules `permit` and `quay`. The switch goes off
    // in tick s. The wire to the control takes 4 ticks, its gate 2, the control c, the wire back 4: the
    // permit is off from s + 10 + c on. The inverter takes 2 more, so the head of the quay is locked in
    // phase 2 of s + 12 + c: its last push is in s + 11 + c at the latest. The item passes two selectors
    // of a latency of 4 ticks each, and leaves the second in s + 19 + c. The head pushes every 8 ticks,
    // so one of eight neighbouring stops meets that worst case.
    let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(root())
        .args([
            "compare",
            "scenarios/granary.ron",
            "--stop-sweep",
            "2500..2507",
        ])
        .args([
            "--variant",
            "control at once",
            "--variant",
            "very slow control",
        ])
        .args(["--shuffles", "0", "--output", "json=-"])
        .output()
        .expect("the command can be started");
    let report: Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    let quay = |design: &str| cell(&report, "cleared of quay", design).1;
    assert_eq!(quay("control at once"), 19.0);
    assert_eq!(quay("very slow control"), 119.0);
}

#[test]
fn a_stop_buffer_that_is_too_small_loses_boxes_and_an_ample_one_none() {
    // What is on the canal comes whether there is room for it or not; what finds none is gone after
    // 6,000 ticks, and the smaller the buffer, the more of it.
    rises(
        "lost",
        &[
            "stop buffer one too small",
            "small stop buffer",
            "no stop buffer",
        ],
    );
    for design in ["least stop buffer", "five sections", "ample stop buffer"] {
        assert_eq!(worst("lost", design), 0.0, "{design}");
    }
    // A box that is lost is full, of 27 x 64 items.
    assert_eq!(worst("lost", "stop buffer one too small") % 1728.0, 0.0);
}

#[test]
fn a_call_that_is_too_short_keeps_the_last_items_going_round() {
    // The permit goes off before the last item is past the middle, so the return draws it back, and the
    // call begins anew. What goes round is in no store.
    rises(
        "went round",
        &["five sections", "short call", "no call held"],
    );
    rises(
        "still going round",
        &["five sections", "short call", "no call held"],
    );
    assert_eq!(worst("still going round", "five sections"), 0.0);
    rises("sorted", &["no call held", "short call", "five sections"]);
}

#[test]
fn a_call_held_for_71_ticks_frees_the_last_items_and_one_of_70_does_not() {
    // By hand: an item needs 29 ticks a slice, 87 for the three of half a section. When the call ends, the way to
    // the control takes 4 ticks, its gate 2, its decision 4, the way back 4, and the inverter that opens the return
    // 2: so the call must be held for 87 - 16 = 71. Which moment shows it was found by trying stops all over the
    // minute, in four pairs of orders.
    let going_round = |hold: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
            .current_dir(root())
            .args(["run", "scenarios/granary.ron", "--variant", "five sections"])
            .args([
                "--set",
                hold,
                "--order",
                "reversed",
                "--stop-at",
                "2525",
                "--output",
                "json",
            ])
            .output()
            .expect("the command can be started");
        let report: Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
        let sections = report["sections"].as_array().expect("sections").iter();
        sections
            .filter_map(|section| section["going_round_items"].as_u64())
            .sum::<u64>()
    };
    assert_eq!(going_round("call_hold=71"), 0);
    assert!(going_round("call_hold=70") > 0);
}

#[test]
fn two_lines_take_in_more_and_cost_more_hoppers() {
    // A line takes an item every 8 ticks: 20 / 8 = 2.5 items/s, and two lines at most twice that.
    assert_eq!(worst("throughput of into the line", "three sections"), 2.5);
    rises(
        "throughput of into the line",
        &["three sections", "two lines"],
    );
    assert!(figure("throughput of into the line", "two lines").0 <= 5.0);
    // More sections: each has a head, a return and a cup of its own.
    rises("hoppers", &["three sections", "two lines"]);
    // But no more than one line in as many sections has.
    assert_eq!(
        worst("hoppers", "two lines"),
        worst("hoppers", "five sections")
    );
    // The same wares are sorted sooner.
    rises("resumed", &["two lines", "three sections"]);
}

#[test]
fn the_best_is_safe_within_half_a_minute_and_no_other_costs_less_to_stop_sooner() {
    let best = "fifteen sections, no return";
    assert!(worst("safe to close", best) <= 600.0);
    for name in ["lost", "still going round"] {
        assert_eq!(worst(name, best), 0.0, "{name}");
    }
    // The goals of the scenario say that everything is sorted after the restart.
    let rows = FOUND.json["figures"].as_array().expect("figures");
    let missed = rows
        .iter()
        .find(|row| row["figure"] == "goals missed")
        .expect("goals");
    assert_eq!(missed["equal_in_all_runs"], true);
    let designs = FOUND.json["designs"].as_array().expect("designs").iter();
    let names = designs.filter_map(|design| design["name"].as_str());
    for name in names {
        let stop = |design: &str| worst("safe to close", design);
        let is_cheaper = worst("hoppers", name) < worst("hoppers", best);
        let is_better = stop(name) < stop(best) || (is_cheaper && stop(name) <= stop(best));
        assert!(!is_better, "{name}");
    }
}
