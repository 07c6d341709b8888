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

/// Tells `link` the start, end and meaning of every edge of one part.
pub(super) fn each_link(id: PartId, part: &Part, link: &mut impl FnMut(PartId, PartId, Link)) {
    let mut signal = |from: Option<PartId>, role| {
        if let Some(from) = from {
            link(from, id, Link::Signal(role));
        }
    };
    match part {
        Part::Container(_) | Part::Mouth | Part::Place => {}
        Part::Hopper(hopper) => {
            signal(hopper.lock, SignalRole::Lock);
            match hopper.intake {
                Intake::Above(above) => link(above, id, Link::Pull),
                Intake::Mouth(mouth) => link(mouth, id, Link::Loose),
                Intake::Cap => {}
            }
            if let Some(target) = hopper.target {
                link(id, target, Link::Push);
            }
        }
        Part::Dropper(dropper) => {
            signal(dropper.trigger, SignalRole::Trigger);
            match dropper.outlet {
                Outlet::Into(target) | Outlet::Bench(target) => link(id, target, Link::Push),
                Outlet::Loose(place) => link(id, place, Link::Loose),
            }
        }
        Part::Stream(stream) => link(id, stream.mouth, Link::Loose),
        Part::Bench(bench) => {
            if let Lift::Signal(lift) = bench.lift {
                signal(Some(lift), SignalRole::Release);
            }
            link(id, bench.output, Link::Loose);
        }
        Part::Selector(selector) => {
            signal(selector.lock, SignalRole::Lock);
            link(id, selector.match_target, Link::Push);
            link(id, selector.rest_target, Link::Push);
            if let Some(target) = selector.when_full {
                link(id, target, Link::Push);
            }
        }
        Part::Shuttle(shuttle) => {
            for (index, stop) in shuttle.stops.iter().enumerate() {
                signal(stop.release, SignalRole::Release);
                let next = &shuttle.stops[(index + 1) % shuttle.stops.len()];
                link(stop.place, next.place, Link::Round);
            }
        }
        Part::Signal(signal) => each_signal_link(id, signal, link),
    }
}

fn each_signal_link(id: PartId, signal: &Signal, link: &mut impl FnMut(PartId, PartId, Link)) {
    for_each_input(signal, &mut |from| link(from, id, Link::Signal(SignalRole::Input)));
    match signal {
        Signal::Repeater { lock: Some(lock), .. } => {
            link(*lock, id, Link::Signal(SignalRole::Lock));
        }
        Signal::Comparator { rear: Rear::Inventory(read), .. } => {
            link(*read, id, Link::Signal(SignalRole::Reading));
        }
        Signal::Observer { watches } => {
            let (Watched::Signal(of)
            | Watched::Lock(of)
            | Watched::Trigger(of)
            | Watched::Matches(of)) = watches;
            link(*of, id, Link::Signal(SignalRole::Watch));
        }
        _ => {}
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
        each_link(PartId::from_index(index), part, &mut |from, to, link| {
            edges.push((from, to, link));
        });
    }
    let mut graph = DiGraph::with_capacity(parts.len(), edges.len());
    for part in parts {
        graph.add_node(part);
    }
    for (from, to, link) in edges {
        graph.add_edge(NodeIndex::new(from.index()), NodeIndex::new(to.index()), link);
    }
    graph
}
