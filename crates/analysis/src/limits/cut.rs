//! Minimum cuts: the least that stands between the sources and a goal.

use petgraph::algo::dinics;
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;

/// More than any number of items.
const ENDLESS: u64 = 1 << 44;

/// A graph whose edges carry so many items at most, each for a reason `R`.
pub(crate) struct CutGraph<R> {
    graph: DiGraph<(), u64>,
    reasons: Vec<Option<R>>,
}

/// A minimum cut.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Cut<R> {
    /// The items that it lets pass.
    pub(crate) items: u64,
    /// The reasons of its edges, in the order in which they were added.
    pub(crate) reasons: Vec<R>,
}

impl<R: Copy> CutGraph<R> {
    /// A graph with so many nodes.
    pub(crate) fn new(nodes: usize, edges: usize) -> Self {
        let mut graph = DiGraph::with_capacity(nodes, edges);
        for _ in 0..nodes {
            graph.add_node(());
        }
        Self {
            graph,
            reasons: Vec::with_capacity(edges),
        }
    }

    /// Adds an edge that carries so many items at most, for this reason.
    pub(crate) fn add(&mut self, from: usize, to: usize, most: Option<u64>, reason: R) {
        let most = most.map(|most| most.min(ENDLESS));
        let (capacity, reason) = match most {
            Some(most) if most < ENDLESS => (most, Some(reason)),
            _ => (ENDLESS, None),
        };
        self.graph
            .add_edge(NodeIndex::new(from), NodeIndex::new(to), capacity);
        self.reasons.push(reason);
    }

    /// Adds an edge that carries any number.
    pub(crate) fn add_open(&mut self, from: usize, to: usize) {
        self.graph
            .add_edge(NodeIndex::new(from), NodeIndex::new(to), ENDLESS);
        self.reasons.push(None);
    }

    /// The minimum cut between two nodes that is nearest to the first; `None` if it is endless.
    pub(crate) fn minimum(&self, source: usize, goal: usize) -> Option<Cut<R>> {
        let (source, goal) = (NodeIndex::new(source), NodeIndex::new(goal));
        let (items, flows) = dinics(&self.graph, source, goal);
        if items >= ENDLESS {
            return None;
        }
        let reached = self.reached(source, &flows);
        let is_cut = |edge: &EdgeIndex| {
            let ends = self.graph.edge_endpoints(*edge);
            ends.is_some_and(|(from, to)| reached[from.index()] && !reached[to.index()])
        };
        let cut = self.graph.edge_indices().filter(is_cut);
        // An edge that lets nothing pass is worth a word only where nothing passes at all.
        let cut = cut.filter(|edge| items == 0 || self.graph[*edge] > 0);
        Some(Cut {
            items,
            reasons: cut.filter_map(|edge| self.reasons[edge.index()]).collect(),
        })
    }

    /// The nodes to which more could flow.
    fn reached(&self, source: NodeIndex, flows: &[u64]) -> Vec<bool> {
        let mut reached = vec![false; self.graph.node_count()];
        reached[source.index()] = true;
        let mut waiting = vec![source];
        while let Some(node) = waiting.pop() {
            let onward = self.graph.edges(node);
            let onward = onward
                .filter(|edge| flows[edge.id().index()] < *edge.weight())
                .map(|edge| edge.target());
            let back = self
                .graph
                .edges_directed(node, petgraph::Direction::Incoming);
            let back = back
                .filter(|edge| flows[edge.id().index()] > 0)
                .map(|edge| edge.source());
            for next in onward.chain(back) {
                if !std::mem::replace(&mut reached[next.index()], true) {
                    waiting.push(next);
                }
            }
        }
        reached
    }
}
