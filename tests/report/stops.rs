//! Stops and restarts of the demo line (see `line.rs` for its rhythm).

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Goal, Mark, Section, Stop};
use hallwright_report::findings::{PartCount, QuietMark, Returned};

use crate::line::line;
use crate::support::{capped, chest, deliver, lever, run_with};

#[test]
fn a_line_is_cleared_when_its_last_item_leaves_it() {
    let line = line(100, None);
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    // The last push before the stop is in tick 96; it arrives in tick 138.
    let stop = &found.stops[0];
    assert_eq!(stop.all.cleared_ticks, Some(38));
    assert_eq!(stop.all.safe_to_close_ticks, Some(38));
    let quiet = QuietMark {
        ticks: Some(38),
        is_known: true,
        goods_arrive: false,
    };
    assert_eq!(stop.all.quiet, quiet);
    assert_eq!(stop.sections[0].marks, stop.all);
    // Twelve items were pushed, in ticks 8 to 96. Eight wait, one of them in the feeder; those
    // pushed in ticks 64, 72, 80, 88 and 96 are still in the line.
    assert_eq!(stop.sections[0].backlog_at_stop_items, 8 + 5);
    assert_eq!(stop.left.holding, []);
    assert_eq!(found.stores[0].final_items, 12);
    assert_eq!(found.sections[0].backlog.final_items, 8);
}

#[test]
fn after_the_restart_all_that_was_held_back_is_sorted() {
    let line = line(100, Some(60));
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    let stop = &found.stops[0];
    assert_eq!(stop.watched_until, Tick(160));
    assert_eq!(stop.all.cleared_ticks, Some(38));
    // Nothing is pending, every cooldown is over, and no part moves by itself.
    assert!(stop.all.quiet.is_known);
    // The feeder pushes its item in tick 160 and the last of the eight in tick 216, which arrives
    // in tick 258.
    let resume = stop.resume.as_ref().expect("the run reaches the restart");
    assert_eq!(resume.held_back_items, 8);
    assert_eq!(resume.resumed_ticks, Some(98));
    assert_eq!(resume.sections, [Some(98)]);
    assert_eq!(resume.misplaced_items, 0);
}

#[test]
fn a_mark_is_missed_by_a_tick_and_the_goal_says_when() {
    let mut line = line(100, None);
    let goal = |ticks| Goal::MarkWithin {
        mark: Mark::Cleared,
        section: Some(0),
        ticks,
    };
    line.declarations.goals = vec![goal(38), goal(37)];
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    assert!(found.verdicts[0].is_met());
    assert!(!found.verdicts[1].is_met());
    // Tick 138 is the first that is later than 37 ticks after tick 100.
    assert_eq!(found.verdicts[1].went_wrong_at, Some(Tick(138)));
}

#[test]
fn a_stop_that_locks_nothing_is_never_safe_to_close() {
    let mut line = line(100, None);
    line.declarations.stops[0].actions.clear();
    let found = run_with(&line.network, &line.declarations, 110, Vec::new());
    let stop = &found.stops[0];
    assert_eq!(stop.all.cleared_ticks, None);
    assert_eq!(stop.all.safe_to_close_ticks, None);
    assert_eq!(stop.all.quiet.ticks, None);
    assert_eq!(stop.left.unlocked, ["feeder"]);
    // Pushed in ticks 72, 80, 88, 96 and 104; the one of tick 64 arrived in tick 106.
    let held: u64 = stop.left.holding.iter().map(|row| row.items).sum();
    assert_eq!(held, 5);
    // In tick 109 (7 ticks each after 88) the item pushed in tick 88 went from the third hopper on.
    assert_eq!(stop.left.still_moving, ["line 3", "line 4"]);
}

#[test]
fn a_pulse_under_way_delays_safe_to_close() {
    // The lever turns on a hold of 30 ticks through a button: on in tick 10, off in tick 40.
    let mut builder = NetworkBuilder::new(Rules::default());
    let button = builder.add("bell", Part::Signal(Signal::Button { hold_ticks: 30 }));
    let clock = Signal::Clock {
        period_ticks: 4,
        high_ticks: 2,
        phase_ticks: 0,
    };
    let clock = builder.add("clock", Part::Signal(clock));
    // It repeats the clock for ever and is no concern of a stop.
    let repeater = Signal::Repeater {
        input: clock,
        delay_ticks: 2,
        lock: None,
    };
    builder.add("ticker", Part::Signal(repeater));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stops: vec![Stop {
            at: Tick(10),
            actions: vec![Action::Press { button }],
            restart: None,
        }],
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 100, Vec::new());
    assert_eq!(found.stops[0].all.safe_to_close_ticks, Some(30));
    let found = run_with(&network, &declarations, 30, Vec::new());
    assert_eq!(found.stops[0].all.safe_to_close_ticks, None);
    assert_eq!(found.stops[0].left.pulses, ["bell"]);
}

