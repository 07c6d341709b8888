//! The cards of the dirty hall, whose figures are worked out in `tests/render/dirty.rs`.

use std::path::Path;

use hallwright_core::setup::UpdateOrder;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, load};

use super::*;

/// The summary of a run of it.
fn dirty() -> Summary {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/render/dirty.ron");
    let loaded = load(Path::new(path), &LoadOptions::default());
    let hall = loaded.scenario.expect("it is sound");
    let input = RunInput {
        network: &hall.network,
        timeline: &hall.timeline,
        seed: hall.seed,
        order: UpdateOrder::Declared,
        run_ticks: hall.run_ticks,
        declarations: &hall.declarations,
    };
    let found = run(&input, &mut |_| {});
    let heading = Heading {
        title: hall.title.clone(),
        ..Heading::default()
    };
    summary(&heading, &hall.declarations, &found)
}

/// A card: its state and answer, and its lines.
#[track_caller]
fn shows(question: &str, state: &str, answer: &str, lines: &[[&str; 4]]) {
    let summary = dirty();
    let mut cards = summary.cards.iter();
    let card = cards.find(|card| card.question == question);
    let card = card.expect("it is asked");
    assert_eq!((card.state, card.answer.as_str()), (state, answer));
    let found: Vec<[&str; 4]> = card
        .lines
        .iter()
        .map(|line| [&line.label, &line.figure, &line.bound, line.state].map(AsRef::as_ref))
        .collect();
    assert_eq!(found, lines);
}

#[test]
fn goals_are_counted_and_those_missed_come_first() {
    let summary = dirty();
    let card = &summary.cards[0];
    assert_eq!((card.state, card.answer.as_str()), ("bad", "7 of 16 met"));
    assert_eq!(card.lines.len(), 4);
    let states: Vec<&str> = summary.goals.iter().map(|goal| goal.state).collect();
    assert_eq!(states, [["bad"; 9].as_slice(), &["good"; 7]].concat());
    assert_eq!(
        summary.goals[0].words,
        "misplaced: 3 items, at most 2, first at 2.85 s (57 t)"
    );
    assert_eq!(summary.name, "Millbrook Granary, dirty");
}

#[test]
fn what_is_sorted_and_what_is_not() {
    shows(
        "Sorted",
        "bad",
        "no",
        &[
            ["where they belong", "121", "", ""],
            ["misplaced", "3", "", "bad"],
            ["passed by", "3", "", "bad"],
            ["in overflow", "11", "", ""],
            // As the goal counts them: what waits and what is loose too, but neither the pit nor the
            // barge, which hold what they held at the start.
            ["in no store", "40", "", ""],
            ["sieves intact", "1 of 3", "", "bad"],
        ],
    );
}

#[test]
fn whether_it_kept_up() {
    shows(
        "Kept up",
        "bad",
        "no",
        &[
            ["left at the end", "13 items", "", ""],
            ["most, in line", "40 items", "", ""],
            ["barley", "2.50 items/s", "≥ 2.40", "good"],
            ["served", "1.11 boxes/s", "", ""],
        ],
    );
}

#[test]
fn how_it_stopped_and_started_again() {
    shows(
        "Stopped",
        "bad",
        "not safe to close",
        &[
            ["cleared", "never", "", ""],
            ["safe to close", "never", "≤ 30.0 s", "bad"],
            ["quiet", "never", "", ""],
            ["resumed", "never", "", ""],
            [
                "still holding: ring 1 (1 item), slate end (6 items); not locked: slate end; pulse \
                 under way: bell; loose: 2 wool at yard, 1 oak at yard; aboard: barge (7 items); \
                 still moving: ring 1, ring 2",
                "",
                "",
                "",
            ],
        ],
    );
    shows(
        "Stopped again",
        "bad",
        "not safe to close",
        &[
            ["cleared", "never", "", ""],
            ["safe to close", "never", "≤ 30.0 s", "bad"],
            ["quiet", "never", "", ""],
            [
                "still holding: ring 1 (1 item), slate end (6 items); not locked: slate end; pulse \
                 under way: bell; loose: 4 slate at yard; inside: slow selector (1 item); aboard: \
                 barge (7 items); still moving: ring 1, ring 2",
                "",
                "",
                "",
            ],
        ],
    );
}

#[test]
fn what_was_lost_and_what_it_cost() {
    shows(
        "Lost",
        "bad",
        "13 items in 5 stacks",
        &[
            ["items", "13", "≤ 12", "bad"],
            ["oak at pond", "5.45 s (109 t)", "", ""],
            ["wool at yard", "5.95 s (119 t)", "", ""],
        ],
    );
    shows(
        "Cost",
        "plain",
        "125.0 units/t",
        &[
            ["most in a tick", "210 units", "", ""],
            ["lock cover", "16.0 %", "", ""],
            ["built of", "12 hoppers", "", ""],
        ],
    );
}
