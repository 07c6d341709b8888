//! Small networks whose limits are worked out by hand from the tick rules.

use hallwright_analysis::limits::{Bound, Certainty, Limits};
use hallwright_core::order::Order;
use hallwright_core::part::{Dropper, Hopper, Intake, Outlet, Part, Signal};
use hallwright_core::timeline::Action;
use hallwright_report::units::Rate;

use crate::support::{Hall, slowest};

/// The bound of the first flow over the whole run.
fn counted(limits: &Limits) -> &Bound {
    limits.flows[0].counted.as_ref().expect("a bound is known")
}

fn steadiest(limits: &Limits) -> &Bound {
    limits.flows[0]
        .steadiest
        .as_ref()
        .expect("a bound is known")
}

/// The ticks from the stop to cleared: measured, and the least.
fn cleared(hall: Hall) -> (Option<u64>, Option<u64>) {
    let (found, limits) = hall.run(Order::Declared, 1000);
    (
        found.stops[0].all.cleared_ticks,
        limits.stops[0].all.cleared_ticks,
    )
}

#[test]
fn a_line_of_hoppers_passes_one_item_in_8_ticks() {
    let mut hall = Hall::new();
    let source = hall.chest("source", 27);
    let store = hall.chest("store", 0);
    hall.line(10, Intake::Above(source), store);
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, 8000);
    // The first hopper pulls in ticks 0, 8, ... 7,992.
    assert_eq!(counted(&limits).items, 1000);
    assert_eq!(slowest(counted(&limits)), ["h[1]"]);
    assert!(found.flows[0].items >= 980, "{}", found.flows[0].items);
    let measured = found.flows[0].steadiest.per_second(20);
    let best = Rate::from(steadiest(&limits)).per_second(20);
    assert!((measured - 2.5).abs() < 0.01, "{measured}");
    assert!(
        measured <= best && measured >= 0.98 * best,
        "{measured} of {best}"
    );
}

#[test]
fn two_lines_that_merge_are_held_by_the_hopper_where_they_meet() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let joint = hall.hopper("joint", Intake::Cap, store);
    for name in ["left", "right"] {
        let source = hall.chest(&format!("{name} source"), 27);
        hall.hopper(name, Intake::Above(source), joint);
    }
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Reversed, 7000);
    // By the rule of arrival it may pass one in 7 ticks: 6,999 / 7 + 1.
    assert_eq!(counted(&limits).items, 1000);
    assert_eq!(slowest(counted(&limits)), ["joint"]);
    assert!(found.flows[0].items >= 870, "{}", found.flows[0].items);
}

#[test]
fn two_lines_in_turn_reach_the_limit_of_the_hopper_where_they_meet() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let joint = hall.hopper("joint", Intake::Cap, store);
    let lines = ["left", "right"].map(|name| hall.hopper(name, Intake::Cap, joint));
    for number in 0..300 {
        hall.deliver(7 * number, lines[number as usize % 2], 1);
    }
    hall.count_into(&[store]);
    // As in tests/outside/minimum_cut.rs: an item every 7 ticks where the joint has its turn first.
    let (found, limits) = hall.run(Order::Declared, 2200);
    let rate = found.flows[0].steadiest;
    assert_eq!(rate.items * 7, rate.ticks);
    assert_eq!(steadiest(&limits).items, rate.items);
}

#[test]
fn a_hopper_gives_up_and_down_no_more_than_it_pulls() {
    let mut hall = Hall::new();
    let source = hall.chest("source", 27);
    let stores = [hall.chest("beside", 0), hall.chest("below", 0)];
    let middle = hall.hopper("middle", Intake::Above(source), stores[0]);
    hall.hopper("under", Intake::Above(middle), stores[1]);
    hall.count_into(&stores);
    let (found, limits) = hall.run(Order::Declared, 4000);
    assert_eq!(counted(&limits).items, 500);
    assert_eq!(slowest(counted(&limits)), ["middle"]);
    assert!(found.flows[0].items >= 490, "{}", found.flows[0].items);
}

