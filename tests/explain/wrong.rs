//! Planted causes of what goes wrong: marks that are never reached, losses, misplaced items, deadlocks,
//! circulations and flows that are held back.

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;
use hallwright_explain::{Cause, Doing, Explanation, Standing, Stuck};

use crate::support::Hall;

fn explained(name: &str) -> Explanation {
    Hall::planted(name, &[]).explained(Mark::Cleared)
}

/// What still stood in a part when the mark was given up.
#[track_caller]
fn stuck_at(name: &str, part: &str) -> Stuck {
    let stop = explained(name).stop.expect("the hall is stopped");
    assert_eq!(stop.ticks, None);
    let stuck = stop.stuck.iter().find(|stuck| stuck.part == part);
    stuck.unwrap_or_else(|| panic!("{:#?}", stop.stuck)).clone()
}

#[test]
fn a_hold_that_is_too_short() {
    let stuck = stuck_at("short_hold", "line_2");
    let locked = stuck.locked.expect("it is locked");
    // The hold of 12 ticks and the inverter's 2.
    assert_eq!(locked.after_ticks, 14);
    assert_eq!(locked.cause, Some((Cause::Hold, "running".to_owned(), 12)));
}

#[test]
fn a_blocked_store() {
    let stuck = stuck_at("blocked_store", "line_2");
    assert_eq!(stuck.why, Standing::FullTarget("store".to_owned()));
}

#[test]
fn a_missing_return() {
    assert_eq!(stuck_at("missing_return", "bin").why, Standing::NoWayOn);
}

#[test]
fn swapped_filters() {
    let found = explained("swapped_filter");
    let barley = found.misplaced.iter().find(|found| found.kind == "barley");
    let turn = barley
        .and_then(|found| found.turn.as_ref())
        .expect("it had a way");
    assert_eq!(turn.part, "line_1", "{found:#?}");
    // Its own filter holds flax.
    let (way, state) = &turn.ways[0];
    assert_eq!(way, "barley sieve");
    assert!(
        state.contains("had no room for barley") && state.contains("41 flax"),
        "{state}"
    );
}

#[test]
fn a_comparator_that_leaks() {
    let found = explained("leaking_comparator");
    let turn = found.misplaced[0].turn.as_ref().expect("it had a way");
    assert_eq!(
        (turn.part.as_str(), turn.went_to.as_str()),
        ("line_1", "sieve")
    );
    assert!(turn.there.contains("level read 1"), "{turn:#?}");
    assert!(!turn.there.contains("barley"), "{turn:#?}");
}

#[test]
fn a_misdirected_branch() {
    let found = explained("misdirected_branch");
    let barley = found.misplaced.iter().find(|found| found.kind == "barley");
    let turn = barley
        .and_then(|found| found.turn.as_ref())
        .expect("it had a way");
    assert_eq!(
        (turn.part.as_str(), turn.went_to.as_str()),
        ("branch", "flax chest")
    );
    assert_eq!(turn.is_match, Some(true));
    // The first item is in the head in tick 0, pushed in tick 8 and goes on in the same tick or the
    // next.
    assert!(turn.at.0 == 8 || turn.at.0 == 9, "{turn:#?}");
}

#[test]
fn a_mouth_without_pickup() {
    let found = explained("bare_mouth");
    let life = &found.lost[0];
    let parts: Vec<&str> = life.stays.iter().map(|stay| stay.part.as_str()).collect();
    assert_eq!(parts, ["inbox", "head", "thrower", "brook"]);
    // In the head from tick 0, in the thrower from tick 8; the comparator is on in tick 10, the gate
    // in tick 12, as the beat is on from 8 to 11 (and still on in 10, when the gate looks); it fires
    // 4 ticks later, or 8 if it missed that beat.
    assert_eq!(life.stays[2].since, Some(Tick(8)));
    let thrown = life.stays[3].since.expect("it was thrown");
    // It ages for the first time in the tick in which it is thrown.
    assert_eq!(life.at, thrown + 299);
    assert_eq!(found.lost_stacks, 1);
}

#[test]
fn a_life_is_reported_from_its_first_tick_to_its_last() {
    let found = explained("lost_lives");
    // The part, since when, and for how many ticks.
    type Stay<'a> = (&'a str, Option<u64>, u64);
    let lives: Vec<(&str, u64, Vec<Stay<'_>>)> = found
        .lost
        .iter()
        .map(|life| {
            let stays = life.stays.iter();
            let stays = stays.map(|stay| {
                let since = stay.since.map(|since| since.0);
                (stay.part.as_str(), since, stay.ticks)
            });
            (life.kind.as_str(), life.at.0, stays.collect())
        })
        .collect();
    assert_eq!(
        lives,
        [
            // Lost in the tick in which its age is 100, having aged in tick 20 already.
            ("wool", 119, vec![("landing", Some(20), 99)]),
            // Delivered into an empty hopper it is on 7 ticks later; the bell rings in tick 40, and the
            // droppers fire 4 ticks later.
            (
                "barley",
                143,
                vec![
                    ("inbox", Some(7), 7),
                    ("thrower", Some(14), 30),
                    ("brook", Some(44), 99),
                ]
            ),
            (
                "oak",
                143,
                vec![("sling", None, 44), ("landing", Some(44), 99)]
            ),
        ]
    );
}

#[test]
fn a_ring_in_deadlock() {
    let found = explained("ring_deadlock");
    assert_eq!(found.deadlocks.len(), 1);
    let ring = &found.deadlocks[0];
    assert_eq!(ring.members, ["east", "south", "west"]);
    assert_eq!(ring.items, 15);
    // The head moves a ham every 8 ticks at most: the last of 15 after tick 14 * 8.
    assert!(
        ring.since >= Tick(14 * 8) && ring.since < Tick(300),
        "{ring:?}"
    );
    assert!(found.circulations.is_empty());
}

#[test]
fn a_circulation() {
    let found = explained("circulation");
    assert_eq!(found.circulations.len(), 1, "{found:#?}");
    let ring = &found.circulations[0];
    assert_eq!(ring.members, ["north", "eye", "east", "south", "west"]);
    assert_eq!(ring.items, 2);
    // The third barley leaves soon after the head pushed it, in tick 24.
    assert!(ring.since >= Tick(24) && ring.since < Tick(60), "{ring:?}");
    assert!(found.deadlocks.is_empty());
}

#[track_caller]
fn holds_back(name: &str, part: &str, doing: Doing) {
    let found = explained(name);
    let flow = &found.flows[0];
    assert_eq!(flow.bottleneck, Some((part.to_owned(), doing)), "{flow:#?}");
}

#[test]
fn a_starved_feeder() {
    holds_back("starved_feeder", "head", Doing::Starved);
}

#[test]
fn a_lift_that_holds_the_line_back() {
    holds_back("slow_lift_flow", "lift", Doing::Busy);
}

#[test]
fn a_hopper_that_is_locked_too_often() {
    holds_back("locked_half", "gate", Doing::Locked);
}

#[test]
fn a_store_that_is_full() {
    holds_back("full_store_flow", "line_1", Doing::Blocked);
}

#[test]
fn nothing_is_found_where_nothing_is_wrong() {
    let path = crate::support::from_root("scenarios/granary.ron");
    let found = Hall::load(&path, Some("five sections"), &[]).explained(Mark::Cleared);
    assert!(
        found.deadlocks.is_empty() && found.circulations.is_empty(),
        "{found:#?}"
    );
    assert!(found.lost.is_empty() && found.misplaced.is_empty() && found.flows.is_empty());
}
