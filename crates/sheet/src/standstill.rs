//! What does not stay where it is filled in: nothing keeps it, while the hall is stopped.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;

/// For so long a stopped hall is watched, in ticks: longer than any lock takes to come on.
const WATCHED_TICKS: u64 = 400;

/// The parts out of which something goes by itself, with all contents in place, levers as given, and nothing
/// from outside. In the first few ticks signals are not there yet, as in any hall that is switched on: what goes
/// then is among it.
pub(crate) fn restless(network: &Network, levers: &BTreeMap<PartId, bool>) -> BTreeSet<PartId> {
    let Some(stopped) = with_levers(network, levers) else {
        return BTreeSet::new();
    };
    let mut left = Left::default();
    Engine::new(&stopped, &Setup::default()).run_watched(Tick(WATCHED_TICKS), &mut left);
    left.0
}

/// The same network with levers that start like this.
fn with_levers(network: &Network, levers: &BTreeMap<PartId, bool>) -> Option<Network> {
    let changed = network.changed(|part, what| match levers.get(&part) {
        Some(on) => Part::Signal(Signal::Lever { starts_on: *on }),
        None => what.clone(),
    });
    changed.ok()
}

/// The parts out of which something went.
#[derive(Default)]
struct Left(BTreeSet<PartId>);

impl Observer for Left {
    fn event(&mut self, _moment: Moment, event: &Event, _view: &View<'_>) {
        let from = match *event {
            Event::ItemMoved { from, .. } => from,
            Event::Thrown { dropper, .. } => dropper,
            Event::BoxSet { dispenser, .. } => dispenser,
            Event::BoxLifted { bench, .. } => bench,
            _ => return,
        };
        self.0.insert(from);
    }
}
