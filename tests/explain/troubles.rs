//! What is not as it should be, with the cause that was planted, and advice that mends it.

use hallwright_declared::declarations::Mark;
use hallwright_explain::{Trouble, TroubleCause};
use hallwright_report::verdicts::{Question, Ruling};

use crate::support::{Hall, from_root};

fn troubles(name: &str, set: &[(&str, &str)]) -> Vec<Trouble> {
    let path = from_root(&format!("tests/explain/troubles/{name}.ron"));
    Hall::load(&path, None, set)
        .explained(Mark::SafeToClose)
        .troubles
}

/// The causes found for a question, which is missed.
#[track_caller]
fn causes(name: &str, set: &[(&str, &str)], question: Question) -> Vec<TroubleCause> {
    let all = troubles(name, set);
    let found = all.iter().find(|trouble| trouble.question == question);
    let found = found.unwrap_or_else(|| panic!("{all:#?}"));
    assert_eq!(found.ruling, Ruling::Missed);
    found.causes.clone()
}

/// The one cause found for a question.
#[track_caller]
fn cause(name: &str, set: &[(&str, &str)], question: Question) -> TroubleCause {
    let mut causes = causes(name, set, question);
    assert_eq!(causes.len(), 1, "{causes:#?}");
    causes.remove(0)
}

/// Whether the sentences are among those that say why, in this order.
#[track_caller]
fn says(cause: &TroubleCause, sentences: &[&str]) {
    let mut why = cause.why.iter();
    for sentence in sentences {
        assert!(why.any(|one| one == sentence), "{sentence}: {cause:#?}");
    }
}

#[track_caller]
fn advises(cause: &TroubleCause, could: &str) {
    assert!(cause.could.iter().any(|one| one == could), "{cause:#?}");
}

#[test]
fn a_filter_that_never_opens() {
    let found = cause("shut_filter", &[], Question::Stuck);
    assert_eq!(found.what, ["20 madder in sieve: \"madder\" has room"]);
    // 61 and 4 of 320: level 3 is read from 46 on, level 4 from 69 on, and 64 and 4 are 68.
    assert_eq!(
        found.why,
        [
            "out, which draws from sieve, is locked by shut",
            "shut is on as long as open is off",
            "open is off: it is level less 3",
            "level reads 3 of sieve, which holds 61 madder, 4 bung; it would have to read 4 or more",
            "it never does: with as much madder as fits into sieve it reads 3",
        ]
    );
    assert_eq!(
        found.could,
        [
            "let open take 2 from level instead of 3: sieve reads 2 at rest, and 3 with one more madder"
        ]
    );
    // It is done, and nothing is stuck in the sieve any more.
    let mended = causes("shut_filter", &[("loss", "2")], Question::Stuck);
    let what: Vec<&String> = mended.iter().flat_map(|cause| &cause.what).collect();
    assert_eq!(what, ["1 madder in out: \"madder\" has room"]);
}

#[test]
fn what_is_put_in_by_hand() {
    let found = cause("wrong_hand", &[], Question::Misplaced);
    assert_eq!(found.what, ["320 flax in \"barley\""]);
    says(
        &found,
        &["flax was put into line by hand, at 10.0 s (200 t)"],
    );
    let found = cause("wrong_hand", &[], Question::Lost);
    says(
        &found,
        &["wool was put into floor by hand, at 20.0 s (400 t)"],
    );
}

#[test]
fn a_lock_that_is_stuck() {
    let found = cause("stuck_door", &[], Question::Lost);
    // From 1 s on, for 9 minutes.
    says(&found, &["closed is stuck on until 541.0 s (10,820 t)"]);
}

#[test]
fn a_landing_that_sleeps() {
    let found = cause("asleep_landing", &[], Question::Refused);
    // One each second. That of tick 200 comes in before the landing falls asleep in the same tick.
    assert_eq!(found.what, ["4 barley at landing, first at 11.0 s (220 t)"]);
    says(
        &found,
        &["landing was asleep until 15.0 s (300 t), and took nothing"],
    );
    advises(&found, "let what does not fit wait: `when_full: Wait`");
}

#[test]
fn a_hopper_asleep_below_a_mouth_has_room_and_takes_nothing() {
    let found = cause("asleep_cup", &[], Question::Lost);
    // One at 5 s, which is taken, and one at 11 s, a second after the hopper fell asleep for 20 s. Goods lie
    // for 100 ticks: from tick 220 to 319.
    assert_eq!(
        found.what,
        ["1 barley lost at pond, first at 15.95 s (319 t): hoppers locked or busy"]
    );
    says(
        &found,
        &[
            "it came loose at pond and lay for 4.95 s",
            "pond waits for cup, which is asleep until 30.0 s (600 t)",
        ],
    );
}

