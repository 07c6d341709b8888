//! The ways that items can take through a network.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

/// Where items can go from a part, or come from, in one hop: each part once, in the order of
/// declaration, with whether the part at the end of the hop pulls.
pub(super) fn hops(network: &Network, part: PartId, direction: Direction) -> Vec<(PartId, bool)> {
    let node = NodeIndex::new(part.index());
    let edges = network.graph().edges_directed(node, direction);
    let item_edges = edges.filter(|edge| !matches!(edge.weight(), Link::Signal(_)));
    let ends = item_edges.map(|edge| {
        let end = match direction {
            Direction::Outgoing => edge.target(),
            Direction::Incoming => edge.source(),
        };
        let pulls = matches!(edge.weight(), Link::Pull);
        (PartId::from_index(end.index()), pulls)
    });
    let ends: BTreeMap<PartId, bool> = ends.collect();
    ends.into_iter().collect()
}

/// All parts from which items can get to some of these, with the number of hops, the parts
/// themselves included.
pub(super) fn leading_to(network: &Network, goals: &[PartId]) -> BTreeMap<PartId, usize> {
    let mut distance: BTreeMap<PartId, usize> = goals.iter().map(|goal| (*goal, 0)).collect();
    let mut to_follow: VecDeque<PartId> = goals.iter().copied().collect();
    while let Some(part) = to_follow.pop_front() {
        let hops_here = distance[&part];
        for (before, _) in hops(network, part, Direction::Incoming) {
            if let Entry::Vacant(unseen) = distance.entry(before) {
                unseen.insert(hops_here + 1);
                to_follow.push_back(before);
            }
        }
    }
    distance
}

/// The rings of a set of parts: groups of two or more in which each can be reached from each by hops
/// inside the set, and parts that lead to themselves. In the order of their first members.
pub(super) fn rings(network: &Network, among: &BTreeSet<PartId>) -> Vec<Vec<PartId>> {
    let filtered = petgraph::visit::EdgeFiltered::from_fn(network.graph(), |edge| {
        let inside = |node: NodeIndex| among.contains(&PartId::from_index(node.index()));
        !matches!(edge.weight(), Link::Signal(_)) && inside(edge.source()) && inside(edge.target())
    });
    let groups = petgraph::algo::kosaraju_scc(&filtered);
    let mut rings: Vec<Vec<PartId>> = groups
        .into_iter()
        .map(|group| {
            let parts = group
                .into_iter()
                .map(|node| PartId::from_index(node.index()));
            let mut parts: Vec<PartId> = parts.collect();
            parts.sort_unstable();
            parts
        })
        .filter(|group| {
            group.len() > 1
                || (among.contains(&group[0])
                    && hops(network, group[0], Direction::Outgoing)
                        .iter()
                        .any(|(to, _)| *to == group[0]))
        })
        .collect();
    rings.sort();
    rings
}
