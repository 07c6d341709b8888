//! The network: all parts of a design and how they connect. Immutable once built.

mod builder;
mod changed;
mod check;
mod error;
mod links;
mod names;
mod pace;

use petgraph::graph::{DiGraph, NodeIndex};

pub use builder::NetworkBuilder;
pub use error::{NetworkError, Problem};
pub use links::{Link, SignalRole};
pub use pace::Pace;

use self::names::Names;
use crate::goods::Kind;
use crate::id::{KindId, PartId};
use crate::part::{Part, Signal};
use crate::rules::Rules;
use crate::slot::{BOX_SLOTS, DROPPER_SLOTS, Filling, HOPPER_SLOTS};

/// A checked network: a graph whose nodes are parts and whose edges are item and signal links,
/// with the goods it handles, what it holds at the start, and its rules.
#[derive(Clone, Debug)]
pub struct Network {
    rules: Rules,
    kinds: Vec<Kind>,
    graph: DiGraph<Part, Link>,
    names: Names,
    /// Stream tags that differ from the part's name, by part.
    stream_tags: Vec<(PartId, Box<str>)>,
    /// Of how many blocks mouths are, where it was said, by mouth.
    mouth_blocks: Vec<(PartId, u16)>,
    /// What each part holds at the start, by part and slot.
    fillings: Vec<(PartId, Filling)>,
}

impl Network {
    /// The numbers of its world.
    #[must_use]
    pub fn rules(&self) -> &Rules {
        &self.rules
    }

    /// All kinds of goods, in the order of their ids.
    #[must_use]
    pub fn kinds(&self) -> &[Kind] {
        &self.kinds
    }

    /// One kind.
    ///
    /// # Panics
    ///
    /// If the id is not one of this network's.
    #[must_use]
    pub fn kind(&self, kind: KindId) -> &Kind {
        &self.kinds[kind.index()]
    }

    /// How many parts there are.
    #[must_use]
    #[inline]
    pub fn part_count(&self) -> usize {
        self.graph.node_count()
    }

    /// The ids of all parts, in the order of declaration.
    pub fn part_ids(&self) -> impl DoubleEndedIterator<Item = PartId> + use<> {
        (0..self.part_count()).map(PartId::from_index)
    }

    /// All parts with their ids, in the order of declaration.
    pub fn parts(&self) -> impl DoubleEndedIterator<Item = (PartId, &Part)> {
        self.part_ids().map(|part| (part, self.part(part)))
    }

    /// One part.
    ///
    /// # Panics
    ///
    /// If the id is not one of this network's.
    #[must_use]
    #[inline]
    pub fn part(&self, part: PartId) -> &Part {
        &self.graph[NodeIndex::new(part.index())]
    }

    /// The name of a part, unique in the network.
    ///
    /// # Panics
    ///
    /// If the id is not one of this network's.
    #[must_use]
    pub fn name(&self, part: PartId) -> &str {
        let name = self.names.get(part);
        name.expect("the id is one of this network's")
    }

    /// The part of this name. Looks at every name: for many look-ups, make a map.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<PartId> {
        let mut names = self.names.iter();
        names.find_map(|(part, other)| (other == name).then_some(part))
    }

    /// The tag that the part's random stream follows from: its name unless another was given.
    #[must_use]
    pub fn stream_tag(&self, part: PartId) -> &str {
        self.stream_tags
            .iter()
            .find(|(tagged, _)| *tagged == part)
            .map_or_else(|| self.name(part), |(_, tag)| tag)
    }

    /// How many blocks a mouth has, side by side: 1 unless it was said.
    #[must_use]
    pub fn mouth_blocks(&self, mouth: PartId) -> u16 {
        let said = &self.mouth_blocks;
        let found = said.binary_search_by_key(&mouth, |(mouth, _)| *mouth);
        found.map_or(1, |place| said[place].1)
    }

    /// What the parts hold at the start, sorted by part and slot.
    #[must_use]
    pub fn fillings(&self) -> &[(PartId, Filling)] {
        &self.fillings
    }

    /// What is wrong with the contents of an item of this kind.
    pub(crate) fn contents_problems(&self, kind: KindId, contents: &[Filling]) -> Vec<Problem> {
        check::contents_problems(&self.kinds, self.kind(kind), contents)
    }

    /// The parts that take turns in phase 4, hoppers and selectors, in the order of declaration.
    pub fn turn_takers(&self) -> impl Iterator<Item = PartId> {
        self.parts()
            .filter(|(_, part)| matches!(part, Part::Hopper(_) | Part::Selector(_)))
            .map(|(id, _)| id)
    }

    /// The parts that a change can reach, in the default signal order (tick rules, section 2): observers,
    /// hoppers, selectors, droppers and other signals, each sort in the order of declaration.
    #[must_use]
    pub fn change_takers(&self) -> Vec<PartId> {
        let sort = |part: PartId| match self.part(part) {
            Part::Signal(Signal::Observer { .. }) => Some(0),
            Part::Hopper(_) => Some(1),
            Part::Selector(_) => Some(2),
            Part::Dropper(_) => Some(3),
            Part::Signal(_) => Some(4),
            Part::Container(_) | Part::Mouth | Part::Stream(_) => None,
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) => None,
        };
        let takes = |part: &PartId| sort(*part).is_some();
        let mut takers: Vec<PartId> = self.part_ids().filter(takes).collect();
        takers.sort_by_key(|part| sort(*part));
        takers
    }

    /// How many slots a part has of its own; `None` for one that has none. A bench and a shuttle's
    /// place have slots only while something stands there.
    #[must_use]
    pub fn own_slots(&self, part: PartId) -> Option<u16> {
        match self.part(part) {
            Part::Container(container) => Some(container.slots),
            Part::Hopper(_) => Some(HOPPER_SLOTS),
            Part::Dropper(_) => Some(DROPPER_SLOTS),
            Part::Shuttle(shuttle) => Some(shuttle.slots),
            Part::Mouth | Part::Stream(_) | Part::Bench(_) | Part::Dock => None,
            Part::Selector(_) | Part::Signal(_) => None,
        }
    }

    /// The signal of a part that gives one.
    #[must_use]
    pub fn signal(&self, part: PartId) -> Option<&Signal> {
        self.part(part).signal()
    }

    /// The graph: node `n` is part `n`; edges run the way items and signals go.
    #[must_use]
    pub fn graph(&self) -> &DiGraph<Part, Link> {
        &self.graph
    }

    /// The most slots that any inventory of this network has.
    #[must_use]
    pub fn widest_inventory_slots(&self) -> u16 {
        self.part_ids()
            .filter_map(|part| self.own_slots(part))
            .max()
            .unwrap_or(0)
            .max(BOX_SLOTS)
    }
}
