//! Random hopper networks as graphs: parts joined by links, each of which passes one item in 8 ticks.
//!
//! A hopper may push one item and be pulled from in the same 8 ticks, so that what has a capacity is
//! the link, not the hopper: the link of a hopper to its target, and the link from what is above a
//! hopper to the hopper. A container takes and gives any number.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use petgraph::algo::dinics;
use petgraph::graph::{DiGraph, NodeIndex};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Source chests are filled up, and the store is emptied, so often.
const SERVICE_TICKS: u64 = 80;
/// A chest of this many slots outlasts 80 ticks of up to ten links.
const SLOTS: u16 = 160;
/// More than all links of a network together pass.
const AMPLE_CAPACITY: u32 = 1000;

/// What stands at a node between the sources and the store.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Node {
    Hopper {
        target: Option<usize>,
        above: Option<usize>,
    },
    Chest,
}

/// Some source chests, then hoppers and chests, each of which hands on to later nodes only, then the
/// store.
#[derive(Clone, Debug)]
pub(crate) struct FlowNetwork {
    sources: usize,
    inner: Vec<Node>,
    order_seed: u64,
}

impl FlowNetwork {
    /// A network drawn from a seed.
    pub(crate) fn draw(seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let sources = random.random_range(1..=3);
        let inner = random.random_range(3..=14);
        let store = sources + inner;
        let node = |place: usize, random: &mut ChaCha8Rng| {
            if random.random_ratio(1, 10) {
                return Node::Chest;
            }
            // A line goes on at the next node; a hopper below it pulls from one of the last few.
            let farthest = store.min(place + 4);
            let target = match random.random_range(0..10) {
                0 => None,
                1 | 2 => Some(store),
                3..=5 => Some(random.random_range(place + 1..=farthest)),
                _ => Some(place + 1),
            };
            let above = match random.random_range(0..10) {
                0..=3 => Some(random.random_range(0..sources)),
                4..=6 => Some(random.random_range(place.saturating_sub(4)..place)),
                _ => None,
            };
            Node::Hopper { target, above }
        };
        Self {
            sources,
            inner: (sources..store)
                .map(|place| node(place, &mut random))
                .collect(),
            order_seed: seed,
        }
    }

    fn store(&self) -> usize {
        self.sources + self.inner.len()
    }

    /// The links, from node to node.
    pub(crate) fn links(&self) -> Vec<(usize, usize)> {
        let mut links = Vec::new();
        for (number, node) in self.inner.iter().enumerate() {
            let place = self.sources + number;
            if let Node::Hopper { target, above } = node {
                links.extend(above.map(|above| (above, place)));
                links.extend(target.map(|target| (place, target)));
            }
        }
        links
    }

    /// How many nodes there are, one in front of the sources included: the last one.
    pub(crate) fn node_count(&self) -> usize {
        self.store() + 2
    }

    /// The graph: from the node in front of the sources into each source as much as it can take, and
    /// 1 over each link. Its first node is to be cut off from its second.
    pub(crate) fn capacities(&self) -> (usize, usize, Vec<(usize, usize, u32)>) {
        let front = self.store() + 1;
        let into_sources = (0..self.sources).map(|source| (front, source, AMPLE_CAPACITY));
        let links = self.links().into_iter().map(|(from, to)| (from, to, 1));
        (front, self.store(), into_sources.chain(links).collect())
    }

    /// The capacity of a minimum cut between the sources and the store, in items in 8 ticks, which is
    /// that of a maximum flow.
    pub(crate) fn minimum_cut(&self) -> u32 {
        let (front, store, edges) = self.capacities();
        let mut graph = DiGraph::<(), u32>::new();
        for _ in 0..self.node_count() {
            graph.add_node(());
        }
        for (from, to, capacity) in edges {
            graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), capacity);
        }
        dinics(&graph, NodeIndex::new(front), NodeIndex::new(store)).0
    }

    /// Whether every line is fed, so that a minimum cut is not only never surpassed but reached.
    ///
    /// A part that shares its items out by turns, and has fewer than it could give, may give one to a
    /// line that is full without it and so rob another one. So a part with several links out of it
    /// must be fed: a source, or a part with at least as many links into it that come from fed parts.
    /// Or nothing after it may be full without it: no other link joins there, except at the store.
    pub(crate) fn is_fed(&self) -> bool {
        let links = self.links();
        let into = |node: usize| links.iter().filter(move |(_, to)| *to == node);
        let out_of = |node: usize| links.iter().filter(move |(from, _)| *from == node);
        let mut fed = vec![true; self.store() + 1];
        for node in self.sources..self.store() {
            let from_fed = into(node).filter(|(from, _)| fed[*from]).count();
            fed[node] = from_fed >= out_of(node).count();
        }
        let mut joins_after = vec![false; self.store() + 1];
        for node in (0..self.store()).rev() {
            joins_after[node] = out_of(node)
                .filter(|(_, to)| *to != self.store())
                .any(|(_, to)| into(*to).count() > 1 || joins_after[*to]);
        }
        (self.sources..self.store())
            .all(|node| fed[node] || out_of(node).count() < 2 || !joins_after[node])
    }

    /// The network, a setup that keeps sources full and store empty, and the store.
    pub(crate) fn build(&self, length_ticks: u64) -> (Network, Setup, PartId) {
        let mut builder = NetworkBuilder::new(Rules::default());
        // A hopper is full with five of these, so that lines soon are as full as they will be.
        let mallet = builder.kind("mallet", StackLimit::One);
        let ids: Vec<PartId> = (0..=self.store())
            .map(|node| builder.declare(&format!("node {node}")))
            .collect();
        let chest = |slots| Part::Container(Container { slots });
        for source in &ids[..self.sources] {
            builder.define(*source, chest(SLOTS));
        }
        for (number, node) in self.inner.iter().enumerate() {
            let part = match node {
                Node::Hopper { target, above } => Part::Hopper(Hopper {
                    target: target.map(|target| ids[target]),
                    intake: above.map_or(Intake::Cap, |above| Intake::Above(ids[above])),
                    lock: None,
                }),
                Node::Chest => chest(5),
            };
            builder.define(ids[self.sources + number], part);
        }
        let store = ids[self.store()];
        builder.define(store, chest(SLOTS));
        let network = builder.build().expect("a flow network is sound");
        let setup = Setup {
            seed: 0,
            orders: Orders::of_update(Order::Shuffled(self.order_seed)),
            timeline: timeline(&ids[..self.sources], store, mallet, length_ticks),
        };
        (network, setup, store)
    }
}

/// Fills the sources up and empties the store.
fn timeline(sources: &[PartId], store: PartId, kind: KindId, length_ticks: u64) -> Timeline {
    let mut entries = Vec::new();
    for tick in (0..length_ticks).step_by(SERVICE_TICKS as usize) {
        for source in sources {
            let delivery = Action::Deliver {
                place: *source,
                kind,
                count: u32::from(SLOTS),
                contents: Vec::new(),
                terms: Terms::default(),
            };
            entries.push((Tick(tick), delivery));
        }
        let count = u32::from(SLOTS);
        let place = store;
        entries.push((Tick(tick), Action::Withdraw { place, count }));
    }
    Timeline::new(entries)
}
