//! Minimum cuts: the least that stands between the sources and a goal.

use std::collections::BTreeMap;

use petgraph::algo::dinics;
use petgraph::graph::{DiGraph, EdgeIndex, EdgeReference, NodeIndex};
use petgraph::unionfind::UnionFind;
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

/// Nodes that hang together without the two ends, and their edges.
struct Group {
    /// The source is the first node, the goal the second.
    graph: DiGraph<(), u64>,
    numbers: BTreeMap<NodeIndex, NodeIndex>,
    /// What each of its edges is in the whole graph.
    edges: Vec<EdgeIndex>,
}

impl Default for Group {
    fn default() -> Self {
        let mut graph = DiGraph::new();
        graph.add_node(());
        graph.add_node(());
        Self {
            graph,
            numbers: BTreeMap::new(),
            edges: Vec::new(),
        }
    }
}

impl Group {
    fn add(&mut self, edge: EdgeReference<'_, u64>, source: NodeIndex, goal: NodeIndex) {
        let [from, to] = [edge.source(), edge.target()].map(|node| {
            if node == source {
                NodeIndex::new(0)
            } else if node == goal {
                NodeIndex::new(1)
            } else {
                let number = self.numbers.entry(node);
                *number.or_insert_with(|| self.graph.add_node(()))
            }
        });
        self.graph.add_edge(from, to, *edge.weight());
        self.edges.push(edge.id());
    }
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
        let (items, flows) = self.most(source, goal);
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

    /// How much can flow at most, and how much along each edge. What hangs together only at the two ends flows
    /// by itself: looked at as one, a thousand lines side by side would be searched a thousand times.
    fn most(&self, source: NodeIndex, goal: NodeIndex) -> (u64, Vec<u64>) {
        let is_end = |node: NodeIndex| node == source || node == goal;
        let mut together = UnionFind::<usize>::new(self.graph.node_count());
        for edge in self.graph.edge_references() {
            if !is_end(edge.source()) && !is_end(edge.target()) {
                together.union(edge.source().index(), edge.target().index());
            }
        }
        let mut groups: BTreeMap<usize, Group> = BTreeMap::new();
        for edge in self.graph.edge_references() {
            let ends = [edge.source(), edge.target()];
            let inner = ends.into_iter().find(|node| !is_end(*node));
            let group = inner.unwrap_or(source).index();
            let group = groups.entry(together.find(group)).or_default();
            group.add(edge, source, goal);
        }
        let mut flows = vec![0; self.graph.edge_count()];
        let mut items = 0_u64;
        for group in groups.into_values() {
            let (source, goal) = (NodeIndex::new(0), NodeIndex::new(1));
            let (most, along) = dinics(&group.graph, source, goal);
            items = items.saturating_add(most);
            for (edge, flow) in group.edges.into_iter().zip(along) {
                flows[edge.index()] = flow;
            }
        }
        (items, flows)
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
