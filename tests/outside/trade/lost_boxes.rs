//! Boxes that wait at the mouth of a locked hopper despawn; behind a buffer chest they do not (common
//! practice, no source; that they do after 6,000 ticks too).

use hallwright_core::event::{Event, Moment};
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_reference::Fault;

use crate::runs::{Runner, events, ticks_of_moves_into};

const BOXES: u32 = 10;
/// A stack ages in the tick in which it came loose already: by the end of tick 5,999 it is 6,000 old.
const DESPAWN_TICK: u64 = 5999;
/// Long after the boxes would despawn.
const LATE_UNLOCK_TICK: u64 = 7000;
const LENGTH_TICKS: u64 = 8000;

/// What became of the boxes.
#[derive(PartialEq, Eq, Debug)]
struct Fate {
    /// The tick of each loss.
    lost_ticks: Vec<u64>,
    stored: usize,
}

/// Ten boxes come at a mouth at tick 0. A locked hopper stands between it and the store until the lock
/// goes off; with a buffer, another hopper that is never locked puts them into a chest above it first.
fn network(with_buffer: bool, unlock_tick: u64) -> (Network, Setup, PartId) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let grain_box = builder.box_kind("grain box");
    let mouth = builder.add("mouth", Part::Mouth);
    let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: true }));
    let store = builder.add("store", Part::Container(Container { slots: 27 }));
    let intake = if with_buffer {
        let buffer = builder.add("buffer", Part::Container(Container { slots: 27 }));
        let collector = Hopper {
            target: Some(buffer),
            intake: Intake::Mouth(mouth),
            lock: None,
        };
        builder.add("collector", Part::Hopper(collector));
        Intake::Above(buffer)
    } else {
        Intake::Mouth(mouth)
    };
    let gate = Hopper {
        target: Some(store),
        intake,
        lock: Some(lever),
    };
    builder.add("gate", Part::Hopper(gate));
    let delivery = Action::Deliver {
        place: mouth,
        kind: grain_box,
        count: BOXES,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    let unlock = Action::MoveLever { lever, on: false };
    let setup = Setup {
        seed: 0,
        orders: Orders::default(),
        timeline: Timeline::new(vec![(Tick(0), delivery), (Tick(unlock_tick), unlock)]),
    };
    let network = builder.build().expect("a gate at a mouth is sound");
    (network, setup, store)
}

fn fate(with_buffer: bool, unlock_tick: u64, runner: Runner) -> Fate {
    let (network, setup, store) = network(with_buffer, unlock_tick);
    let events = events(&network, &setup, LENGTH_TICKS, runner);
    let lost = |(moment, event): &(Moment, Event)| match event {
        Event::Lost { .. } => Some(moment.tick.0),
        _ => None,
    };
    Fate {
        lost_ticks: events.iter().filter_map(lost).collect(),
        stored: ticks_of_moves_into(store, &events).len(),
    }
}

fn all_lost() -> Fate {
    Fate {
        lost_ticks: vec![DESPAWN_TICK; BOXES as usize],
        stored: 0,
    }
}

#[test]
fn without_a_buffer_every_box_is_lost_at_6000_ticks() {
    assert_eq!(fate(false, LATE_UNLOCK_TICK, Runner::Core), all_lost());
}

#[test]
fn with_a_buffer_no_box_is_lost() {
    let all_stored = Fate {
        lost_ticks: Vec::new(),
        stored: BOXES as usize,
    };
    assert_eq!(fate(true, LATE_UNLOCK_TICK, Runner::Core), all_stored);
}

#[test]
fn an_unlock_nine_ticks_before_the_loss_saves_two_boxes() {
    // The gate collects one in phase 3 of tick 5,990 and, 7 ticks later, a second; it would act again
    // at 6,005.
    let two_stored = Fate {
        lost_ticks: vec![DESPAWN_TICK; BOXES as usize - 2],
        stored: 2,
    };
    assert_eq!(fate(false, DESPAWN_TICK - 9, Runner::Core), two_stored);
    // In the tick of the loss itself it is too late.
    assert_eq!(fate(false, DESPAWN_TICK, Runner::Core), all_lost());
}

#[test]
fn broken_rules_are_noticed() {
    for fault in [Fault::DespawnOneLate, Fault::LockIgnored] {
        let broken = Runner::Broken(fault);
        assert_ne!(fate(false, LATE_UNLOCK_TICK, broken), all_lost(), "{fault}");
    }
}
