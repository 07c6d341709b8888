//! Rings: parts from each of which items can come to each.

use hallwright_core::id::PartId;
use petgraph::algo::kosaraju_scc;
use petgraph::visit::{EdgeFiltered, EdgeRef};

use super::{Way, Ways};

impl Ways {
    /// The rings of a set of parts: groups of two or more in which each can be reached from each by
    /// hops inside the set, and parts that lead to themselves. In the order of their first members.
    #[must_use]
    pub fn rings(&self, among: impl Fn(PartId) -> bool) -> Vec<Vec<PartId>> {
        self.rings_along(|way| {
            let ends = [way.from, way.to];
            way.kind.is_hop() && ends.into_iter().all(|end| among(PartId::from_index(end)))
        })
    }

    /// The rings of those ways that `opens` allows. The members are in the order of declaration, the
    /// rings in that of their first members; the boxes, of which some way may go through, are no part
    /// and are left out.
    #[must_use]
    pub fn rings_along(&self, opens: impl Fn(&Way) -> bool) -> Vec<Vec<PartId>> {
        let open = EdgeFiltered::from_fn(&self.graph, |edge| opens(edge.weight()));
        // The other algorithm for it calls itself for each part of a line, and long lines are many.
        let groups = kosaraju_scc(&open);
        let is_ring = |group: &Vec<petgraph::graph::NodeIndex>| {
            let leads_to_itself = |node| {
                let mut edges = self.graph.edges(node);
                edges.any(|edge| edge.target() == node && opens(edge.weight()))
            };
            group.len() > 1 || leads_to_itself(group[0])
        };
        let groups = groups.into_iter().filter(is_ring);
        let mut rings: Vec<Vec<PartId>> = groups
            .map(|group| {
                let nodes = group.into_iter().map(|node| node.index());
                let parts = nodes.filter(|node| *node != self.boxes());
                let mut parts: Vec<PartId> = parts.map(PartId::from_index).collect();
                parts.sort_unstable();
                parts
            })
            .collect();
        rings.sort();
        rings
    }
}
