//! Puts a network together.

use super::check::check;
use super::links::graph;
use super::names::Names;
use super::{Network, NetworkError};
use crate::goods::{Kind, StackLimit};
use crate::id::{KindId, PartId};
use crate::part::Part;
use crate::rules::Rules;
use crate::slot::Filling;

/// Collects goods and parts, and checks them when all are there.
///
/// A part may be [declared](Self::declare) first and [defined](Self::define) later, so that parts
/// can name each other in any order; [`add`](Self::add) does both at once.
///
/// ```
/// use hallwright_core::network::NetworkBuilder;
/// use hallwright_core::part::{Container, Hopper, Intake, Part};
/// use hallwright_core::rules::Rules;
///
/// let mut builder = NetworkBuilder::new(Rules::default());
/// let chest = builder.add("chest", Part::Container(Container { slots: 27 }));
/// builder.add("hopper", Part::Hopper(Hopper { target: Some(chest), intake: Intake::Cap, lock: None }));
/// let network = builder.build().expect("a hopper may push into a chest");
/// assert_eq!(network.part_count(), 2);
/// ```
#[derive(Clone, Debug)]
pub struct NetworkBuilder {
    pub(super) rules: Rules,
    pub(super) kinds: Vec<Kind>,
    pub(super) names: Names,
    pub(super) parts: Vec<Option<Part>>,
    pub(super) stream_tags: Vec<(PartId, Box<str>)>,
    pub(super) mouth_blocks: Vec<(PartId, u16)>,
    pub(super) fillings: Vec<(PartId, Filling)>,
}

impl NetworkBuilder {
    /// An empty network in a world with these rules.
    #[must_use]
    pub fn new(rules: Rules) -> Self {
        Self {
            rules,
            kinds: Vec::new(),
            names: Names::default(),
            parts: Vec::new(),
            stream_tags: Vec::new(),
            mouth_blocks: Vec::new(),
            fillings: Vec::new(),
        }
    }

    /// Adds a kind of goods.
    pub fn kind(&mut self, name: &str, stack_limit: StackLimit) -> KindId {
        self.add_kind(Kind {
            name: name.to_owned(),
            stack_limit,
            is_box: false,
        })
    }

    /// Adds a kind of box.
    pub fn box_kind(&mut self, name: &str) -> KindId {
        self.add_kind(Kind {
            name: name.to_owned(),
            stack_limit: StackLimit::One,
            is_box: true,
        })
    }

    fn add_kind(&mut self, kind: Kind) -> KindId {
        self.kinds.push(kind);
        KindId::from_index(self.kinds.len() - 1)
    }

    /// Declares a part, to be defined later. Its place in the order of declaration is this one.
    pub fn declare(&mut self, name: &str) -> PartId {
        self.names.push(name);
        self.parts.push(None);
        PartId::from_index(self.parts.len() - 1)
    }

    /// Says what a declared part is.
    ///
    /// # Panics
    ///
    /// If the part was not declared here, or was defined already.
    pub fn define(&mut self, id: PartId, part: Part) {
        let defined = self.parts[id.index()].replace(part);
        assert!(defined.is_none(), "{id} was defined before");
    }

    /// Declares and defines a part.
    pub fn add(&mut self, name: &str, part: Part) -> PartId {
        let id = self.declare(name);
        self.define(id, part);
        id
    }

    /// Puts something into a slot of a part at the start.
    pub fn fill(&mut self, part: PartId, filling: Filling) {
        self.fillings.push((part, filling));
    }

    /// Gives a part's random stream a tag other than the part's name.
    pub fn stream_tag(&mut self, part: PartId, tag: &str) {
        self.stream_tags.push((part, tag.into()));
    }

    /// Says how many blocks a mouth has: so many hoppers stand side by side below it. It has one
    /// unless this says otherwise. Nothing changes in a run: it is about what can be built.
    pub fn mouth_blocks(&mut self, mouth: PartId, blocks: u16) {
        self.mouth_blocks.push((mouth, blocks));
    }

    /// Checks everything and finishes the network.
    ///
    /// # Errors
    ///
    /// Every problem there is, in the order of declaration.
    pub fn build(mut self) -> Result<Network, Vec<NetworkError>> {
        self.fillings
            .sort_by_key(|(part, filling)| (*part, filling.slot));
        self.mouth_blocks.sort_by_key(|(mouth, _)| *mouth);
        for (_, filling) in &mut self.fillings {
            filling.contents.sort_by_key(|inner| inner.slot);
        }
        let errors = check(&self);
        if !errors.is_empty() {
            return Err(errors);
        }
        let parts: Vec<Part> = self.parts.into_iter().flatten().collect();
        Ok(Network {
            rules: self.rules,
            kinds: self.kinds,
            graph: graph(parts),
            names: self.names.finished(),
            stream_tags: self.stream_tags,
            mouth_blocks: self.mouth_blocks,
            fillings: self.fillings,
        })
    }
}
