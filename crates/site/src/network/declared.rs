//! What a network declares, in the words of this crate.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Intake, Lift, Outlet, Part, Rear, Signal, Watched};

use super::{Ear, Hearing, Role};

/// From this loss on nothing is heard.
pub(crate) const UNHEARD_LOSS: u8 = 15;

/// Every link that a part declares, but for signals.
#[must_use]
pub fn links(network: &Network, part: PartId) -> Vec<(Role, PartId)> {
    match network.part(part) {
        Part::Container(_) | Part::Mouth | Part::Dock => Vec::new(),
        Part::Hopper(hopper) => {
            let target = hopper.target.map(|target| (Role::Target, target));
            let intake = match hopper.intake {
                Intake::Above(above) => Some((Role::Above, above)),
                Intake::Mouth(mouth) => Some((Role::Mouth, mouth)),
                Intake::Cap => None,
            };
            target.into_iter().chain(intake).collect()
        }
        Part::Dropper(dropper) => vec![match dropper.outlet {
            Outlet::Into(target) => (Role::Into, target),
            Outlet::Bench(bench) => (Role::Bench, bench),
            Outlet::Loose(place) => (Role::Loose, place),
        }],
        Part::Stream(stream) => vec![(Role::End, stream.mouth)],
        Part::Bench(bench) => vec![(Role::Out, bench.output)],
        Part::Selector(selector) => {
            let always = [
                (Role::Match, selector.match_target),
                (Role::Rest, selector.rest_target),
            ];
            let full = selector.when_full.map(|target| (Role::WhenFull, target));
            always.into_iter().chain(full).collect()
        }
        Part::Shuttle(shuttle) => {
            let stops = shuttle.stops.iter().enumerate();
            stops
                .map(|(number, stop)| (Role::Stop(number), stop.dock))
                .collect()
        }
        Part::Signal(signal) => looks(network, signal).into_iter().collect(),
    }
}

/// What a comparator reads, or an observer watches that is no wire.
fn looks(network: &Network, signal: &Signal) -> Option<(Role, PartId)> {
    match *signal {
        Signal::Comparator { rear, .. } => match rear {
            Rear::Inventory(read) => Some((Role::Reads, read)),
            Rear::Signal(_) => None,
        },
        Signal::Observer { watches } => match watches {
            Watched::Signal(of) if is_wire(network, of) => None,
            Watched::Signal(of) => Some((Role::WatchesSignal, of)),
            Watched::Lock(of) => Some((Role::WatchesLock, of)),
            Watched::Trigger(of) => Some((Role::WatchesTrigger, of)),
            Watched::Matches(of) => Some((Role::WatchesMatches, of)),
        },
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Wire { .. } => None,
        Signal::Repeater { .. } | Signal::Inverter { .. } | Signal::Hold { .. } => None,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::AllOf { .. } => None,
        Signal::NoneOf { .. } | Signal::Clock { .. } | Signal::DelayLine { .. } => None,
    }
}

pub(crate) fn is_wire(network: &Network, part: PartId) -> bool {
    matches!(network.signal(part), Some(Signal::Wire { .. }))
}

/// Every ear of a part, and which signal it declares there, perhaps a wire. A wire has none: it only
/// carries what others give.
#[must_use]
pub fn ears(network: &Network, part: PartId) -> Vec<(Ear, PartId)> {
    let one =
        |ear, signal: Option<PartId>| signal.map(|signal| (ear, signal)).into_iter().collect();
    match network.part(part) {
        Part::Container(_) | Part::Mouth | Part::Dock | Part::Stream(_) => Vec::new(),
        Part::Hopper(hopper) => one(Ear::Lock, hopper.lock),
        Part::Selector(selector) => one(Ear::Lock, selector.lock),
        Part::Dropper(dropper) => one(Ear::Trigger, dropper.trigger),
        Part::Bench(bench) => match bench.lift {
            Lift::Signal(signal) => vec![(Ear::Lift, signal)],
            Lift::Empty | Lift::Full => Vec::new(),
        },
        Part::Shuttle(shuttle) => {
            let stops = shuttle.stops.iter().enumerate();
            let release = |(number, stop): (usize, &hallwright_core::part::Leg)| {
                Some((Ear::Release(number), stop.release?))
            };
            stops.filter_map(release).collect()
        }
        Part::Signal(signal) => ears_of_signal(network, signal),
    }
}

fn ears_of_signal(network: &Network, signal: &Signal) -> Vec<(Ear, PartId)> {
    let numbered = |inputs: &[PartId]| {
        let inputs = inputs.iter().enumerate();
        inputs
            .map(|(number, input)| (Ear::Input(number), *input))
            .collect()
    };
    match *signal {
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => Vec::new(),
        Signal::Wire { .. } => Vec::new(),
        Signal::Repeater { input, lock, .. } => {
            let lock = lock.map(|lock| (Ear::Lock, lock));
            [(Ear::Input(0), input)].into_iter().chain(lock).collect()
        }
        Signal::Comparator { rear, side, .. } => {
            let rear = match rear {
                Rear::Signal(signal) => Some((Ear::Rear, signal)),
                Rear::Inventory(_) => None,
            };
            let side = side.map(|side| (Ear::Side, side));
            rear.into_iter().chain(side).collect()
        }
        Signal::Observer { watches } => match watches {
            Watched::Signal(of) if is_wire(network, of) => vec![(Ear::Watch, of)],
            Watched::Signal(_) | Watched::Lock(_) | Watched::Trigger(_) | Watched::Matches(_) => {
                Vec::new()
            }
        },
        Signal::Inverter { input }
        | Signal::Hold { input, .. }
        | Signal::Toggle { input }
        | Signal::DelayLine { input, .. } => numbered(&[input]),
        Signal::Latch { set, reset } => numbered(&[set, reset]),
        Signal::AllOf { ref inputs } | Signal::NoneOf { ref inputs } => numbered(inputs),
    }
}

/// Every source that is heard in a signal, with its loss on the best way. A wire is looked through if
/// `is_carried` says so of it, otherwise nothing comes through it; any other signal is its own source.
#[must_use]
pub fn routes(
    network: &Network,
    signal: PartId,
    is_carried: impl Fn(PartId) -> bool,
) -> Hearing<PartId> {
    let mut heard = Hearing::default();
    let mut best: BTreeMap<PartId, u8> = BTreeMap::new();
    let mut open = vec![(signal, 0_u8)];
    while let Some((signal_here, loss)) = open.pop() {
        let Some(Signal::Wire { inputs }) = network.signal(signal_here) else {
            heard.add(signal_here, loss, signal_here == signal);
            continue;
        };
        let is_better = best.get(&signal_here).is_none_or(|known| loss < *known);
        if !is_better || !is_carried(signal_here) {
            continue;
        }
        best.insert(signal_here, loss);
        let further = inputs
            .iter()
            .map(|(input, own)| (*input, loss.saturating_add(*own)))
            .filter(|(_, loss)| *loss < UNHEARD_LOSS);
        open.extend(further);
    }
    heard
}

/// Every source that is heard in a signal, however wires are cut into parts.
#[must_use]
pub fn sources(network: &Network, signal: PartId) -> Hearing<PartId> {
    routes(network, signal, |_| true)
}
