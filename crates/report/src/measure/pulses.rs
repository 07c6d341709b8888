//! Pulses under way: signals and droppers with an event pending.
//!
//! A signal that only clocks can move is left out, with whatever hangs on such signals alone: its
//! events never end and depend on nothing that a stop could change. Every other signal counts,
//! wherever in the network it is.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network};
use hallwright_core::part::{Part, Rear, Signal, Watched};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

/// The parts whose events count.
pub struct Pulses {
    candidates: Vec<PartId>,
    /// For each part, whether it is a candidate.
    is_candidate: Vec<bool>,
    /// The one that was found pending last: most likely it is so still.
    last_found: usize,
    /// The signals that have changed since pulses were last looked for.
    changed: Vec<PartId>,
    /// Whether anything else has happened since then.
    more_happened: bool,
}

impl Pulses {
    /// Those of a network.
    #[must_use]
    pub fn new(network: &Network) -> Self {
        let is_moved = moved_from_outside(network);
        let candidates = network.parts().filter(|(id, part)| match part {
            Part::Dropper(dropper) => dropper.trigger.is_some(),
            Part::Signal(Signal::Lever { .. } | Signal::Wire { .. } | Signal::Clock { .. }) => {
                false
            }
            Part::Signal(_) => is_moved[id.index()],
            _ => false,
        });
        let candidates: Vec<PartId> = candidates.map(|(id, _)| id).collect();
        let mut is_candidate = vec![false; network.part_count()];
        for part in &candidates {
            is_candidate[part.index()] = true;
        }
        Self {
            candidates,
            is_candidate,
            last_found: 0,
            changed: Vec::new(),
            more_happened: false,
        }
    }

    /// Takes note of what may have begun a pulse.
    pub fn heard(&mut self, event: &Event) {
        match *event {
            Event::SignalChanged { signal, .. } => self.changed.push(signal),
            _ => self.more_happened = true,
        }
    }

    /// Forgets what was heard.
    pub fn forget(&mut self) {
        self.changed.clear();
        self.more_happened = false;
    }

    /// Whether any event that counts is pending, given that none was when pulses were last looked for.
    /// Since then one can only have begun where something was heard of: a signal that changes makes
    /// itself, those that read it and the droppers that it triggers schedule events. The hoppers that it
    /// locks are heard of themselves.
    pub fn any_begun(&mut self, view: &View<'_>) -> bool {
        if self.more_happened {
            return self.any_pending(view);
        }
        let begun = self.changed.iter().any(|signal| {
            let mut parts = std::iter::once(*signal).chain(read_by(*signal, view.network()));
            parts.any(|part| self.is_candidate[part.index()] && view.is_pending(part))
        });
        self.forget();
        begun
    }

    /// Whether any event that counts is pending.
    pub fn any_pending(&mut self, view: &View<'_>) -> bool {
        self.forget();
        let is_pending = |part: &PartId| view.is_pending(*part);
        if self.candidates.get(self.last_found).is_some_and(is_pending) {
            return true;
        }
        match self.candidates.iter().position(is_pending) {
            Some(found) => {
                self.last_found = found;
                true
            }
            None => false,
        }
    }

    /// The parts with an event pending, in the order of declaration.
    pub fn pending(&self, view: &View<'_>) -> Vec<PartId> {
        let candidates = self.candidates.iter().copied();
        candidates.filter(|part| view.is_pending(*part)).collect()
    }
}

/// The parts that read a signal, and the observers of the droppers that it triggers.
fn read_by(signal: PartId, network: &Network) -> impl Iterator<Item = PartId> {
    let readers = |part: PartId| {
        let edges = network
            .graph()
            .edges_directed(NodeIndex::new(part.index()), Direction::Outgoing);
        let reads = edges.filter(|edge| matches!(edge.weight(), Link::Signal(_)));
        reads.map(|edge| PartId::from_index(edge.target().index()))
    };
    readers(signal).flat_map(move |reader| {
        let is_dropper = matches!(network.part(reader), Part::Dropper(_));
        let watching = is_dropper.then(|| readers(reader));
        std::iter::once(reader).chain(watching.into_iter().flatten())
    })
}

/// For each part, whether it is a signal that something other than a clock can move: an operator,
/// an inventory, a selector's matches, or a signal of which this is true.
fn moved_from_outside(network: &Network) -> Vec<bool> {
    let is_source = |part: &Part| match part {
        Part::Signal(signal) => match signal {
            Signal::Lever { .. } | Signal::Button { .. } => true,
            Signal::Comparator { rear, .. } => matches!(rear, Rear::Inventory(_)),
            Signal::Observer { watches } => !matches!(watches, Watched::Signal(_)),
            _ => false,
        },
        _ => false,
    };
    let graph = network.graph();
    let mut is_moved = vec![false; network.part_count()];
    let sources = network.parts().filter(|(_, part)| is_source(part));
    let mut to_follow: Vec<PartId> = sources.map(|(id, _)| id).collect();
    while let Some(part) = to_follow.pop() {
        if std::mem::replace(&mut is_moved[part.index()], true) {
            continue;
        }
        let edges = graph.edges_directed(NodeIndex::new(part.index()), Direction::Outgoing);
        for edge in edges {
            let reader = PartId::from_index(edge.target().index());
            let reads = matches!(edge.weight(), Link::Signal(_));
            if reads && matches!(network.part(reader), Part::Signal(_)) {
                to_follow.push(reader);
            }
        }
    }
    is_moved
}
