//! The edges of the graph, derived from what the parts say of themselves.

use petgraph::graph::{DiGraph, NodeIndex};

use crate::id::PartId;
use crate::part::{Intake, Lift, Outlet, Part, Rear, Signal, Watched};

/// What an edge stands for.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Link {
    /// Items are pushed along it: by a hopper, dropper, dispenser or selector.
    Push,
    /// Items are pulled along it, by the hopper at its end.
    Pull,
    /// Loose items go along it: to a mouth or stream, from a stream to its mouth, from a mouth to
    /// the hoppers below it.
    Loose,
    /// A shuttle goes along it, from one place to the next.
    Round,
    /// A signal, or what a comparator or observer looks at.
    Signal(SignalRole),
}

/// What the part at the end of a signal link does with it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum SignalRole {
    /// A signal part reads it: its level decides the part's own.
    Input,
    /// It locks a hopper, selector or repeater.
    Lock,
    /// It triggers a dropper.
    Trigger,
    /// It lifts a bench's box or releases a shuttle.
    Release,
    /// A comparator reads an inventory.
    Reading,
    /// An observer watches it. This makes no loop (tick rules, section 3).
    Watch,
}

/// The start, end and meaning of an edge.
type Edge = (PartId, PartId, Link);

/// Adds every edge of one part.
fn add_links(id: PartId, part: &Part, edges: &mut Vec<Edge>) {
    let signal = |from: PartId, role| (from, id, Link::Signal(role));
    match part {
        Part::Container(_) | Part::Mouth | Part::Dock => {}
        Part::Hopper(hopper) => {
            edges.extend(hopper.lock.map(|lock| signal(lock, SignalRole::Lock)));
            match hopper.intake {
                Intake::Above(above) => edges.push((above, id, Link::Pull)),
                Intake::Mouth(mouth) => edges.push((mouth, id, Link::Loose)),
                Intake::Cap => {}
            }
            if let Some(target) = hopper.target {
                edges.push((id, target, Link::Push));
            }
        }
        Part::Dropper(dropper) => {
            edges.extend(
                dropper
                    .trigger
                    .map(|trigger| signal(trigger, SignalRole::Trigger)),
            );
            match dropper.outlet {
                Outlet::Into(target) | Outlet::Bench(target) => {
                    edges.push((id, target, Link::Push))
                }
                Outlet::Loose(place) => edges.push((id, place, Link::Loose)),
            }
        }
        Part::Stream(stream) => edges.push((id, stream.mouth, Link::Loose)),
        Part::Bench(bench) => {
            if let Lift::Signal(lift) = bench.lift {
                edges.push(signal(lift, SignalRole::Release));
            }
            edges.push((id, bench.output, Link::Loose));
        }
        Part::Selector(selector) => {
            edges.extend(selector.lock.map(|lock| signal(lock, SignalRole::Lock)));
            edges.push((id, selector.match_target, Link::Push));
            edges.push((id, selector.rest_target, Link::Push));
            if let Some(target) = selector.when_full {
                edges.push((id, target, Link::Push));
            }
        }
        Part::Shuttle(shuttle) => {
            for (index, stop) in shuttle.stops.iter().enumerate() {
                edges.extend(
                    stop.release
                        .map(|release| signal(release, SignalRole::Release)),
                );
                let next = &shuttle.stops[(index + 1) % shuttle.stops.len()];
                edges.push((stop.dock, next.dock, Link::Round));
            }
        }
        Part::Signal(signal) => add_signal_links(id, signal, edges),
    }
}

fn add_signal_links(id: PartId, signal: &Signal, edges: &mut Vec<Edge>) {
    let mut link = |from, role| edges.push((from, id, Link::Signal(role)));
    for_each_input(signal, &mut |from| link(from, SignalRole::Input));
    match signal {
        Signal::Repeater {
            lock: Some(lock), ..
        } => {
            link(*lock, SignalRole::Lock);
        }
        Signal::Comparator {
            rear: Rear::Inventory(read),
            ..
        } => {
            link(*read, SignalRole::Reading);
        }
        Signal::Observer { watches } => {
            let (Watched::Signal(of)
            | Watched::Lock(of)
            | Watched::Trigger(of)
            | Watched::Matches(of)) = watches;
            link(*of, SignalRole::Watch);
        }
        Signal::Repeater { lock: None, .. } => {}
        Signal::Comparator {
            rear: Rear::Signal(_),
            ..
        } => {}
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => {}
        Signal::Wire { .. } | Signal::Inverter { .. } | Signal::Hold { .. } => {}
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::DelayLine { .. } => {}
        Signal::AllOf { .. } | Signal::NoneOf { .. } => {}
    }
}

/// Every signal that this one reads as an input, in the order of its fields.
pub(super) fn for_each_input(signal: &Signal, input: &mut impl FnMut(PartId)) {
    match signal {
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => {}
        Signal::Observer { .. } => {}
        Signal::Wire { inputs } => inputs.iter().for_each(|(from, _)| input(*from)),
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => {
            inputs.iter().for_each(|from| input(*from));
        }
        Signal::Repeater { input: from, .. }
        | Signal::Inverter { input: from }
        | Signal::Hold { input: from, .. }
        | Signal::Toggle { input: from }
        | Signal::DelayLine { input: from, .. } => input(*from),
        Signal::Comparator { rear, side, .. } => {
            if let Rear::Signal(from) = rear {
                input(*from);
            }
            if let Some(from) = side {
                input(*from);
            }
        }
        Signal::Latch { set, reset } => {
            input(*set);
            input(*reset);
        }
    }
}

/// The graph of these parts.
pub(super) fn graph(parts: Vec<Part>) -> DiGraph<Part, Link> {
    let mut edges = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        add_links(PartId::from_index(index), part, &mut edges);
    }
    let mut graph = DiGraph::with_capacity(parts.len(), edges.len());
    for part in parts {
        graph.add_node(part);
    }
    for (from, to, link) in edges {
        graph.add_edge(
            NodeIndex::new(from.index()),
            NodeIndex::new(to.index()),
            link,
        );
    }
    graph
}
