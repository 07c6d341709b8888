//! Goods that come or go another way than down an open line: no limit is above what they do.

use hallwright_analysis::limits::Bound;
use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::part::{Bench, Dropper, Hopper, Intake, Lift, Outlet, Part, Selector};
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;

use crate::support::{Hall, slowest};

/// The ticks from the stop to cleared: measured, and the least.
fn cleared(hall: Hall) -> (Option<u64>, Option<u64>) {
    let (found, limits) = hall.run(Order::Declared, 1000);
    (
        found.stops[0].all.cleared_ticks,
        limits.stops[0].all.cleared_ticks,
    )
}

/// Two hoppers, each of which pushes into the other; an item goes round in them.
fn ring(hall: &mut Hall) -> [PartId; 2] {
    let ring = ["there", "back"].map(|name| hall.builder.declare(name));
    for (from, to) in [(ring[0], ring[1]), (ring[1], ring[0])] {
        let hopper = Hopper {
            target: Some(to),
            intake: Intake::Cap,
            lock: None,
        };
        hall.builder.define(from, Part::Hopper(hopper));
    }
    hall.fill(ring[0], 0, 1);
    ring
}

/// What the first flow counts in 400 ticks, and the bound of it.
fn flow(hall: Hall) -> (u64, Option<Bound>) {
    let (found, limits) = hall.run(Order::Declared, 400);
    (found.flows[0].items, limits.flows[0].counted.clone())
}

/// A selector of barley that holds an item for so long, behind a hopper with one item.
fn slow_selector(hall: &mut Hall, latency_ticks: u32) -> [PartId; 2] {
    let store = hall.chest("store", 0);
    let selector = Selector {
        latency_ticks,
        interval_ticks: 1,
        holds: 1,
        takes: Predicate::Kinds(vec![hall.barley]),
        match_target: store,
        rest_target: store,
        when_full: None,
        lock: None,
    };
    let selector = Part::Selector(Box::new(selector));
    let selector = hall.builder.add("selector", selector);
    let hopper = hall.hopper("hopper", Intake::Cap, selector);
    hall.fill(hopper, 0, 1);
    [hopper, selector]
}

#[test]
fn what_goes_round_inside_has_no_least_time() {
    let mut hall = Hall::new();
    let ring = ring(&mut hall);
    hall.stop(0, &ring);
    assert_eq!(cleared(hall), (None, None));
}

#[test]
fn what_an_operator_takes_out_of_a_line_does_not_go_down_it() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let line = hall.line(5, Intake::Cap, store);
    hall.fill(line[3], 0, 20);
    hall.withdraw(0, line[3], 20);
    hall.stop(0, &line);
    // One item alone would need 7 ticks to the end, and all of them 8 × 19 more.
    assert_eq!(cleared(hall), (Some(0), Some(0)));
}

#[test]
fn what_an_operator_takes_out_further_on_needs_not_come_to_the_end() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let line = hall.line(2, Intake::Cap, store);
    hall.fill(line[0], 0, 1);
    hall.withdraw(1, line[1], 1);
    hall.stop(0, &line);
    // It comes into the second hopper in tick 0, which would hand it on in tick 7.
    assert_eq!(cleared(hall), (Some(1), Some(0)));
}

#[test]
fn an_item_in_a_selector_has_only_the_rest_of_its_time_there_before_it() {
    let mut hall = Hall::new();
    let line = slow_selector(&mut hall, 50);
    // It comes into the selector in tick 0, and is handed on in tick 50.
    hall.stop(10, &line);
    assert_eq!(cleared(hall), (Some(40), Some(40)));
}

#[test]
fn an_item_on_its_way_to_a_selector_has_the_whole_time_there_before_it() {
    let mut hall = Hall::new();
    let line = slow_selector(&mut hall, 50);
    hall.stop(0, &line);
    assert_eq!(cleared(hall), (Some(50), Some(50)));
}