#[test]
fn a_hopper_may_push_one_and_be_pulled_from_in_the_same_8_ticks() {
    let mut hall = Hall::new();
    let stores = [hall.chest("beside", 0), hall.chest("below", 0)];
    let middle = hall.hopper("middle", Intake::Cap, stores[0]);
    for slot in 0..5 {
        hall.fill(middle, slot, 64);
    }
    hall.hopper("under", Intake::Above(middle), stores[1]);
    hall.count_into(&stores);
    let (found, limits) = hall.run(Order::Declared, 801);
    // Ticks 0, 8, ... 800 over each of two links: 2 x 101; the lower one pushes a pulled item 8 ticks
    // after it pulled it.
    assert_eq!(counted(&limits).items, 202);
    assert_eq!(slowest(counted(&limits)), ["middle", "under"]);
    assert_eq!(found.flows[0].items, 201);
}

#[test]
fn a_dropper_on_a_slow_clock_is_named_behind_a_stream() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let home = hall.builder.add("home", Part::Mouth);
    let brook = hall.stream(30, home);
    let beat = hall.clock(40);
    let dropper = hall.thrower("thrower", beat, brook);
    for slot in 0..9 {
        hall.fill(dropper, slot, 64);
    }
    hall.hopper("cup", Intake::Mouth(home), store);
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, 8000);
    // One rise in each of 200 periods.
    assert_eq!(counted(&limits).items, 200);
    assert_eq!(slowest(counted(&limits)), ["thrower"]);
    assert!(found.flows[0].items >= 196, "{}", found.flows[0].items);
}

#[test]
fn a_line_that_nothing_feeds_adds_nothing() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let fed = hall.chest("fed", 27);
    hall.chest("unfed", 27);
    hall.line(3, Intake::Above(fed), store);
    // It stands beside its chest, and so pulls nothing.
    hall.hopper("idle", Intake::Cap, store);
    hall.count_into(&[store]);
    let (_, limits) = hall.run(Order::Declared, 8000);
    assert_eq!(counted(&limits).items, 1000);
    assert_eq!(slowest(counted(&limits)), ["h[1]"]);
}

#[test]
fn what_comes_can_be_the_limit() {
    let mut hall = Hall::new();
    let source = hall.chest("source", 0);
    let store = hall.chest("store", 0);
    hall.line(3, Intake::Above(source), store);
    for number in 0..50 {
        hall.deliver(20 * number, source, 1);
    }
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, 2000);
    assert_eq!(counted(&limits).items, 50);
    assert_eq!(slowest(counted(&limits)), Vec::<&str>::new());
    assert_eq!(found.flows[0].items, 50);
}

#[test]
fn a_lone_item_needs_7_ticks_a_hopper() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let line = hall.line(5, Intake::Cap, store);
    hall.fill(line[0], 0, 1);
    hall.stop(0, &line);
    // It leaves the first hopper in tick 0 and four more 7 ticks after it came.
    assert_eq!(cleared(hall), (Some(28), Some(28)));
}

#[test]
fn items_that_all_pass_one_hopper_need_8_ticks_more_each() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let line = hall.line(5, Intake::Cap, store);
    hall.fill(line[0], 0, 20);
    hall.stop(0, &line);
    // The last of 20 leaves the first hopper in tick 8 x 19 = 152, and then needs 28 ticks.
    assert_eq!(cleared(hall), (Some(180), Some(180)));
}

#[test]
fn a_loose_item_has_the_rest_of_the_stream_before_it() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let home = hall.builder.add("home", Part::Mouth);
    let brook = hall.stream(50, home);
    let cup = hall.hopper("cup", Intake::Mouth(home), store);
    hall.deliver(0, brook, 1);
    hall.stop(10, &[brook, home, cup]);
    // It comes to rest and is taken in tick 50. The cup then hands it on: 8 ticks later by the
    // cooldown, of which it counts one in the tick of the offer. The limit knows the age of the stack
    // to a tick, and nothing of what a hopper does with what it took from a mouth.
    assert_eq!(cleared(hall), (Some(47), Some(39)));
}

#[test]
fn a_dropper_behind_an_inverter_fires_as_often_as_its_clock_falls() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let beat = hall.clock(8);
    let off_beat = Signal::Inverter { input: beat };
    let off_beat = hall.builder.add("off beat", Part::Signal(off_beat));
    let dropper = Dropper {
        trigger: Some(off_beat),
        outlet: Outlet::Into(store),
    };
    let dropper = hall.builder.add("hand", Part::Dropper(dropper));
    for slot in 0..9 {
        hall.fill(dropper, slot, 64);
    }
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, 800);
    // The beat falls in ticks 4, 12, … 796; two ticks later the inverter rises, and the dropper fires in
    // ticks 10, 18, … 794. The limit knows that the inverter rises once a period, within 4 ticks of it:
    // from the last of them in one period to the first in the hundredth after it are 797 ticks.
    assert_eq!(found.flows[0].items, 99);
    assert_eq!(counted(&limits).items, 101);
}

