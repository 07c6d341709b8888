//! Stops during which something comes again and again: the verdict must not depend on where between
//! two of them the watch ends.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Dropper, Outlet, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Section, Stop};
use hallwright_report::findings::StopFinding;

use crate::support::{capped, chest, deliver, run_with};

fn stop_at(at: u64) -> Vec<Stop> {
    vec![Stop {
        at: Tick(at),
        actions: Vec::new(),
        restart: None,
    }]
}

/// A dropper that a free-running clock of 20 ticks triggers for ever, stopped in tick 0.
fn clocked(run_ticks: u64) -> StopFinding {
    let mut builder = NetworkBuilder::new(Rules::default());
    let clock = Signal::Clock {
        period_ticks: 20,
        high_ticks: 10,
        phase_ticks: 0,
    };
    let clock = builder.add("clock", Part::Signal(clock));
    let store = chest(&mut builder, "chest", 27);
    let dropper = Dropper {
        trigger: Some(clock),
        outlet: Outlet::Into(store),
    };
    builder.add("ticking dropper", Part::Dropper(dropper));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stops: stop_at(0),
        ..Declarations::default()
    };
    run_with(&network, &declarations, run_ticks, Vec::new())
        .into_measured()
        .stops
        .remove(0)
}

#[test]
fn between_two_pulses_of_a_clock_it_is_not_safe_to_close() {
    // Whatever part of the clock's period the watch ends in.
    for run_ticks in 100..120 {
        let stop = clocked(run_ticks);
        assert_eq!(stop.all.safe_to_close_ticks, None, "{run_ticks}");
    }
}

/// One barley every 10 ticks through a hopper into a chest, up to tick `last`, stopped in tick 100.
/// Delivered into an empty hopper, each is on in 7 ticks.
fn arriving(last: u64, run_ticks: u64) -> StopFinding {
    arriving_every(10, last, run_ticks)
}

/// One barley every so many ticks through a hopper into a chest, up to tick `last`, stopped in tick
/// 100.
fn arriving_every(every: usize, last: u64, run_ticks: u64) -> StopFinding {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let store = chest(&mut builder, "chest", 27);
    let hopper = builder.add("hopper", capped(Some(store), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        sections: vec![Section {
            name: "line".to_owned(),
            line: vec![hopper],
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        }],
        stops: stop_at(100),
        ..Declarations::default()
    };
    let times = (0..=last).step_by(every);
    let entries = times.map(|tick| (tick, deliver(hopper, barley, 1)));
    run_with(&network, &declarations, run_ticks, entries.collect())
        .into_measured()
        .stops
        .remove(0)
}

#[test]
fn between_two_arrivals_it_is_not_quiet() {
    for run_ticks in 200..210 {
        let stop = arriving(1_000, run_ticks);
        assert_eq!(stop.all.quiet.ticks, None, "{run_ticks}");
        assert!(!stop.all.quiet.is_known, "{run_ticks}");
    }
}

#[test]
fn after_the_last_arrival_the_marks_come() {
    let stop = arriving(150, 400);
    // The barley of tick 150 leaves the hopper in tick 157.
    assert_eq!(stop.all.cleared_ticks, Some(57));
    assert_eq!(stop.all.safe_to_close_ticks, Some(57));
    assert_eq!(stop.all.quiet.ticks, Some(57));
    assert!(stop.all.quiet.is_known);
}

#[test]
fn a_line_that_is_empty_between_two_deliveries_is_not_cleared() {
    // Every 50 ticks one barley, in the hopper for 7: from tick 357 to tick 400 nothing is there.
    for run_ticks in 351..401 {
        let stop = arriving_every(50, 1_000, run_ticks);
        assert_eq!(stop.all.cleared_ticks, None, "{run_ticks}");
        assert_eq!(stop.sections[0].marks.cleared_ticks, None, "{run_ticks}");
    }
    // The last comes in tick 350, and 50 ticks later none has come: it is cleared since tick 357.
    let stop = arriving_every(50, 350, 401);
    assert_eq!(stop.all.cleared_ticks, Some(257));
}

#[test]
fn a_hall_that_rests_between_two_deliveries_is_not_quiet() {
    // Every 50 ticks one barley, which is at rest 7 ticks later: from tick 357 on nothing moves, and no
    // cooldown is left from tick 365 on; but another is to be expected in tick 400.
    for run_ticks in 370..401 {
        let quiet = arriving_every(50, 1_000, run_ticks).all.quiet;
        assert_eq!((quiet.ticks, quiet.is_known), (None, false), "{run_ticks}");
    }
    // None came: nothing has moved since tick 357, and nothing is left that could.
    let quiet = arriving_every(50, 350, 401).all.quiet;
    assert_eq!((quiet.ticks, quiet.is_known), (Some(257), true));
    // With nothing more to come, that is known whatever has passed.
    let quiet = arriving_every(50, 350, 370).all.quiet;
    assert_eq!((quiet.ticks, quiet.is_known), (Some(257), true));
}
