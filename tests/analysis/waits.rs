//! How long parts wait, and how much fits where a hand fills.

use hallwright_analysis::certainty::{certainty_ticks, longest_beat_ticks};
use hallwright_analysis::incoming::most_to_fill;
use hallwright_analysis::standstill::{Standstill, is_counting};
use hallwright_core::engine::Engine;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{
    Bench, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Shuttle, Signal, Watched,
};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;

use crate::support::Draft;

/// A hopper's cooldown, which counts once.
const COOLDOWN_TICKS: u64 = 8;

#[test]
fn every_wait_of_a_network_counts_towards_its_certainty() {
    let waits = |add: fn(&mut Draft)| {
        let mut draft = Draft::new();
        add(&mut draft);
        certainty_ticks(&draft.done()) - COOLDOWN_TICKS
    };
    let hoppers_and_levers = |draft: &mut Draft| {
        let chest = draft.chest("chest");
        draft.below("hopper", chest, None);
        draft.signal("lever", Signal::Lever { starts_on: false });
    };
    assert_eq!(waits(hoppers_and_levers), 0);
    let dropper = |draft: &mut Draft| {
        let chest = draft.chest("chest");
        let dropper = Dropper {
            trigger: None,
            outlet: Outlet::Into(chest),
        };
        draft.builder.add("dropper", Part::Dropper(dropper));
    };
    assert_eq!(waits(dropper), 4);
    // The condition must have held for 5 ticks more than the one in which it came true.
    let bench = |draft: &mut Draft| {
        let output = draft.builder.add("mouth", Part::Mouth);
        let bench = Bench {
            lift: Lift::Full,
            after_ticks: 5,
            output,
        };
        draft.builder.add("bench", Part::Bench(bench));
    };
    assert_eq!(waits(bench), 6);
    let shuttle = |draft: &mut Draft| {
        let dock = draft.builder.add("dock", Part::Dock);
        let stop = |travel_ticks| Leg {
            dock,
            travel_ticks,
            dwell_ticks: 3,
            release: None,
        };
        let shuttle = Shuttle {
            slots: 27,
            stops: vec![stop(100), stop(20)],
        };
        draft
            .builder
            .add("shuttle", Part::Shuttle(Box::new(shuttle)));
    };
    assert_eq!(waits(shuttle), 100 + 3 + 20 + 3);
    // An observer waits for its delay, then for its pulse; an inverter for its delay.
    let signals = |draft: &mut Draft| {
        let button = draft.signal("button", Signal::Button { hold_ticks: 30 });
        let watches = Watched::Signal(button);
        draft.signal("observer", Signal::Observer { watches });
        draft.signal("inverter", Signal::Inverter { input: button });
    };
    assert_eq!(waits(signals), 30 + 2 + 2 + 2);
    let long_pulses = Rules {
        observer_pulse_ticks: 7,
        ..Rules::default()
    };
    let mut builder = NetworkBuilder::new(long_pulses);
    let lever = Signal::Lever { starts_on: false };
    let lever = builder.add("lever", Part::Signal(lever));
    let watches = Watched::Signal(lever);
    builder.add("observer", Part::Signal(Signal::Observer { watches }));
    let network = builder.build().expect("it is sound");
    assert_eq!(certainty_ticks(&network), 2 + 7 + COOLDOWN_TICKS);
}

/// A network of clocks with these periods.
fn clocks(periods: &[u32]) -> Draft {
    let mut draft = Draft::new();
    for period_ticks in periods {
        let clock = Signal::Clock {
            period_ticks: *period_ticks,
            high_ticks: 1,
            phase_ticks: 0,
        };
        draft.signal(&format!("clock of {period_ticks}"), clock);
    }
    draft
}

#[test]
fn the_longest_beat_is_that_of_the_slowest_clock_and_a_cooldown_at_least() {
    let longest = |periods: &[u32]| longest_beat_ticks(&clocks(periods).done());
    assert_eq!(longest(&[]), COOLDOWN_TICKS);
    assert_eq!(longest(&[4]), COOLDOWN_TICKS);
    assert_eq!(longest(&[20, 50, 30]), 50);
}

