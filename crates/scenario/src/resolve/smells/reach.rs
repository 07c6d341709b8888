//! Where items can come to.

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};
use hallwright_core::part::Part;
use hallwright_core::timeline::Action;

use super::Design;

/// Where items can come to, whatever the signals do.
pub(super) struct Reach {
    /// Whether something leads there, or it has items from outside.
    fed: Vec<bool>,
    /// Whether something takes items from there.
    leads_on: Vec<bool>,
    /// Whether a comparator reads it.
    read: Vec<bool>,
    /// Whether an item can ever be there.
    held: Vec<bool>,
}

impl Reach {
    /// Follows items from wherever they are at the start or come in.
    pub(super) fn new(design: &Design<'_>) -> Self {
        let network = design.network;
        let count = network.part_count();
        let mut reach = Self {
            fed: vec![false; count],
            leads_on: vec![false; count],
            read: vec![false; count],
            held: vec![false; count],
        };
        let mut ways: Vec<Vec<PartId>> = vec![Vec::new(); count];
        for (from, to) in item_links(network) {
            reach.fed[to.index()] = true;
            reach.leads_on[from.index()] = true;
            ways[from.index()].push(to);
        }
        for edge in network.graph().raw_edges() {
            if edge.weight == Link::Signal(SignalRole::Reading) {
                reach.read[edge.source().index()] = true;
            }
        }
        let mut waiting: Vec<PartId> = network.fillings().iter().map(|(part, _)| *part).collect();
        waiting.extend(design.actions.iter().filter_map(|action| match action {
            Action::Deliver { place, .. } => Some(*place),
            _ => None,
        }));
        for start in &waiting {
            reach.fed[start.index()] = true;
        }
        while let Some(part) = waiting.pop() {
            if !std::mem::replace(&mut reach.held[part.index()], true) {
                waiting.extend(&ways[part.index()]);
            }
        }
        reach
    }

    /// Whether something leads to a part, or it has items from outside.
    pub(super) fn is_fed(&self, part: PartId) -> bool {
        self.fed[part.index()]
    }

    /// Whether something takes items from a part.
    pub(super) fn leads_on(&self, part: PartId) -> bool {
        self.leads_on[part.index()]
    }

    /// Whether a comparator reads a part.
    pub(super) fn is_read(&self, part: PartId) -> bool {
        self.read[part.index()]
    }

    /// Whether an item can ever be in a part.
    pub(super) fn can_hold(&self, part: PartId) -> bool {
        self.held[part.index()]
    }
}

/// The ways that items can go, from one part to the next.
fn item_links(network: &Network) -> Vec<(PartId, PartId)> {
    let graph = network.graph();
    let edges = graph.raw_edges().iter();
    let mut links: Vec<(PartId, PartId)> = edges
        .filter(|edge| !matches!(edge.weight, Link::Signal(_)))
        .map(|edge| {
            let id = |node: usize| PartId::from_index(node);
            (id(edge.source().index()), id(edge.target().index()))
        })
        .collect();
    for (id, part) in network.parts() {
        if let Part::Shuttle(shuttle) = part {
            links.extend(shuttle.stops.iter().map(|stop| (id, stop.place)));
        }
    }
    links
}
