//! Whole scenarios whose answer is easily a yes that does not hold: what is stuck, backed up, held back,
//! refused or without a home in them is known by hand.

use std::path::Path;

use hallwright_core::order::{Order, Orders};
use hallwright_report::findings::{Amounts, Findings, GoingOnEnd, Standing};
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_report::words::stay_words;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, load};

/// Runs a scenario of the folder.
fn found(name: &str, order: Order) -> Findings {
    found_after(name, order, 0)
}

/// Runs it for some ticks longer.
fn found_after(name: &str, order: Order, extra_ticks: u64) -> Findings {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data/accounts");
    let path = Path::new(folder).join(format!("{name}.ron"));
    let loaded = load(&path, &LoadOptions::default());
    let scenario = loaded
        .scenario
        .unwrap_or_else(|| panic!("{name}: {:?}", loaded.diagnostics));
    let input = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: 1,
        orders: Orders::of_update(order),
        run_ticks: scenario.run_ticks + extra_ticks,
        declarations: &scenario.declarations,
    };
    run(&input, &mut |_| {})
}

/// The questions that are not as they should be.
fn missed(found: &Findings) -> Vec<Question> {
    let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
    missed.map(|verdict| verdict.question).collect()
}

fn goods(goods: u64) -> Amounts {
    Amounts {
        goods,
        ..Amounts::default()
    }
}

fn ruling(found: &Findings, question: Question) -> Ruling {
    let mut verdicts = found.verdicts.iter();
    let verdict = verdicts.find(|verdict| verdict.question == question);
    verdict.expect("it is asked of every run").ruling
}

#[test]
fn a_box_half_way_down_a_column_is_stuck() {
    for order in [Order::Declared, Order::Reversed] {
        let found = found("lone-box", order);
        // 27 stacks.
        let full_box = Amounts {
            goods: 0,
            boxes: 1,
            goods_in_boxes: 27 * 64,
        };
        assert_eq!(found.going_on.stuck, full_box);
        assert_eq!(found.account.amount(Standing::InLines), full_box);
        assert_eq!(missed(&found), [Question::Stuck]);
        assert!(!found.is_ok());
        // A box is called by what it holds.
        let row = stay_words(&found.going_on.rows[0]);
        let what = "1 box with 1,728 items of barley in middle: \"barley\" has room";
        assert_eq!(row, what);
    }
}

#[test]
fn what_a_stop_holds_back_is_on_the_way_once_the_stop_is_undone() {
    let found = found("held-back", Order::Declared);
    assert!(found.going_on.was_stopped);
    assert_eq!(found.going_on.on_the_way, goods(10));
    assert_eq!(ruling(&found, Question::Stuck), Ruling::NotFinished);
    assert!(found.is_ok(), "{:?}", missed(&found));
}

#[test]
fn an_end_in_the_tick_of_the_restart_is_a_stopped_one() {
    let found = found("at-the-restart", Order::Declared);
    assert!(found.going_on.was_stopped);
    assert_eq!(found.going_on.on_the_way, goods(10));
    // The second store lies past the first: that is one home.
    assert!(found.is_ok(), "{:?}", missed(&found));
}

#[test]
fn what_goes_round_for_ever_is_stuck() {
    let found = found("ring", Order::Declared);
    assert_eq!(found.going_on.ended, GoingOnEnd::Repeats);
    assert_eq!(found.going_on.stuck, goods(3));
    assert_eq!(missed(&found), [Question::Stuck, Question::WithoutHome]);
}

#[test]
fn without_a_store_nothing_is_home() {
    let found = found("no-store", Order::Declared);
    assert_eq!(found.going_on.homeless, goods(2));
    assert_eq!(missed(&found), [Question::WithoutHome]);
}

#[test]
fn what_a_sieve_keeps_before_a_full_store_is_backed_up() {
    let found = found("full-store", Order::Declared);
    let account = &found.account;
    // One slot, and five in the hopper before it.
    assert_eq!(account.amount(Standing::Home), goods(6 * 64));
    assert_eq!(account.amount(Standing::OwnFilling), goods(41 + 4));
    // The sieve's slot is full: 64 - 41.
    assert_eq!(found.going_on.backed_up, goods(23));
    // The rest of 600.
    let rest = 600 - 6 * 64 - 23;
    assert_eq!(account.amount(Standing::OverflowStoreFull), goods(rest));
    assert_eq!(missed(&found), [Question::BackedUp]);
}

