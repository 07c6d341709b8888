//! The cards of the dirty hall, whose figures are worked out in `tests/render/dirty.rs`.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, Scenario, load};

use super::*;

/// The hall, with these goals instead of its own, and what was found in a run of it.
fn dirty_hall(goals: Option<Vec<Goal>>) -> (Scenario, Findings) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/render/dirty.ron");
    let loaded = load(Path::new(path), &LoadOptions::default());
    let mut hall = loaded.scenario.expect("it is sound");
    if let Some(goals) = goals {
        hall.declarations.goals = goals;
    }
    let found = found_in(&hall);
    (hall, found)
}

fn found_in(hall: &Scenario) -> Findings {
    let input = RunInput {
        network: &hall.network,
        timeline: &hall.timeline,
        seed: hall.seed,
        orders: Orders::default(),
        run_ticks: hall.run_ticks,
        declarations: &hall.declarations,
    };
    run(&input, &mut |_| {})
}

/// The summary of a run of it.
fn dirty() -> Summary {
    let (hall, found) = dirty_hall(None);
    let heading = Heading {
        title: hall.title.clone(),
        ..Heading::default()
    };
    summary(&heading, &hall.declarations, &found)
}

#[test]
fn both_orders_of_the_run_are_named() {
    let (hall, found) = dirty_hall(None);
    let heading = Heading {
        update_order: "reversed".to_owned(),
        signal_order: "shuffled:5".to_owned(),
        ..Heading::default()
    };
    let made_from = summary(&heading, &hall.declarations, &found).made_from;
    for pair in [("update order", "reversed"), ("signal order", "shuffled:5")] {
        let pair = (pair.0.to_owned(), pair.1.to_owned());
        assert!(made_from.contains(&pair), "{made_from:?}");
    }
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
fn verdicts_are_counted_and_those_missed_come_first() {
    let summary = dirty();
    let card = &summary.cards[0];
    // Sixteen goals, of which nine are missed and one is met by what it allows; and six questions that
    // none of them asks, of which three are missed.
    assert_eq!((card.state, card.answer.as_str()), ("bad", "10 of 22 met"));
    let lines: Vec<(&str, &str)> = card.lines[3..]
        .iter()
        .map(|line| (line.label.as_str(), line.state))
        .collect();
    assert_eq!(
        lines,
        [
            ("in no store: 40 items and boxes, at most 39", "bad"),
            ("… and 8 more missed", ""),
            ("passed by", "allowed"),
            ("6 of them checked in every run", ""),
        ]
    );
    let states: Vec<&str> = summary.goals.iter().map(|goal| goal.state).collect();
    let expected = [["bad"; 12].as_slice(), &["allowed"], &["good"; 9]].concat();
    assert_eq!(states, expected);
    assert_eq!(
        summary.goals[0].words,
        "misplaced: 3 items, at most 2, first at 2.85 s (57 t)"
    );
    let words: Vec<&str> = summary.goals[11..14]
        .iter()
        .map(|goal| goal.ruling)
        .collect();
    assert_eq!(words, ["missed", "allowed", "met"]);
    assert_eq!(summary.goals[21].ruling, "ok");
    assert_eq!(summary.name, "Millbrook Granary, dirty");
}

#[test]
fn what_is_sorted_and_what_is_not() {
    shows(
        "Sorted",
        "bad",
        "no",
        &[
            // Boxes, and what they hold, are never added to items.
            ["home", "109 items", "", ""],
            ["home, boxed", "10 in 2 boxes", "", ""],
            ["misplaced", "3 items", "≤ 2", "bad"],
            ["passed by", "3 items and boxes", "≤ 3", "allowed"],
            ["sieves intact", "1 of 3", "", "bad"],
            ["in no store", "40 items and boxes", "≤ 39", "bad"],
            ["stuck", "23 items and boxes", "", "bad"],
            [
                "7 flax in barge: no way leads from there to \"flax store\"",
                "",
                "",
                "",
            ],
            ["… and 7 more stuck", "", "", ""],
            ["backed up", "6 items", "", "bad"],
            ["6 slate in slate end: \"slate store\" is full", "", "", ""],
            ["without a home", "5 kinds", "", "bad"],
            [
                "wool, which arrives at yard, has no home: \"wool store\" (no way leads there)",
                "",
                "",
                "",
            ],
            ["… and 4 more without a home", "", "", ""],
            ["held back", "7 items", "", ""],
            // 2 barley, slate and oak; the box of flax and the empty one.
            ["in overflow", "4 items", "", ""],
            ["in overflow, boxed", "5 in 2 boxes", "", ""],
            // 4 loose, 8 under way, 6 waiting, 33 in other places.
            ["in lines", "51 items", "", ""],
            ["in lines, boxed", "15 in 4 boxes", "", ""],
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
            // The rack still held a box at its end, but the next beat never came.
            ["served", "1.11 boxes/s", "", ""],
            ["served, at worst", "0.00 boxes/s", "", ""],
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
            // Goals about a section are reported of the stop that they are about.
            ["\"line\" cleared", "0.3 s (6 t)", "≤ 0.25 s", "bad"],
            ["\"line\" resumed", "6.7 s (134 t)", "≤ 7.0 s", "good"],
            [
                "still holding: ring 1 (1 item), slate end (6 items); pulse under way: bell; loose: \
                 2 wool at yard, 1 oak at yard; aboard: barge (7 items); still moving: ring 1, ring 2; \
                 goes on by itself without a restart or other input: bell 0.0 s (0 t) later",
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
            ["\"line\" cleared", "0.0 s (0 t)", "≤ 0.25 s", "good"],
            [
                "still holding: ring 1 (1 item), slate end (6 items); pulse under way: bell; loose: \
                 4 slate at yard; inside: slow selector (1 item); aboard: barge (7 items); still \
                 moving: ring 1, ring 2; goes on by itself without a restart or other input: bell \
                 0.0 s (0 t) later",
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
        "7 items and 1 box with 5 items in 5 stacks",
        &[
            ["lost", "13 items and boxes", "≤ 12", "bad"],
            ["oak at pond", "5.45 s (109 t)", "", ""],
            ["wool at yard", "5.95 s (119 t)", "", ""],
        ],
    );
    shows(
        "Cost",
        "good",
        "125.0 units/t",
        &[
            ["hoppers per block", "1.20 hoppers/block", "≤ 1.20", "good"],
            ["most in a tick", "210 units", "", ""],
            ["lock cover", "16.0 %", "", ""],
            ["built of", "12 hoppers", "", ""],
        ],
    );
}

#[test]
fn goals_that_no_other_card_reports_have_one_of_their_own() {
    let summary = dirty();
    let mut cards = summary.cards.iter();
    let card = cards.find(|card| card.question == "Also asked");
    let card = card.expect("there are such goals");
    // Requests, what is left behind and contents are missed, part stacks and the lamp are not.
    assert_eq!((card.state, card.answer.as_str()), ("bad", "2 of 5 met"));
    let reported = card
        .lines
        .iter()
        .find(|line| line.label == "oak in pit, till");
    assert_eq!(reported.expect("it is reported").bound, "≥ 16, ≤ 16");
}

/// A summary of the dirty hall with other goals.
fn with_goals(goals: Vec<Goal>) -> Summary {
    let (hall, found) = dirty_hall(Some(goals));
    summary(&Heading::default(), &hall.declarations, &found)
}

fn card<'s>(summary: &'s Summary, question: &str) -> &'s Card {
    let mut cards = summary.cards.iter();
    cards
        .find(|card| card.question == question)
        .expect("it is asked")
}

#[test]
fn what_is_allowed_is_nowhere_well() {
    // 13 were lost.
    let summary = with_goals(vec![Goal::LostAtMost(13)]);
    let lost = card(&summary, "Lost");
    assert_eq!(lost.state, "allowed");
    assert_eq!(lost.lines[0].state, "allowed");
    let row = summary
        .goals
        .iter()
        .find(|goal| goal.words.starts_with("lost"));
    let row = row.expect("it is asked");
    assert_eq!((row.state, row.ruling), ("allowed", "allowed"));
    // Without the goal it is not allowed.
    assert_eq!(card(&with_goals(Vec::new()), "Lost").state, "bad");
}

#[test]
fn what_could_not_be_judged_is_reported_and_is_not_well() {
    let goal = Goal::MarkWithin {
        mark: hallwright_declared::declarations::Mark::Resumed,
        section: Some(2),
        ticks: 100,
    };
    let (mut hall, _) = dirty_hall(None);
    hall.declarations.goals = vec![goal, Goal::StopsNotSafeAtMost(2)];
    hall.declarations.stops.truncate(1);
    hall.declarations.stops[0].restart = None;
    let found = found_in(&hall);
    let summary = summary(&Heading::default(), &hall.declarations, &found);
    let stopped = card(&summary, "Stopped");
    let reported = stopped.lines.iter().find(|line| line.state == "unknown");
    assert!(
        reported.is_some_and(|line| line.label.starts_with("\"slates\" resumed")),
        "{stopped:?}"
    );
    assert_eq!(stopped.state, "unknown");
}

#[test]
fn no_card_is_better_than_any_of_its_lines() {
    let order = ["", "plain", "good", "allowed", "open", "unknown", "bad"];
    let rank = |state: &str| order.iter().position(|known| *known == state);
    for summary in [
        dirty(),
        with_goals(Vec::new()),
        with_goals(vec![Goal::LostAtMost(13)]),
    ] {
        for card in &summary.cards {
            for line in &card.lines {
                assert!(rank(card.state) >= rank(line.state), "{card:?}");
            }
        }
    }
}
