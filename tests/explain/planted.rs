//! Causes planted in small halls, each of which must be named.

use hallwright_declared::declarations::Mark;
use hallwright_explain::{Beyond, Cause, StopPath};

use crate::support::{Hall, waited};

/// The way of a planted hall's stop to safe to close.
fn stop_of(name: &str, set: &[(&str, &str)]) -> StopPath {
    let found = Hall::planted(name, set).explained(Mark::SafeToClose);
    found.stop.expect("the hall is stopped")
}

/// The cause must be the one that cost most, and be waited for at this part.
#[track_caller]
fn is_named(name: &str, cause: Cause, part: &str) {
    let stop = stop_of(name, &[]);
    let first = &stop.by_cause[0];
    assert_eq!(
        (first.cause, first.most_at.as_str()),
        (cause, part),
        "{stop:#?}"
    );
}

/// Cutting the time of a named wait by `k` ticks must bring the mark sooner by `k` ticks up to the
/// slack that is reported of it, and beyond that come to what is reported.
#[track_caller]
fn wins_its_slack(name: &str, cause: Cause, part: &str) -> (u64, Beyond) {
    let whole = stop_of(name, &[]);
    let mut reported = whole.shorter.iter();
    let reported =
        reported.find(|reported| (reported.cause, reported.part.as_str()) == (cause, part));
    let reported = reported.unwrap_or_else(|| panic!("{whole:#?}"));
    let slack = reported.slack_ticks;
    assert!(slack > 10, "{whole:#?}");
    let whole = whole.ticks.expect("safe to close at last");
    let after_cut = |cut: u64| {
        let cut = cut.to_string();
        let findings = Hall::planted(name, &[("cut", &cut)]).findings();
        findings.stops[0].all.safe_to_close_ticks
    };
    for cut in [1, 5, slack / 2, slack] {
        assert_eq!(
            after_cut(cut),
            Some(whole - cut),
            "{cut} t less, {slack} t slack"
        );
    }
    match reported.beyond {
        Beyond::NoShorter => {
            assert!(slack + 1 == reported.own_ticks || slack == reported.own_ticks)
        }
        Beyond::NeverReached => assert_eq!(after_cut(slack + 1), None),
        Beyond::AnotherWay => assert_ne!(after_cut(slack + 1), Some(whole - slack - 1)),
    }
    (slack, reported.beyond)
}

#[test]
fn a_line_that_sleeps() {
    is_named("asleep", Cause::Asleep, "line_2");
    let stop = stop_of("asleep", &[]);
    // It wakes in tick 602, 402 ticks after the stop.
    assert!(stop.ticks.is_some_and(|ticks| ticks >= 402), "{stop:#?}");
}

#[test]
fn a_slow_stream() {
    is_named("slow_stream", Cause::Stream, "brook");
    wins_its_slack("slow_stream", Cause::Stream, "brook");
}

#[test]
fn a_line_that_runs_on_for_too_long() {
    is_named("long_hold", Cause::Hold, "running");
    wins_its_slack("long_hold", Cause::Hold, "running");
}

#[test]
fn a_late_signal() {
    is_named("late_signal", Cause::SignalDelay, "reported");
    wins_its_slack("late_signal", Cause::SignalDelay, "reported");
}

#[test]
fn a_late_lock_lets_more_in() {
    let stop = stop_of("late_lock", &[]);
    // The delay of 83 ticks, less the time from the last item that was let in to the lock: the head
    // pushes every 8 ticks from tick 8 on, so at tick 280, and the lock is on at tick 283.
    assert_eq!(
        waited(&stop, Cause::SignalDelay, "reported"),
        80,
        "{stop:#?}"
    );
    assert!(stop.from_the_stop);
    // Three hoppers at 7 ticks each.
    assert_eq!(stop.ticks, Some(80 + 21));
    // What a sooner lock wins comes in steps of 8 ticks: with a delay of 1 the last item is let in at
    // the stop itself.
    let reported = &stop.shorter[0];
    assert_eq!((reported.slack_ticks, reported.most_ticks), (0, Some(80)));
    assert_eq!(stop_of("late_lock", &[("cut", "8")]).ticks, Some(72 + 21));
}

#[test]
fn a_lift_on_a_slow_clock() {
    is_named("slow_lift", Cause::Clock, "beat");
}

#[test]
fn a_locked_hopper() {
    is_named("locked_hopper", Cause::SignalDelay, "reported");
    wins_its_slack("locked_hopper", Cause::SignalDelay, "reported");
}

#[test]
fn a_long_repeater_chain() {
    let stop = stop_of("repeater_chain", &[]);
    assert_eq!(stop.by_cause[0].cause, Cause::SignalDelay);
    // Ten repeaters of 8 ticks, reported in one row.
    assert_eq!(
        (stop.rows.len(), stop.rows[0].waits, stop.ticks),
        (1, 10, Some(80))
    );
}

#[test]
fn a_full_chest() {
    let stop = stop_of("full_chest", &[]);
    let round = &stop.rows[0].round;
    assert!(
        round.contains(&(Cause::FullTarget, "crate".to_owned())),
        "{stop:#?}"
    );
    // What empties it waits for its clock.
    assert_eq!(stop.by_cause[0].most_at, "beat");
}

#[test]
fn a_slow_shuttle() {
    is_named("slow_shuttle", Cause::ShuttleWay, "barge");
    wins_its_slack("slow_shuttle", Cause::ShuttleWay, "barge");
}

#[test]
fn a_shuttle_that_dwells() {
    is_named("long_dwell", Cause::Dwell, "barge");
    wins_its_slack("long_dwell", Cause::Dwell, "barge");
}

#[test]
fn a_lamps_margin() {
    is_named("lamp_margin", Cause::LampMargin, "lately");
    // Without the margin, the last of the line decides: a cut of more wins no more.
    let (slack, beyond) = wins_its_slack("lamp_margin", Cause::LampMargin, "lately");
    assert_eq!(beyond, Beyond::AnotherWay);
    let whole = stop_of("lamp_margin", &[]).ticks;
    for cut in [slack + 1, slack + 3] {
        let cut = cut.to_string();
        let ticks = stop_of("lamp_margin", &[("cut", &cut)]).ticks;
        assert_eq!(ticks, whole.map(|whole| whole - slack));
    }
}

#[test]
fn an_overlong_line() {
    let stop = stop_of("overlong_line", &[]);
    let row = stop.rows.iter().max_by_key(|row| row.ticks).expect("a way");
    assert_eq!(row.cause, Cause::Cooldown);
    assert_eq!(row.last_part, "line[39].hopper");
    assert!(row.waits >= 39, "{stop:#?}");
}

#[test]
fn a_merge() {
    is_named("merge", Cause::Queue, "merge");
}
