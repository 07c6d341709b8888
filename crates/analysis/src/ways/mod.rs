//! The ways that items can take through a network: who can hand what to whom.
//!
//! [`Ways`] is the one graph of them, on which reach, distances and rings are found; [`KindWays`] says
//! besides which kinds of goods each way can carry, and so where a kind can come to and which stores
//! are its homes. A way may seem open that no run ever takes, for signals and fill levels are not
//! looked at; none is missing.

mod build;
mod homes;
mod kinds;
mod reach;
mod rings;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use serde::{Deserialize, Serialize};

pub use self::homes::Home;
pub use self::kinds::{KindSet, KindWays};

/// One way from one node to another.
///
/// The nodes are numbered: each part by the number of its id, and after them one for all the boxes
/// ([`Ways::boxes`]): what lies in a box can be wherever a box can be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Way {
    /// From this node.
    pub from: usize,
    /// To this node.
    pub to: usize,
    /// What happens along it.
    pub kind: WayKind,
    /// The part whose pace it goes at; `None` for as many items at once as may be.
    pub by: Option<PartId>,
    /// Its number among all the ways.
    pub(crate) number: usize,
}

/// What happens along a way.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub enum WayKind {
    /// A hopper or dropper puts items into what it leads to.
    Push,
    /// A hopper takes items from what stands above it.
    Pull,
    /// A hopper takes loose items at a mouth, a stack as a whole.
    PickUp,
    /// A dropper throws items onto a stream or at a mouth.
    Throw,
    /// A dispenser sets boxes down on a bench.
    SetDown,
    /// A dispenser throws what is no box to where its bench's boxes come loose.
    ThrowPast,
    /// A stream carries loose items to its mouth.
    Flow,
    /// A bench's box comes loose.
    Lift,
    /// A selector hands on what it takes.
    Match,
    /// A selector hands on the rest.
    Rest,
    /// A selector hands on what another target refused.
    WhenFull,
    /// What comes to a place goes into the shuttle that is docked there.
    Load,
    /// What a shuttle holds can be taken at each of its places.
    Unload,
    /// From one place of a shuttle's round to the next: short for a load and an unload.
    Travel,
    /// What comes to a bench goes into the box there.
    Pack,
    /// What boxes hold can be taken at a bench.
    Unpack,
}

impl WayKind {
    /// Whether it is a hop from one part to the next, as the links of the network show it: what is in
    /// a shuttle counts as being at its place, what is in a box as being where the box is.
    #[must_use]
    pub fn is_hop(self) -> bool {
        match self {
            Self::Push | Self::Pull | Self::PickUp | Self::Throw | Self::SetDown => true,
            Self::Flow | Self::Lift | Self::Match | Self::Rest | Self::WhenFull => true,
            Self::Travel => true,
            // The same items come along the bench's own way.
            Self::ThrowPast => false,
            Self::Load | Self::Unload | Self::Pack | Self::Unpack => false,
        }
    }

    /// Whether it leads into boxes or out of them.
    #[must_use]
    pub fn is_of_boxes(self) -> bool {
        match self {
            Self::Pack | Self::Unpack => true,
            Self::Push | Self::Pull | Self::PickUp | Self::Throw | Self::SetDown => false,
            Self::ThrowPast | Self::Flow | Self::Lift | Self::Match | Self::Rest => false,
            Self::WhenFull | Self::Load | Self::Unload | Self::Travel => false,
        }
    }

    /// Whether it stands for other ways that are in the graph as well.
    #[must_use]
    pub fn is_short_cut(self) -> bool {
        self == Self::Travel
    }

    /// Whether the hopper at its end takes the items.
    #[must_use]
    pub fn is_taken(self) -> bool {
        match self {
            Self::Pull | Self::PickUp => true,
            Self::Push | Self::Throw | Self::SetDown | Self::ThrowPast | Self::Flow => false,
            Self::Lift | Self::Match | Self::Rest | Self::WhenFull | Self::Load => false,
            Self::Unload | Self::Travel | Self::Pack | Self::Unpack => false,
        }
    }
}

/// All ways of a network.
#[derive(Clone, Debug)]
pub struct Ways {
    graph: DiGraph<(), Way>,
    parts: usize,
}

impl Ways {
    /// Those of a network.
    #[must_use]
    pub fn new(network: &Network) -> Self {
        Self {
            graph: build::graph(network),
            parts: network.part_count(),
        }
    }

    /// The node of what lies in boxes.
    #[must_use]
    pub fn boxes(&self) -> usize {
        self.parts
    }

    /// How many nodes there are: the parts and the boxes.
    #[must_use]
    pub fn node_count(&self) -> usize {
        self.parts + 1
    }

    /// How many ways there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.graph.edge_count()
    }

    /// All ways, by the parts they come from by declaration: those that a part makes stand together.
    pub fn iter(&self) -> impl Iterator<Item = &Way> {
        self.graph.raw_edges().iter().map(|edge| &edge.weight)
    }

    /// The ways that lead away from a node ([`Direction::Outgoing`]) or to it
    /// ([`Direction::Incoming`]).
    pub fn at(&self, node: usize, direction: Direction) -> impl Iterator<Item = &Way> {
        let edges = self.graph.edges_directed(NodeIndex::new(node), direction);
        edges.map(|edge| edge.weight())
    }
}

impl Way {
    /// The node at its end, gone along in a direction.
    #[must_use]
    pub fn end(&self, direction: Direction) -> usize {
        match direction {
            Direction::Outgoing => self.to,
            Direction::Incoming => self.from,
        }
    }
}
