//! Who reads whom: the links of signals, and what follows along them.
//!
//! The graph of them is [`Network::graph`]; here it is asked.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};
use hallwright_core::part::{Rear, Signal, Watched};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

/// The parts that read a part, or that it reads ([`Direction::Incoming`]), each with what is done with
/// the reading. A part that reads another twice is there twice.
pub fn linked(
    network: &Network,
    part: PartId,
    direction: Direction,
) -> impl Iterator<Item = (PartId, SignalRole)> {
    let node = NodeIndex::new(part.index());
    let edges = network.graph().edges_directed(node, direction);
    edges.filter_map(move |edge| {
        let end = match direction {
            Direction::Outgoing => edge.target(),
            Direction::Incoming => edge.source(),
        };
        Some((PartId::from_index(end.index()), role(*edge.weight())?))
    })
}

/// The parts that read a part: signals, and what a signal locks, triggers or releases.
pub fn readers(network: &Network, part: PartId) -> impl Iterator<Item = (PartId, SignalRole)> {
    linked(network, part, Direction::Outgoing)
}

/// All links of signals: who is read, who reads, and what for. In the order of the readers, as they
/// are declared.
pub fn links(network: &Network) -> impl Iterator<Item = (PartId, PartId, SignalRole)> {
    let edges = network.graph().raw_edges().iter();
    edges.filter_map(|edge| {
        let part = |node: NodeIndex| PartId::from_index(node.index());
        Some((part(edge.source()), part(edge.target()), role(edge.weight)?))
    })
}

fn role(link: Link) -> Option<SignalRole> {
    match link {
        Link::Signal(role) => Some(role),
        Link::Push | Link::Pull | Link::Loose | Link::Round => None,
    }
}

/// For each part, the signals that read it.
#[must_use]
pub fn reading_signals(network: &Network) -> Vec<Vec<(PartId, &Signal)>> {
    let mut readers: Vec<Vec<(PartId, &Signal)>> = vec![Vec::new(); network.part_count()];
    for (read, reader, _) in links(network) {
        if let Some(signal) = network.signal(reader) {
            readers[read.index()].push((reader, signal));
        }
    }
    readers
}

/// For each part, whether it is a signal that something other than a clock can move: an operator,
/// an inventory, a selector's matches, or a signal of which this is true. What is left, only clocks
/// drive.
#[must_use]
pub fn moved_from_outside(network: &Network) -> Vec<bool> {
    let sources = network.part_ids().filter(|part| {
        let signal = network.signal(*part);
        signal.is_some_and(begins_by_itself)
    });
    follow(network, sources, Direction::Outgoing, |part| {
        network.signal(part).is_some()
    })
}

/// Whether something beside signals moves a signal, clocks left aside.
fn begins_by_itself(signal: &Signal) -> bool {
    match signal {
        Signal::Lever { .. } | Signal::Button { .. } => true,
        Signal::Comparator { rear, .. } => match rear {
            Rear::Inventory(_) => true,
            Rear::Signal(_) => false,
        },
        Signal::Observer { watches } => match watches {
            Watched::Signal(_) => false,
            Watched::Lock(_) | Watched::Trigger(_) | Watched::Matches(_) => true,
        },
        Signal::Clock { .. } | Signal::Wire { .. } | Signal::Repeater { .. } => false,
        Signal::Inverter { .. } | Signal::Hold { .. } | Signal::Latch { .. } => false,
        Signal::Toggle { .. } | Signal::AllOf { .. } | Signal::NoneOf { .. } => false,
        Signal::DelayLine { .. } => false,
    }
}

/// For each part, whether a lock, trigger or release hangs on it. A signal of which that is not true
/// is only shown.
#[must_use]
pub fn acts(network: &Network) -> Vec<bool> {
    let acting = links(network).filter(|(_, reader, role)| match role {
        // The lock of a repeater is one of its inputs.
        SignalRole::Lock | SignalRole::Trigger | SignalRole::Release => {
            network.signal(*reader).is_none()
        }
        SignalRole::Input | SignalRole::Reading | SignalRole::Watch => false,
    });
    let acting = acting.map(|(read, ..)| read);
    follow(network, acting, Direction::Incoming, |_| true)
}

/// So many signals before one are followed to what they read.
const MOST_BEFORE: usize = 1_000;

/// The parts on whose holdings a signal hangs, each with a comparator before the signal that reads it. `None` if
/// too many signals come before it.
#[must_use]
pub fn read_before(network: &Network, signal: PartId) -> Option<BTreeMap<PartId, PartId>> {
    let mut read = BTreeMap::new();
    let mut met = BTreeSet::from([signal]);
    let mut to_follow = vec![signal];
    while let Some(signal) = to_follow.pop() {
        for (before, role) in linked(network, signal, Direction::Incoming) {
            if role == SignalRole::Reading {
                read.insert(before, signal);
            } else if network.signal(before).is_some() && met.insert(before) {
                to_follow.push(before);
            }
        }
        if met.len() > MOST_BEFORE {
            return None;
        }
    }
    Some(read)
}

/// For each part, whether it is one of the `starts` or comes after one along links between parts that
/// belong.
fn follow(
    network: &Network,
    starts: impl Iterator<Item = PartId>,
    direction: Direction,
    belongs: impl Fn(PartId) -> bool,
) -> Vec<bool> {
    let mut is_met = vec![false; network.part_count()];
    let mut to_follow: Vec<PartId> = starts.collect();
    while let Some(part) = to_follow.pop() {
        if std::mem::replace(&mut is_met[part.index()], true) {
            continue;
        }
        let ends = linked(network, part, direction).map(|(end, _)| end);
        to_follow.extend(ends.filter(|end| belongs(*end)));
    }
    is_met
}