#[test]
fn a_lock_that_comes_late_delays_safe_to_close() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let lever = lever(&mut builder, "stop lever");
    let repeater = Signal::Repeater {
        input: lever,
        delay_ticks: 8,
        lock: None,
    };
    let repeater = builder.add("lock line", Part::Signal(repeater));
    let store = chest(&mut builder, "chest", 27);
    let hopper = builder.add("hopper", capped(Some(store), Some(repeater)));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        sections: vec![Section {
            name: "line".to_owned(),
            line: vec![hopper],
            queue: Vec::new(),
            locked: vec![hopper],
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        }],
        stops: vec![Stop {
            at: Tick(20),
            actions: vec![Action::MoveLever { lever, on: true }],
            restart: None,
        }],
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 100, Vec::new());
    assert_eq!(found.stops[0].all.cleared_ticks, Some(0));
    // The pulse to the lock is under way for 8 ticks, for the hall and for the section that it locks.
    assert_eq!(found.stops[0].all.safe_to_close_ticks, Some(8));
    assert_eq!(
        found.stops[0].sections[0].marks.safe_to_close_ticks,
        Some(8)
    );
    assert_eq!(found.stops[0].all.quiet.ticks, Some(0));
}

#[test]
fn what_goes_round_is_counted_and_never_quiet() {
    // One item between two hoppers. Delivered in tick 0 into the first, it leaves it in tick 7 and
    // the second in tick 14, then in ticks 28, 42, …: the first, which has had its turn already
    // when the item comes back, gets a cooldown of 7 and acts 7 ticks later too.
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let head = builder.declare("head");
    let back = builder.declare("back");
    builder.define(head, capped(Some(back), None));
    builder.define(back, capped(Some(head), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        sections: vec![Section {
            name: "ring".to_owned(),
            line: vec![head, back],
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: vec![back],
            width_blocks: None,
        }],
        stops: vec![Stop {
            at: Tick(50),
            actions: Vec::new(),
            restart: None,
        }],
        ..Declarations::default()
    };
    let entries = vec![(0, deliver(head, barley, 1))];
    let found = run_with(&network, &declarations, 100, entries);
    let returned = |items, rounds| Some(Returned { items, rounds });
    // In ticks 14, 28, 42, 56, 70, 84 and 98; the line holds one item, so each pass is a round.
    assert_eq!(found.sections[0].returned, returned(7, 7));
    let stop = &found.stops[0];
    assert_eq!(stop.sections[0].returned, returned(4, 4));
    assert_eq!(stop.all.cleared_ticks, None);
    assert_eq!(stop.all.quiet.ticks, None);
    let holding = PartCount {
        part: "head".to_owned(),
        items: 1,
    };
    assert_eq!(stop.left.holding, [holding]);
    assert_eq!(stop.left.still_moving, ["back", "head"]);
}

#[test]
fn a_clock_makes_quiet_uncertain_until_it_has_gone_round() {
    // A lone item, delivered in tick 0, is pushed on in tick 7 and never moves again.
    let watched = |clock_period_ticks: Option<u32>, run_ticks| {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let lever = lever(&mut builder, "lever");
        let hold = Signal::Hold {
            input: lever,
            hold_ticks: 500,
        };
        builder.add("hold", Part::Signal(hold));
        if let Some(period_ticks) = clock_period_ticks {
            let clock = Signal::Clock {
                period_ticks,
                high_ticks: 1,
                phase_ticks: 0,
            };
            builder.add("clock", Part::Signal(clock));
        }
        let store = chest(&mut builder, "chest", 27);
        let hopper = builder.add("hopper", capped(Some(store), None));
        let network = builder.build().expect("sound");
        let entries = vec![(0, deliver(hopper, barley, 1))];
        run_with(&network, &Declarations::default(), run_ticks, entries).quiet
    };
    let quiet = |is_known| QuietMark {
        ticks: Some(7),
        is_known,
        goods_arrive: false,
    };
    assert_eq!(watched(None, 16), quiet(true));
    // With a clock of 100 ticks beside the hold of 500 and a cooldown of 8, the run must have gone
    // more than 608 ticks without an item event: tick 616 is the 609th, with which 617 are over.
    assert_eq!(watched(Some(100), 616), quiet(false));
    assert_eq!(watched(Some(100), 617), quiet(true));
}
