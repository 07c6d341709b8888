//! Servers in tandem against queueing theory.
//!
//! Where each server takes a constant time for each item, has ample room and serves first come first
//! served, item `j` leaves at `D_j = max(A_j + sum of the times, D_(j-1) + the longest time)`,
//! whatever the order of the servers: Henry D. Friedman, Reduction Methods for Tandem Queuing Systems,
//! Operations Research 13(1), 1965, pages 121 to 131.
//!
//! **Selectors** of latency and interval `d >= 1` are such servers, to the tick and in any update
//! order. An item delivered in phase 1 of tick `A`, or handed over in phase 4, is accepted in that
//! tick and ready `d` ticks later at the soonest, so that a turn of the next selector that is still
//! to come in the tick finds it no readier than one that is past: handing over costs 0 ticks. Items
//! are ready `d` ticks apart at least, so that "one item a turn" never makes one wait.
//!
//! **Hoppers that push** follow `D_j = max(A_j + 7 n, D_(j-1) + 8)` for a line of `n`. The head: an
//! item that is delivered in phase 1 into the empty head sets its cooldown to 8, which counts down in
//! that tick already, so it leaves at `A + 7`. An item that finds another one in the head, or comes in
//! the tick in which that one leaves (phase 1 is before phase 4), leaves 8 ticks after it. An item that
//! comes 1 to 7 ticks after the other left would leave at `A + 7`, which is 8 ticks or more after it.
//! The other hoppers: items come 8 ticks apart at least, so each one finds an empty hopper and leaves
//! 7 ticks later, in any update order. It is exact as long as the head has room for every delivery.
//! (Worked out here; the formula is Friedman's with 7 ticks to pass and 8 ticks between items.)

use hallwright_reference::Fault;
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::runs::Runner;
use crate::stages::{Stage, Tandem, draw_arrivals};

const TANDEMS: u64 = 200;
const ITEMS: usize = 120;

/// When each item leaves by the formula: `pass_ticks` after it came at the soonest, and `gap_ticks`
/// after the item before it.
fn formula(arrival_ticks: &[u64], pass_ticks: u64, gap_ticks: u64) -> Vec<u64> {
    let mut soonest = 0;
    let departures = arrival_ticks.iter().map(|arrival| {
        let departure = soonest.max(arrival + pass_ticks);
        soonest = departure + gap_ticks;
        departure
    });
    departures.collect()
}

fn service_ticks(stage: &Stage) -> u64 {
    match stage {
        Stage::Selector { service_ticks } => u64::from(*service_ticks),
        Stage::PullingHopper | Stage::PushingHopper => unreachable!("only selectors here"),
    }
}

fn formula_for_selectors(tandem: &Tandem) -> Vec<u64> {
    let times = || tandem.stages.iter().map(service_ticks);
    let longest = times().max().unwrap_or(0);
    formula(&tandem.arrival_ticks, times().sum(), longest)
}

fn formula_for_pushing(tandem: &Tandem) -> Vec<u64> {
    let pass_ticks = 7 * tandem.stages.len() as u64;
    formula(&tandem.arrival_ticks, pass_ticks, 8)
}

/// One to six selectors of 1 to 12 ticks.
fn selectors(seed: u64) -> Tandem {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let stages = (0..random.random_range(1..=6)).map(|_| Stage::Selector {
        service_ticks: random.random_range(1..=12),
    });
    let stages = stages.collect();
    let mean_gap_ticks = random.random_range(4..=16);
    let arrivals = draw_arrivals(ITEMS, mean_gap_ticks, &mut random);
    Tandem::draw(stages, arrivals, &mut random)
}

/// One to twelve hoppers that push.
fn pushing_hoppers(seed: u64) -> Tandem {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let stages = vec![Stage::PushingHopper; random.random_range(1..=12)];
    let mean_gap_ticks = random.random_range(6..=12);
    let arrivals = draw_arrivals(ITEMS, mean_gap_ticks, &mut random);
    Tandem::draw(stages, arrivals, &mut random)
}

#[test]
fn the_formula_gives_the_values_worked_out_by_hand() {
    // Servers of 3 and 5 ticks. The first item passes in 8; the second, one tick later, is through the
    // first server at 6 and through the second at 8 + 5; the third finds all idle.
    assert_eq!(formula(&[0, 1, 30], 8, 5), [8, 13, 38]);
}

#[test]
fn selectors_in_tandem_let_items_go_when_the_formula_says() {
    for seed in 0..TANDEMS {
        let tandem = selectors(seed);
        let expected = formula_for_selectors(&tandem);
        let departures = tandem.departure_ticks(Runner::Core);
        assert_eq!(departures, expected, "seed {seed}: {tandem:?}");
    }
}

#[test]
fn the_order_of_the_selectors_is_all_one() {
    for seed in 0..TANDEMS {
        let tandem = selectors(seed);
        let mut other = tandem.clone();
        other
            .stages
            .shuffle(&mut ChaCha8Rng::seed_from_u64(seed + 1));
        assert_eq!(
            tandem.departure_ticks(Runner::Core),
            other.departure_ticks(Runner::Core),
            "seed {seed}: {:?} and {:?}",
            tandem.stages,
            other.stages
        );
    }
}

#[test]
fn a_selector_one_tick_slower_is_noticed() {
    for seed in 0..TANDEMS {
        let tandem = selectors(seed);
        let mut slower = tandem.clone();
        let place = seed as usize % slower.stages.len();
        if let Stage::Selector { service_ticks } = &mut slower.stages[place] {
            *service_ticks += 1;
        }
        let departures = slower.departure_ticks(Runner::Core);
        assert_ne!(departures, formula_for_selectors(&tandem), "seed {seed}");
    }
}

#[test]
fn hoppers_that_push_let_items_go_when_the_formula_says() {
    for seed in 0..TANDEMS {
        let tandem = pushing_hoppers(seed);
        let expected = formula_for_pushing(&tandem);
        let departures = tandem.departure_ticks(Runner::Core);
        assert_eq!(departures, expected, "seed {seed}: {tandem:?}");
    }
}

#[test]
fn one_hopper_more_is_noticed() {
    for seed in 0..TANDEMS {
        let tandem = pushing_hoppers(seed);
        let mut longer = tandem.clone();
        longer.stages.push(Stage::PushingHopper);
        longer.turns.push(tandem.stages.len());
        let departures = longer.departure_ticks(Runner::Core);
        assert_ne!(departures, formula_for_pushing(&tandem), "seed {seed}");
    }
}

#[test]
fn broken_rules_are_noticed() {
    let selector_faults = [
        Fault::SelectorLatencyOneLong,
        Fault::SelectorIntervalIgnored,
    ];
    for fault in selector_faults {
        let differs = |tandem: Tandem| {
            tandem.departure_ticks(Runner::Broken(fault)) != formula_for_selectors(&tandem)
        };
        assert!((0..5).map(selectors).any(differs), "{fault}");
    }
    let hopper_faults = [
        Fault::CooldownOneShort,
        Fault::ArrivalNeverShort,
        Fault::ArrivalAlwaysShort,
        Fault::ArrivalInAnyHopper,
        Fault::DeliveryIsNoArrival,
    ];
    for fault in hopper_faults {
        let differs = |tandem: Tandem| {
            tandem.departure_ticks(Runner::Broken(fault)) != formula_for_pushing(&tandem)
        };
        assert!((0..5).map(pushing_hoppers).any(differs), "{fault}");
    }
}
