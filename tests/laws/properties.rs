//! Laws of random networks, checked on the fast engine alone.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Trace};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_swarm::blueprint::Blueprint;
use hallwright_swarm::generate::generate;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// Draws one and the same networks in every run, so that a failure can be repeated.
fn configuration() -> ProptestConfig {
    ProptestConfig {
        cases: 128,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(1),
        ..ProptestConfig::default()
    }
}

fn drawn(seed: u64) -> (Blueprint, Network, Setup) {
    let blueprint = generate(seed);
    let (network, setup) = blueprint.build().expect("every drawn network is sound");
    (blueprint, network, setup)
}

/// Every event of a run and the digest after each tick.
fn stepped(
    network: &Network,
    setup: &Setup,
    length_ticks: u64,
) -> (Vec<(Moment, Event)>, Vec<u64>) {
    let mut engine = Engine::new(network, setup);
    let mut trace = Trace::default();
    let digests = (0..length_ticks)
        .map(|_| {
            engine.step(&mut trace);
            engine.view().digest()
        })
        .collect();
    (trace.events, digests)
}

proptest! {
    #![proptest_config(configuration())]

    #[test]
    fn no_item_comes_from_nowhere_or_goes_nowhere(seed: u64) {
        let (blueprint, network, setup) = drawn(seed);
        let mut engine = Engine::new(&network, &setup);
        for _ in 0..blueprint.length_ticks {
            engine.step(&mut ());
            prop_assert_eq!(engine.check_conservation(), Ok(()));
        }
    }

    #[test]
    fn renaming_parts_changes_nothing_but_names(seed: u64) {
        let (blueprint, network, setup) = drawn(seed);
        let (other_network, other_setup) = blueprint.renamed().build().expect("names are free");
        let length_ticks = blueprint.length_ticks;
        let run = stepped(&network, &setup, length_ticks);
        prop_assert_eq!(run, stepped(&other_network, &other_setup, length_ticks));
    }

    #[test]
    fn a_run_in_two_halves_is_the_whole_run(seed: u64, half: prop::sample::Index) {
        let (blueprint, network, setup) = drawn(seed);
        let (events, digests) = stepped(&network, &setup, blueprint.length_ticks);
        let middle = half.index(digests.len()) as u64;
        let end = Tick(blueprint.length_ticks);
        let mut trace = Trace::default();
        let mut first = Engine::new(&network, &setup);
        first.run_until(Tick(middle), &mut trace);
        let saved = first.save();
        let mut second = Engine::resume(&network, &setup, &saved);
        prop_assert_eq!(second.tick(), Tick(middle));
        second.run_until(end, &mut trace);
        prop_assert_eq!(trace.events, events);
        prop_assert_eq!(Some(&second.view().digest()), digests.last());
        // The first engine is none the worse for having been saved.
        first.run_until(end, &mut ());
        prop_assert_eq!(first.save(), second.save());
    }

    #[test]
    fn watching_a_run_changes_nothing(seed: u64) {
        let (blueprint, network, setup) = drawn(seed);
        let mut watched = Engine::new(&network, &setup);
        let mut unwatched = Engine::new(&network, &setup);
        let mut observers = (Trace::default(), Trace::default());
        for _ in 0..blueprint.length_ticks {
            watched.step(&mut observers);
            unwatched.step(&mut ());
            prop_assert_eq!(watched.save(), unwatched.save());
        }
        prop_assert_eq!(observers.0.events, observers.1.events);
    }

    #[test]
    fn leaping_gives_what_stepping_gives(seed: u64, strides in prop::collection::vec(1_u64..60, 1..20)) {
        let (blueprint, network, setup) = drawn(seed);
        let (events, digests) = stepped(&network, &setup, blueprint.length_ticks);
        let mut engine = Engine::new(&network, &setup);
        let mut trace = Trace::default();
        for stride in strides {
            let until = blueprint.length_ticks.min(engine.tick().0 + stride);
            engine.run_until(Tick(until), &mut trace);
            let over = usize::try_from(until).expect("runs are short");
            prop_assert_eq!(Some(&engine.view().digest()), digests.get(over - 1));
        }
        engine.run_until(Tick(blueprint.length_ticks), &mut trace);
        prop_assert_eq!(trace.events, events);
    }
}