#[test]
fn the_work_of_a_standstill_is_the_same_over_each_round_of_all_clocks() {
    let window = |draft: Draft| Standstill::new(&draft.done()).window_ticks();
    assert_eq!(window(clocks(&[])), 1);
    assert_eq!(window(clocks(&[8, 20])), 40);
    // What items do is no matter of the clocks.
    let mut with_ring = clocks(&[8, 20]);
    let there = with_ring.builder.declare("there");
    let back = with_ring.hopper("back", Intake::Cap, Some(there), None);
    let hopper = Hopper {
        target: Some(back),
        intake: Intake::Cap,
        lock: None,
    };
    with_ring.builder.define(there, Part::Hopper(hopper));
    assert_eq!(window(with_ring), 40);
    // A toggle that an operator moves stands still; one that a clock moves takes two of its rounds, which are not
    // looked for.
    let toggle = |moves: Signal| {
        let mut draft = clocks(&[8, 20]);
        let input = draft.signal("input", moves);
        draft.signal("toggle", Signal::Toggle { input });
        window(draft)
    };
    assert_eq!(toggle(Signal::Lever { starts_on: false }), 40);
    let clock = Signal::Clock {
        period_ticks: 10,
        high_ticks: 5,
        phase_ticks: 0,
    };
    assert_eq!(toggle(clock), 20);
}

#[test]
fn a_bench_counts_to_lifting_a_box_once_every_slot_of_it_is_full() {
    let is_counted = |last: u8| {
        let mut draft = Draft::new();
        let barley = draft.barley;
        let carton = draft.builder.box_kind("carton");
        let output = draft.builder.add("mouth", Part::Mouth);
        let bench = Bench {
            lift: Lift::Full,
            after_ticks: 1_000,
            output,
        };
        let bench = draft.builder.add("bench", Part::Bench(bench));
        let clock = Signal::Clock {
            period_ticks: 20,
            high_ticks: 10,
            phase_ticks: 0,
        };
        let clock = draft.signal("clock", clock);
        let dispenser = Dropper {
            trigger: Some(clock),
            outlet: Outlet::Bench(bench),
        };
        let dispenser = draft.builder.add("dispenser", Part::Dropper(dispenser));
        let inside = |slot| Filling {
            slot,
            kind: barley,
            count: if slot == 26 { last } else { 64 },
            contents: Vec::new(),
        };
        let packed = Filling {
            slot: 0,
            kind: carton,
            count: 1,
            contents: (0..27).map(inside).collect(),
        };
        draft.builder.fill(dispenser, packed);
        let network = draft.done();
        let setup = Setup::default();
        let mut engine = Engine::new(&network, &setup);
        // It is set down after the first rise of the clock.
        engine.run_unwatched(Tick(60));
        is_counting(bench, &engine.view())
    };
    assert!(is_counted(64));
    assert!(!is_counted(63));
}

#[test]
fn what_a_shuttle_carries_is_on_its_way_until_it_docks() {
    let is_aboard = |is_loaded: bool, tick: u64| {
        let mut draft = Draft::new();
        let dock = draft.builder.add("dock", Part::Dock);
        let round = Leg {
            dock,
            travel_ticks: 100,
            dwell_ticks: 20,
            release: None,
        };
        let barge = Shuttle {
            slots: 27,
            stops: vec![round],
        };
        let barge = draft.builder.add("barge", Part::Shuttle(Box::new(barge)));
        if is_loaded {
            let filling = Filling {
                slot: 0,
                kind: draft.barley,
                count: 1,
                contents: Vec::new(),
            };
            draft.builder.fill(barge, filling);
        }
        let network = draft.done();
        let setup = Setup::default();
        let mut engine = Engine::new(&network, &setup);
        engine.run_unwatched(Tick(tick));
        let standstill = Standstill::new(&network);
        standstill.aboard(&engine.view()).next().is_some()
    };
    // It departs in tick 20 and is back in tick 120.
    assert!(!is_aboard(true, 10));
    assert!(is_aboard(true, 60));
    assert!(!is_aboard(false, 60));
    assert!(!is_aboard(true, 130));
}

#[test]
fn a_hand_fills_every_slot_and_at_a_dock_those_of_the_largest_shuttle() {
    let mut draft = Draft::new();
    let chest = draft.chest("chest");
    let hopper = draft.below("hopper", chest, None);
    let mouth = draft.builder.add("mouth", Part::Mouth);
    let bench = draft.bench("bench", mouth);
    let docks = ["here", "there"].map(|name| draft.builder.add(name, Part::Dock));
    for (dock, slots) in docks.into_iter().zip([5, 27]) {
        let stop = Leg {
            dock,
            travel_ticks: 10,
            dwell_ticks: 0,
            release: None,
        };
        let shuttle = Shuttle {
            slots,
            stops: vec![stop],
        };
        let shuttle = Part::Shuttle(Box::new(shuttle));
        draft.builder.add(&format!("shuttle of {slots}"), shuttle);
    }
    let barley = draft.barley;
    let network = draft.done();
    let most = |place| most_to_fill(&network, place, barley);
    assert_eq!(most(chest), 27 * 64);
    assert_eq!(most(hopper), 5 * 64);
    assert_eq!(most(bench), 27 * 64);
    assert_eq!(docks.map(most), [27 * 64, 27 * 64]);
    assert_eq!(most(mouth), 0);
}
