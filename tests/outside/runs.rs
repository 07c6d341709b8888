//! Runs of one network in either engine, and what the checks read from them.
//!
//! The checks judge the core engine. The reference engine with a broken rule is what shows that a
//! check can fail.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Trace};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_reference::{Fault, ReferenceEngine};

/// Who runs a network.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Runner {
    /// The core engine.
    Core,
    /// The reference engine with one rule broken.
    Broken(Fault),
}

/// All that happens in the first `length_ticks` ticks.
pub(crate) fn events(
    network: &Network,
    setup: &Setup,
    length_ticks: u64,
    runner: Runner,
) -> Vec<(Moment, Event)> {
    match runner {
        Runner::Core => {
            let mut trace = Trace::default();
            Engine::new(network, setup).run_until(Tick(length_ticks), &mut trace);
            trace.events
        }
        Runner::Broken(fault) => {
            let mut engine = ReferenceEngine::with_fault(network, setup, Some(fault));
            (0..length_ticks).flat_map(|_| engine.step()).collect()
        }
    }
}

/// The tick of each item's move into a part, in order.
pub(crate) fn ticks_of_moves_into(part: PartId, events: &[(Moment, Event)]) -> Vec<u64> {
    let arrives = |event: &Event| matches!(event, Event::ItemMoved { to, .. } if *to == part);
    let moves = events.iter().filter(|(_, event)| arrives(event));
    moves.map(|(moment, _)| moment.tick.0).collect()
}

/// How many items of all deliveries fitted.
pub(crate) fn delivered(events: &[(Moment, Event)]) -> usize {
    let counts = events.iter().map(|(_, event)| match event {
        Event::Delivered { count, .. } => *count as usize,
        _ => 0,
    });
    counts.sum()
}

/// The work that these hoppers have done together after so many ticks, in work units.
pub(crate) fn work_units(
    network: &Network,
    hoppers: &[PartId],
    length_ticks: u64,
    runner: Runner,
) -> u64 {
    let setup = Setup::default();
    match runner {
        Runner::Core => {
            let mut engine = Engine::new(network, &setup);
            engine.run_until(Tick(length_ticks), &mut ());
            let view = engine.view();
            hoppers.iter().map(|hopper| view.work_units(*hopper)).sum()
        }
        Runner::Broken(fault) => {
            let mut engine = ReferenceEngine::with_fault(network, &setup, Some(fault));
            for _ in 0..length_ticks {
                engine.step();
            }
            hoppers
                .iter()
                .map(|hopper| engine.work_units(*hopper))
                .sum()
        }
    }
}