#[test]
fn a_filter_that_lacks_items() {
    let set = [("loss", "2"), ("own", "39")];
    let found = causes("shut_filter", &set, Question::Stuck);
    let sieve = found
        .iter()
        .find(|cause| cause.what[0].contains("in sieve"));
    let sieve = sieve.unwrap_or_else(|| panic!("{found:#?}"));
    // Of 39 and 4 on, the third that comes raises the level: 46.
    assert_eq!(sieve.what, ["2 madder in sieve: \"madder\" has room"]);
    says(
        sieve,
        &[
            "level reads 2 of sieve, which holds 41 madder, 4 bung; it would have to read 3 or more",
            "it would with 1 more madder",
        ],
    );
    advises(
        sieve,
        "fill 2 more madder into sieve at the start: then the first that comes opens it",
    );
}

#[test]
fn the_last_item_that_a_filter_keeps() {
    let found = cause("last_in_outlet", &[], Question::Stuck);
    assert_eq!(found.what, ["1 barley in out: \"barley\" has room"]);
    says(
        &found,
        &[
            "out is locked by shut",
            "it would with 1 more barley",
            "sieve locks out as soon as it is back at its filling: what out drew last stays in it until more comes",
        ],
    );
}

#[test]
fn a_gate_that_waits_for_a_lever() {
    let found = cause("held_by_gate", &[], Question::Stuck);
    assert_eq!(
        found.why,
        [
            "gate, which draws from inbox, is locked by closed",
            "closed is on as long as both is off",
            "both is off because wanted is off",
            "wanted is off, and never moved in this run",
        ]
    );
    assert_eq!(found.could, ["let the operator turn wanted on"]);
}

#[test]
fn a_dropper_that_nothing_fires_any_more() {
    let found = cause("unfired", &[], Question::Stuck);
    assert_eq!(found.what, ["400 oats in lift: \"oats\" has room"]);
    says(
        &found,
        &[
            "lift is fired by filled, which stays off",
            "filled reads 0 of inbox, which holds nothing; it would have to read 1 or more",
        ],
    );
}

#[test]
fn a_box_that_is_never_full() {
    let found = cause("half_box", &[], Question::Stuck);
    assert_eq!(
        found.why,
        ["table lifts its box only when it is full: it holds 10 oats"]
    );
}

#[test]
fn a_stranger_in_the_feed() {
    let found = cause("strange_in_feed", &[], Question::Stuck);
    assert_eq!(found.what, ["30 barley in head: \"barley\" has room"]);
    says(
        &found,
        &[
            "head waits for eye, which has no room for barley: it holds 1 stone",
            "eye waits for spare of \"spare\", which is full: it holds 1 stone",
        ],
    );
    let full = cause("strange_in_feed", &[], Question::BackedUp);
    advises(
        &full,
        "give \"spare\" 1 more slot for 1 stone in all, or an overflow behind it",
    );
}

#[test]
fn a_ring_before_a_locked_door() {
    let found = causes("past_the_door", &[], Question::Stuck);
    let found = &found[0];
    assert!(
        found.why[0].starts_with("flax goes round for ever by north, eye, east, south"),
        "{found:#?}"
    );
    says(
        found,
        &[
            "it passes the way out at south by door: locked by closed, had room",
            "door, which draws from south, is locked by closed",
            "closed is on as long as pass is off",
        ],
    );
    advises(found, "let the operator turn pass on");
    assert_eq!(troubles("past_the_door", &[("open", "true")]), []);
}

#[test]
fn a_filter_with_a_wrong_filling() {
    let found = causes("wrong_filling", &[], Question::Misplaced);
    let barley = found
        .iter()
        .find(|cause| cause.what[0].contains("5 barley"));
    let barley = barley.unwrap_or_else(|| panic!("{found:#?}"));
    says(
        barley,
        &["sieve, its way on, is filled for flax and lets no barley in"],
    );
    assert_eq!(barley.could, ["fill sieve with barley instead of flax"]);
    let homeless = cause("wrong_filling", &[], Question::WithoutHome);
    says(
        &homeless,
        &["its way to \"barley\" ends before sieve, a filter for flax"],
    );
}

#[test]
fn a_filter_that_is_outrun() {
    let found = cause("outrun", &[], Question::PassedBy);
    assert_eq!(found.what, ["64 barley passed by"]);
    says(
        &found,
        &["line was faster: it handed the item on before sieve drew it"],
    );
}

