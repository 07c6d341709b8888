//! How often a dropper fires at most, by what triggers it.

use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::part::{Dropper, Outlet, Part, Signal, Watched};

use crate::support::Hall;

/// So long each runs: a few ticks beyond a whole number of periods, where a tick of slack shows.
const RUN_TICKS: u64 = 811;

/// A clock of 40 ticks, on for so many of them.
fn clock(hall: &mut Hall, high_ticks: u32) -> PartId {
    let clock = Signal::Clock {
        period_ticks: 40,
        high_ticks,
        phase_ticks: 0,
    };
    hall.builder.add("clock", Part::Signal(clock))
}

fn lever(hall: &mut Hall) -> PartId {
    let lever = Signal::Lever { starts_on: false };
    hall.builder.add("lever", Part::Signal(lever))
}

/// The most items that a dropper with this trigger can hand on. A run, which hands on no more, is made too.
fn most(trigger: impl FnOnce(&mut Hall) -> Signal) -> u64 {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let trigger = trigger(&mut hall);
    let trigger = hall.builder.add("trigger", Part::Signal(trigger));
    let dropper = Dropper {
        trigger: Some(trigger),
        outlet: Outlet::Into(store),
    };
    let dropper = hall.builder.add("dropper", Part::Dropper(dropper));
    for slot in 0..9 {
        hall.fill(dropper, slot, 64);
    }
    hall.count_into(&[store]);
    let (found, limits) = hall.run(Order::Declared, RUN_TICKS);
    let bound = limits.flows[0].counted.as_ref().expect("a bound is known");
    assert!(found.flows[0].items <= bound.items);
    bound.items
}

/// As often as something can happen in the run that happens every so many ticks.
fn every(ticks: u64) -> u64 {
    (RUN_TICKS - 1) / ticks + 1
}

#[test]
fn a_dropper_that_anything_may_trigger_fires_every_4_ticks() {
    assert_eq!(most(|_| Signal::Lever { starts_on: false }), every(4));
    // A wire that hears two signals may rise whenever one of them does, and so may one that loses levels.
    let wire = |hall: &mut Hall| Signal::Wire {
        inputs: vec![(clock(hall, 20), 0), (lever(hall), 0)],
    };
    assert_eq!(most(wire), every(4));
    let late = |hall: &mut Hall| {
        let input = clock(hall, 20);
        let delay = Signal::DelayLine {
            input,
            delay_ticks: 3,
        };
        let delay = hall.builder.add("late", Part::Signal(delay));
        Signal::Wire {
            inputs: vec![(delay, 0)],
        }
    };
    assert_eq!(most(late), every(4));
}

#[test]
fn a_dropper_fires_no_more_often_than_what_triggers_it_can_rise() {
    assert_eq!(most(|_| Signal::Button { hold_ticks: 20 }), every(20));
    let wire = |hall: &mut Hall| Signal::Wire {
        inputs: vec![(clock(hall, 20), 0)],
    };
    assert_eq!(most(wire), every(40));
    let toggle = |hall: &mut Hall| Signal::Toggle {
        input: clock(hall, 20),
    };
    assert_eq!(most(toggle), every(80));
    // A repeater falls and rises again with its delay each time.
    let repeater = |hall: &mut Hall| Signal::Repeater {
        input: lever(hall),
        delay_ticks: 4,
        lock: None,
    };
    assert_eq!(most(repeater), every(8));
    let observer = |hall: &mut Hall| Signal::Observer {
        watches: Watched::Signal(lever(hall)),
    };
    assert_eq!(most(observer), every(4));
}

#[test]
fn a_clock_that_never_changes_triggers_nothing() {
    let clock = |high_ticks| Signal::Clock {
        period_ticks: 40,
        high_ticks,
        phase_ticks: 0,
    };
    assert_eq!(most(|_| clock(0)), 0);
    assert_eq!(most(|_| clock(40)), 0);
    assert_eq!(most(|_| clock(1)), every(40));
    // What hears such a clock is not held up by it.
    let both = |hall: &mut Hall| Signal::AllOf {
        inputs: vec![self::clock(hall, 40), lever(hall)],
    };
    assert_eq!(most(both), every(4));
}

#[test]
fn what_is_on_only_beside_a_clock_rises_some_times_in_each_of_its_periods() {
    // The clock is off for 30 of 40 ticks: 21 such times begin or go on, with 1 + 29 / 4 rises in each.
    let inverter = |hall: &mut Hall| Signal::Inverter {
        input: clock(hall, 10),
    };
    assert_eq!(most(inverter), 21 * 8);
    let neither = |hall: &mut Hall| Signal::NoneOf {
        inputs: vec![lever(hall), clock(hall, 10)],
    };
    assert_eq!(most(neither), 21 * 8);
    // It is on for 10 of them: 1 + 9 / 4 rises in each.
    let both = |hall: &mut Hall| Signal::AllOf {
        inputs: vec![lever(hall), clock(hall, 10)],
    };
    assert_eq!(most(both), 21 * 3);
}
