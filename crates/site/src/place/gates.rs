//! What the names of a box's sides mean.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};

use crate::blocks::Use;
use crate::network::{Ear, Role};

/// What goes through the side of this name; `None` if the part has none of this name.
pub(super) fn usage(network: &Network, part: PartId, name: &str) -> Option<Use> {
    match network.part(part) {
        Part::Selector(_) => match name {
            "in" => Some(Use::Takes),
            "match" => Some(Use::HandsOn(Role::Match)),
            "rest" => Some(Use::HandsOn(Role::Rest)),
            "when_full" => Some(Use::HandsOn(Role::WhenFull)),
            "matches" => Some(Use::ShowsMatches),
            _ => None,
        },
        Part::Dock => Some(Use::Docks(network.name(part).to_owned())),
        Part::Shuttle(shuttle) => {
            let stops = &shuttle.stops;
            let mut docks = stops.iter().map(|stop| stop.dock);
            if let Some(dock) = docks.find(|dock| is_called(network, part, *dock, name)) {
                return Some(Use::Docks(network.name(dock).to_owned()));
            }
            let number = numbered(name, "release")?;
            (number < stops.len()).then_some(Use::Hears(Ear::Release(number)))
        }
        Part::Signal(signal) => of_signal(signal, name),
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => None,
        Part::Stream(_) | Part::Bench(_) => None,
    }
}

/// Whether a shuttle calls a dock so: by its whole name, or by that within the module in which both are.
pub(super) fn is_called(network: &Network, shuttle: PartId, dock: PartId, name: &str) -> bool {
    let (whole, own) = (network.name(dock), network.name(shuttle));
    let module = own.rfind('.').map_or("", |dot| &own[..=dot]);
    whole == name || whole.strip_prefix(module) == Some(name)
}

fn of_signal(signal: &Signal, name: &str) -> Option<Use> {
    let hears = |number: usize| Some(Use::Hears(Ear::Input(number)));
    match (signal, name) {
        (Signal::Lever { .. } | Signal::Button { .. } | Signal::Wire { .. }, _) => None,
        (Signal::Repeater { .. } | Signal::Comparator { .. }, _) => None,
        (Signal::Inverter { .. } | Signal::Observer { .. }, _) => None,
        (_, "out") => Some(Use::Gives),
        (Signal::Latch { .. }, "set") => hears(0),
        (Signal::Latch { .. }, "reset") => hears(1),
        (Signal::Hold { .. } | Signal::Toggle { .. } | Signal::DelayLine { .. }, "in") => hears(0),
        (Signal::AllOf { inputs } | Signal::NoneOf { inputs }, _) => {
            let number = match name {
                "in" => 0,
                _ => numbered(name, "in")?,
            };
            (number < inputs.len()).then_some(Use::Hears(Ear::Input(number)))
        }
        (Signal::Latch { .. } | Signal::Clock { .. } | Signal::Hold { .. }, _) => None,
        (Signal::Toggle { .. } | Signal::DelayLine { .. }, _) => None,
    }
}

/// The number behind a word, counted from 0: `in 3` is 2.
fn numbered(name: &str, word: &str) -> Option<usize> {
    let number: usize = name.strip_prefix(word)?.trim_start().parse().ok()?;
    number.checked_sub(1)
}
