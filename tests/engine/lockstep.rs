//! Two runs side by side, tick by tick: the same events, work and digest, or the first difference.

use std::fmt;

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Trace};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_reference::{Fault, ReferenceEngine};
use serde_json::Value;

use crate::outcome::in_words;
use crate::trace_case::read_case;
use crate::worked_traces::{all_cases, first_difference};

/// The first tick in which two runs differ, and how.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Divergence {
    pub(crate) tick: Tick,
    pub(crate) difference: String,
}

impl fmt::Display for Divergence {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "tick {}: {}", self.tick, self.difference)
    }
}

/// What a tick came to.
struct Tally {
    events: Vec<(Moment, Event)>,
    digest: u64,
}

/// The first tick in which the engine and the reference, whole or with a fault, differ.
pub(crate) fn first_divergence(
    network: &Network,
    setup: &Setup,
    ticks: u64,
    fault: Option<Fault>,
) -> Option<Divergence> {
    let mut engine = Engine::new(network, setup);
    let engine_step = || {
        let mut trace = Trace::default();
        engine.step(&mut trace);
        Tally {
            events: trace.events,
            digest: engine.view().digest(),
        }
    };
    let mut reference = ReferenceEngine::with_fault(network, setup, fault);
    let reference_step = || Tally {
        events: reference.step(),
        digest: reference.digest(),
    };
    compare(network, ticks, reference_step, engine_step)
}

/// The first tick in which two runs differ, given a step of each.
fn compare(
    network: &Network,
    ticks: u64,
    mut expected_step: impl FnMut() -> Tally,
    mut found_step: impl FnMut() -> Tally,
) -> Option<Divergence> {
    for tick in 0..ticks {
        let expected = expected_step();
        let found = found_step();
        let difference = if expected.events != found.events {
            difference_of_events(network, &expected.events, &found.events)
        } else if expected.digest != found.digest {
            format!(
                "digest {:016x} expected, {:016x} found, after the same events",
                expected.digest, found.digest
            )
        } else {
            continue;
        };
        return Some(Divergence {
            tick: Tick(tick),
            difference,
        });
    }
    None
}

fn difference_of_events(
    network: &Network,
    expected: &[(Moment, Event)],
    found: &[(Moment, Event)],
) -> String {
    let words = |events: &[(Moment, Event)]| -> Vec<Value> {
        events
            .iter()
            .map(|(moment, event)| in_words(network, *moment, event))
            .collect()
    };
    first_difference(&words(expected), &words(found)).unwrap_or_else(|| {
        // The worked traces do not name stacks and boxes by number.
        let index = expected
            .iter()
            .zip(found)
            .position(|(one, other)| one != other);
        let index = index.unwrap_or_default();
        format!(
            "event {index} differs: expected {:?}, found {:?}",
            expected[index], found[index]
        )
    })
}

#[test]
fn both_engines_give_one_digest_in_every_tick_of_the_worked_traces() {
    for found in all_cases() {
        let case = read_case(&found.text);
        if let Some(divergence) = first_divergence(&case.network, &case.setup, case.ticks, None) {
            panic!("{}: {divergence}", found.origin);
        }
    }
}

#[test]
fn leaping_gives_the_digest_that_stepping_gives() {
    // An odd stride ends leaps at all sorts of moments.
    const STRIDE_TICKS: u64 = 7;
    for found in all_cases() {
        let case = read_case(&found.text);
        let mut leaping = Engine::new(&case.network, &case.setup);
        let mut stepping = ReferenceEngine::new(&case.network, &case.setup);
        while stepping.tick() < Tick(case.ticks) {
            for _ in 0..STRIDE_TICKS {
                stepping.step();
            }
            leaping.run_until(stepping.tick(), &mut ());
            assert_eq!(
                leaping.view().digest(),
                stepping.digest(),
                "{}: before tick {}",
                found.origin,
                stepping.tick()
            );
        }
    }
}