#[test]
fn a_signal_under_way_is_waited_for_and_no_limit_looks_at_it() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let permit = Signal::Lever { starts_on: true };
    let permit = hall.builder.add("permit", Part::Signal(permit));
    let shut = Signal::Inverter { input: permit };
    let shut = hall.builder.add("shut", Part::Signal(shut));
    let gate = Hopper {
        target: Some(store),
        intake: Intake::Cap,
        lock: Some(shut),
    };
    let gate = hall.builder.add("gate", Part::Hopper(gate));
    hall.stop(100, &[gate]);
    hall.declared.sections[0].locked = vec![gate];
    hall.declared.stops[0].actions = vec![Action::MoveLever {
        lever: permit,
        on: false,
    }];
    let (found, limits) = hall.run(Order::Declared, 1000);
    // The inverter rises two ticks after the stop. The limit is one of goods, and there are none.
    assert_eq!(found.stops[0].all.safe_to_close_ticks, Some(2));
    assert_eq!(limits.stops[0].all.safe_to_close_ticks, Some(0));
}

#[test]
fn what_a_sieve_keeps_is_not_there_to_be_moved() {
    let run = |is_declared: bool| {
        let mut hall = Hall::new();
        let source = hall.chest("source", 0);
        let store = hall.chest("store", 0);
        // It never opens: its lock is on from the start.
        let shut = Signal::Lever { starts_on: true };
        let shut = hall.builder.add("shut", Part::Signal(shut));
        let sieve = Hopper {
            target: Some(store),
            intake: Intake::Above(source),
            lock: Some(shut),
        };
        let sieve = hall.builder.add("sieve", Part::Hopper(sieve));
        hall.fill(sieve, 0, 41);
        hall.deliver(0, source, 20);
        hall.count_into(&[store]);
        hall.declared.sieves.extend(is_declared.then_some(sieve));
        let (_, limits) = hall.run(Order::Declared, 8000);
        counted(&limits).items
    };
    assert_eq!(run(true), 20);
    assert_eq!(run(false), 61);
}

#[test]
fn a_limit_of_no_time_says_nothing_of_what_took_some() {
    assert_eq!(Certainty::of_mark(Some(0), Some(0)), Certainty::Known);
    assert_eq!(Certainty::of_mark(Some(0), Some(2)), Certainty::Unknown);
    assert_eq!(Certainty::of_mark(Some(0), None), Certainty::Unknown);
    // 110 ticks are a tenth more than 100.
    assert_eq!(Certainty::of_mark(Some(100), Some(110)), Certainty::Known);
    assert_eq!(Certainty::of_mark(Some(100), Some(111)), Certainty::Loose);
    assert_eq!(Certainty::of_mark(Some(100), None), Certainty::Loose);
}

#[test]
fn a_limit_by_the_room_of_parts_is_loose() {
    let mut hall = Hall::new();
    let source = hall.chest("source", 27);
    let between = hall.chest("between", 0);
    let store = hall.chest("store", 0);
    hall.hopper("slow", Intake::Above(source), between);
    for number in 0..2 {
        hall.hopper(&format!("fast[{number}]"), Intake::Above(between), store);
    }
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, 8000);
    // One item in 8 ticks comes; two hoppers could pass twice that, had all waited in between.
    let flow = &found.flows[0];
    let bound = steadiest(&limits);
    assert!(bound.items > flow.steadiest.items * 19 / 10, "{bound:?}");
    assert_eq!(
        bound.certainty_in_part(flow.steadiest.items),
        Certainty::Known,
        "the pace of two hoppers is sure"
    );
    assert_eq!(counted(&limits).certainty(flow.items), Certainty::Known);
    let held_back = Bound {
        limited_by: vec![hallwright_analysis::limits::LimitedBy {
            limiter: hallwright_analysis::limits::Limiter::Room,
            part: None,
        }],
        ..bound.clone()
    };
    assert_eq!(
        held_back.certainty_in_part(flow.steadiest.items),
        Certainty::Loose
    );
    assert_eq!(
        held_back.certainty_in_part(held_back.items),
        Certainty::Known
    );
}