#[test]
fn a_boat_that_waited_for_its_signal() {
    let found = cause("boat_on_signal", &[], Question::Refused);
    // Up to 30 s come 150, and one slot holds 64.
    says(
        &found,
        &[
            "5 sent there in the first second from 0.0 s (0 t) on, 200 in all (5.02 items/s)",
            "landing has 1 slot: it holds 64 barley at most",
            "it comes in only while open is on, and what waited for that came at once when it went on at 30.0 s (600 t)",
        ],
    );
    advises(&found, "let what does not fit wait: `when_full: Wait`");
}

#[test]
fn a_minute_in_which_nothing_moved() {
    let found = cause("jammed", &[], Question::Other);
    // An item every 8 ticks: the last of 64 is in the bin 25.6 s after the start.
    says(
        &found,
        &[
            "at its best it was 2.50 items/s",
            "inbox waits for line, which has no room for madder: it holds 320 madder",
            "line waits for bin of \"madder\", which has been full since 25.6 s (512 t): it holds 64 madder",
        ],
    );
    let full = causes("jammed", &[], Question::BackedUp);
    // 450 sent, 64 stored: 386 are 7 slots.
    advises(
        &full[0],
        "give \"madder\" 7 more slots for 386 madder in all, or an overflow behind it",
    );
}

#[test]
fn what_is_lost_before_a_locked_door() {
    let found = cause("locked_door", &[], Question::Lost);
    says(
        &found,
        &[
            "door, which draws from yard, is locked by closed",
            "closed stays on until start resets it",
            "start is off, and never pressed in this run",
        ],
    );
    advises(&found, "let the operator press start");
}

#[test]
fn a_line_in_no_section_that_goes_on() {
    let found = cause("side_line", &[], Question::SafeToClose);
    // 50 items, one every 8 ticks: the last goes 20 s after the start, 10 s after the stop.
    says(
        &found,
        &[
            "side, which is in no section, goes on moving until 10.0 s (200 t) after the stop: 25 items, the last into rack",
            "it draws from shed, which held 25 barley at the stop",
            "nothing locks side",
        ],
    );
    advises(
        &found,
        "lock side with halt as line is, and name it in a section",
    );
}

#[test]
fn kinds_without_a_home_and_with_two() {
    let homeless = causes("kinds_and_homes", &[], Question::WithoutHome);
    let what: Vec<&str> = homeless
        .iter()
        .map(|cause| cause.what[0].as_str())
        .collect();
    assert_eq!(
        what,
        [
            "rye, which arrives at inbox, has no home: no store takes it",
            "hams, which arrives at inbox, has no home: \"nest\" (no way leads there)",
        ]
    );
    says(
        &homeless[0],
        &["it can come to \"heap\", which is not its home: by inbox, head, eye, tail, heap"],
    );
    says(
        &homeless[1],
        &["its way to \"nest\" ends before sieve, a filter for hops"],
    );
    let shared = cause("kinds_and_homes", &[], Question::SharedHome);
    says(
        &shared,
        &[
            "\"bin\": by inbox, head, eye, one, bin",
            "\"loft\": by inbox, head, eye, one, also, loft",
        ],
    );
}

#[test]
fn two_hoppers_below_a_barrel() {
    let found = cause("crowded", &[], Question::Crowded);
    assert_eq!(
        found.what,
        ["crowded: \"barrel\": 2 hoppers draw from it, 1 fits"]
    );
    assert_eq!(found.why, ["they are left, right"]);
}

#[test]
fn a_filter_that_is_not_named_is_to_be_named_first() {
    // Allowing its fillers to be without a home, or stuck, would leave nothing that judges it.
    let homeless = cause("filter_not_named", &[], Question::WithoutHome);
    assert_eq!(homeless.could[0], "name sieve in `sieves`");
    let stuck = causes("filter_not_named", &[], Question::Stuck);
    let in_sieve = stuck
        .iter()
        .filter(|cause| cause.what[0].contains("in sieve"));
    let first: Vec<&str> = in_sieve.map(|cause| cause.could[0].as_str()).collect();
    assert!(!first.is_empty(), "{stuck:#?}");
    for first in first {
        assert_eq!(first, "name sieve in `sieves`");
    }
}

#[test]
fn a_filter_with_a_free_slot_is_first_to_get_a_filler() {
    let found = cause("missing_peg", &[], Question::Stuck);
    assert_eq!(
        found.could,
        ["first put a filler into every slot of sieve that madder does not take"]
    );
}
