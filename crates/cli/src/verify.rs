//! Runs both engines side by side and compares everything they do.

use std::fmt;

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Trace};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_reference::ReferenceEngine;
use hallwright_render::trace_line;

/// The first thing in which the engines differ.
#[derive(Debug)]
pub(crate) struct Disagreement {
    tick: Tick,
    difference: String,
}

impl fmt::Display for Disagreement {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            formatter,
            "the engines disagree in tick {}: {}",
            self.tick, self.difference
        )
    }
}

/// Runs both engines for so many ticks, and compares events, digest and conservation at every tick.
/// `progress` is given the ticks that are over.
pub(crate) fn verify(
    network: &Network,
    setup: &Setup,
    ticks: u64,
    progress: &mut dyn FnMut(u64),
) -> Result<(), Disagreement> {
    let mut engine = Engine::new(network, setup);
    let mut reference = ReferenceEngine::new(network, setup);
    for tick in 0..ticks {
        let mut trace = Trace::default();
        engine.step_watched(&mut trace);
        let expected = reference.step();
        let disagree = |difference| Disagreement {
            tick: Tick(tick),
            difference,
        };
        if let Some(difference) = first_difference(network, &trace.events, &expected) {
            return Err(disagree(difference));
        }
        if engine.view().digest() != reference.digest() {
            return Err(disagree(
                "the states at its end are not the same".to_owned(),
            ));
        }
        engine.check_conservation().map_err(disagree)?;
        progress(tick + 1);
    }
    Ok(())
}

type Events = [(Moment, Event)];

fn first_difference(network: &Network, found: &Events, expected: &Events) -> Option<String> {
    let line = |event: Option<&(Moment, Event)>| match event {
        Some((moment, event)) => trace_line(network, *moment, event),
        None => "no further event".to_owned(),
    };
    let length = found.len().max(expected.len());
    let place = (0..length).find(|place| found.get(*place) != expected.get(*place))?;
    Some(format!(
        "the engine has {}, the reference {}",
        line(found.get(place)),
        line(expected.get(place))
    ))
}