#[test]
fn an_item_that_is_thrown_has_the_stream_before_it() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let home = hall.builder.add("home", Part::Mouth);
    let brook = hall.stream(30, home);
    let beat = hall.clock(10);
    let dropper = hall.thrower("thrower", beat, brook);
    hall.fill(dropper, 0, 1);
    let cup = hall.hopper("cup", Intake::Mouth(home), store);
    hall.stop(0, &[dropper, brook, home, cup]);
    let (measured, least) = cleared(hall);
    assert!(least >= Some(30), "{least:?}");
    assert!(measured >= least, "{measured:?} of {least:?}");
}

#[test]
fn what_goes_round_through_a_flow_counts_each_time() {
    let mut hall = Hall::new();
    let ring = ring(&mut hall);
    hall.count_into(&ring[1..]);
    let (items, bound) = flow(hall);
    let most = bound.expect("a bound is known").items;
    // There and back takes 7 ticks each way.
    assert!(items >= 400 / 14, "{items}");
    assert!(most >= items, "{items} of {most}");
}

#[test]
fn what_is_delivered_right_into_a_flow_counts() {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    hall.deliver(5, store, 50);
    hall.count_into(&[store]);
    let (items, bound) = flow(hall);
    assert_eq!(items, 50);
    assert_eq!(bound.expect("a bound is known").items, 50);
}

#[test]
fn what_lies_in_a_box_at_the_start_may_come_out_of_it() {
    let mut hall = Hall::new();
    let carton = hall.builder.box_kind("carton");
    let store = hall.chest("store", 0);
    let output = hall.builder.add("output", Part::Mouth);
    let bench = Bench {
        lift: Lift::Empty,
        after_ticks: 0,
        output,
    };
    let bench = hall.builder.add("bench", Part::Bench(bench));
    hall.hopper("opens", Intake::Above(bench), store);
    let inside = Filling {
        slot: 0,
        kind: hall.barley,
        count: 20,
        contents: Vec::new(),
    };
    let packed = Filling {
        slot: 0,
        kind: carton,
        count: 1,
        contents: vec![inside],
    };
    let beat = hall.clock(10);
    let dispenser = Dropper {
        trigger: Some(beat),
        outlet: Outlet::Bench(bench),
    };
    let dispenser = hall.builder.add("dispenser", Part::Dropper(dispenser));
    hall.builder.fill(dispenser, packed);
    hall.count_into(&[store]);
    hall.declared.flows[0].kinds = vec![hall.barley];
    let (items, bound) = flow(hall);
    assert_eq!(items, 20);
    assert_eq!(bound.expect("a bound is known").items, 20);
}

#[test]
fn no_bound_is_known_of_a_stream_whose_mouth_has_another_way_in() {
    let of_stream = |has_side_door: bool| {
        let mut hall = Hall::new();
        let home = hall.builder.add("home", Part::Mouth);
        let brook = hall.stream(30, home);
        let beat = hall.clock(10);
        let doors = [("thrower", brook), ("side door", home)];
        let doors = doors.into_iter().take(if has_side_door { 2 } else { 1 });
        for (name, place) in doors {
            let dropper = hall.thrower(name, beat, place);
            hall.fill(dropper, 0, 64);
        }
        hall.count_into(&[brook]);
        let (_, bound) = flow(hall);
        bound.is_some()
    };
    assert!(of_stream(false));
    assert!(!of_stream(true));
}

#[test]
fn a_bottleneck_is_named_though_more_could_come_to_it_another_way() {
    let mut hall = Hall::new();
    let [full, other] = [hall.chest("full", 27), hall.chest("other", 0)];
    let store = hall.chest("store", 0);
    hall.hopper("out of full", Intake::Above(full), store);
    hall.hopper("out of other", Intake::Above(other), store);
    hall.hopper("across", Intake::Above(other), full);
    hall.deliver(0, other, 1);
    hall.count_into(&[store]);
    let (_, bound) = flow(hall);
    let bound = bound.expect("a bound is known");
    // One in 8 ticks out of the full chest, and the one that comes to the other.
    assert_eq!(bound.items, 400 / 8 + 1);
    assert_eq!(slowest(&bound), ["out of full"]);
}
