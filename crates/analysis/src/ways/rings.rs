//! Rings: parts from each of which items can come to each.

use hallwright_core::id::PartId;
use petgraph::Direction;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
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

    /// The rings of those ways between some parts that `opens` allows, as [`Ways::rings_along`] gives
    /// them. The parts are in the order of declaration. It takes no longer than these parts are many.
    #[must_use]
    pub fn rings_within(&self, parts: &[PartId], opens: impl Fn(&Way) -> bool) -> Vec<Vec<PartId>> {
        let place = |node: usize| parts.binary_search_by_key(&node, |part| part.index()).ok();
        let mut graph: DiGraph<PartId, ()> = DiGraph::with_capacity(parts.len(), parts.len());
        for part in parts {
            graph.add_node(*part);
        }
        for (from, part) in parts.iter().enumerate() {
            let ways = self.at(part.index(), Direction::Outgoing);
            for to in ways
                .filter(|way| opens(way))
                .filter_map(|way| place(way.to))
            {
                graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), ());
            }
        }
        let is_ring = |group: &Vec<NodeIndex>| {
            group.len() > 1 || graph.find_edge(group[0], group[0]).is_some()
        };
        let groups = kosaraju_scc(&graph).into_iter().filter(is_ring);
        let mut rings: Vec<Vec<PartId>> = groups
            .map(|group| group.into_iter().map(|node| graph[node]).collect())
            .collect();
        for ring in &mut rings {
            ring.sort_unstable();
        }
        rings.sort();
        rings
    }

    /// The rings of those ways that `opens` allows. The members are in the order of declaration, the
    /// rings in that of their first members; the boxes, of which some way may go through, are no part
    /// and are left out.
    #[must_use]
    pub fn rings_along(&self, opens: impl Fn(&Way) -> bool) -> Vec<Vec<PartId>> {
        let open = EdgeFiltered::from_fn(&self.graph, |edge| opens(edge.weight()));
        // The other algorithm for it calls itself for each part of a line, and long lines are many.
        let groups = kosaraju_scc(&open);
        let is_ring = |group: &Vec<NodeIndex>| {
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