#[test]
fn what_nothing_in_its_store_lets_on_is_home_where_it_is() {
    for order in [Order::Declared, Order::Reversed] {
        let found = found("full-below", order.clone());
        assert_eq!(found.account.amount(Standing::Home), goods(7 + 1 + 5 + 63));
        assert_eq!(missed(&found), []);
        // Where a slot is free behind the bung, it may make room.
        let found = self::found("locked-below", order);
        assert_eq!(found.account.amount(Standing::Home), goods(1 + 4 + 63));
        assert_eq!(found.going_on.stuck, goods(7));
        assert_eq!(missed(&found), [Question::Stuck]);
    }
}

#[test]
fn what_a_sieve_that_began_short_keeps_is_stuck() {
    let found = found("one-short", Order::Declared);
    // The first of five fills the sieve up. Each of the others opens the hopper below for as long as it
    // is above: that takes one and is locked again before its cooldown of 8 ticks is over, so that it
    // hands on only what it took the time before. The last stays there.
    assert_eq!(found.account.amount(Standing::Home), goods(3));
    assert_eq!(found.account.amount(Standing::OwnFilling), goods(40 + 4));
    assert_eq!(found.going_on.stuck, goods(2));
    let rows: Vec<String> = found.going_on.rows.iter().map(stay_words).collect();
    assert_eq!(
        rows,
        [
            "1 madder in sieve: \"madder\" has room",
            "1 madder in out: \"madder\" has room"
        ]
    );
}

#[test]
fn what_would_be_lost_after_the_end_is_stuck() {
    let found = found("lost-later", Order::Declared);
    assert_eq!(found.loss.items, 0);
    assert_eq!(found.going_on.stuck, goods(4));
    let rows: Vec<String> = found.going_on.rows.iter().map(stay_words).collect();
    assert_eq!(rows, ["4 wool would be lost at yard after the end"]);
}

#[test]
fn what_would_be_misplaced_after_the_end_is_stuck() {
    let found = found("wrong-later", Order::Declared);
    assert_eq!(found.misplaced_items(), 0);
    assert_eq!(found.going_on.stuck, goods(4));
    let rows: Vec<String> = found.going_on.rows.iter().map(stay_words).collect();
    assert_eq!(rows, ["4 barley in flax chest: misplaced after the end"]);
}

#[test]
fn what_never_comes_to_an_overflow_with_room_is_stuck() {
    let found = found("overflow-shut", Order::Declared);
    assert_eq!(found.going_on.stuck, goods(4));
    let rows: Vec<String> = found.going_on.rows.iter().map(stay_words).collect();
    assert_eq!(rows, ["4 barley in line: the overflow \"spill\" has room"]);
}

#[test]
fn goods_and_boxes_are_counted_apart_and_have_a_home_each() {
    let found = found("apart", Order::Declared);
    let account = &found.account;
    let crates = |boxes| Amounts {
        goods: 0,
        boxes,
        goods_in_boxes: boxes * 27 * 64,
    };
    assert_eq!(account.at_start, goods(6));
    assert_eq!((account.sent, account.refused), (crates(3), crates(1)));
    let home = Amounts {
        goods: 6,
        ..crates(2)
    };
    assert_eq!(account.amount(Standing::Home), home);
    assert_eq!(account.sum(), home);
    assert_eq!(missed(&found), [Question::Refused]);
    let refusal = &account.refusals[0];
    assert_eq!((refusal.place.as_str(), refusal.items), ("dock", 1));
    assert_eq!(refusal.first_at.0, 20);
}

#[test]
fn what_a_file_names_is_allowed_and_said_to_be() {
    let found = found("named", Order::Declared);
    assert_eq!(ruling(&found, Question::WithoutHome), Ruling::Allowed);
    assert_eq!(ruling(&found, Question::SharedHome), Ruling::Allowed);
    assert!(found.is_ok(), "{:?}", missed(&found));
    let in_overflow = found.account.amount(Standing::OverflowNoHome);
    assert_eq!(in_overflow, goods(2));
}

#[test]
fn a_store_that_serves_is_nobodys_home() {
    let found = found("serves", Order::Declared);
    assert_eq!(found.account.amount(Standing::Serving), goods(5));
    assert_eq!(found.account.amount(Standing::Home), goods(7));
    // The spare chest leads home; nothing stays on the way.
    assert!(found.is_ok(), "{:?}", missed(&found));
}

#[test]
fn what_goes_round_through_its_home_is_stuck_whenever_the_run_ends() {
    for extra_ticks in 0..16 {
        let found = found_after("through-home", Order::Declared, extra_ticks);
        assert_eq!(found.going_on.stuck, goods(1), "{extra_ticks}");
        assert!(!found.is_ok());
    }
}
