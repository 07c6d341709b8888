//! Parts that stand nowhere, or somewhere in a room: they are brought, but no plan has them.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::slot::Filling;
use hallwright_declared::declarations::Declarations;
use hallwright_declared::placement::Placement;
use hallwright_site::blocks::{Declared, Settings};

use crate::unmade::unmade;
use crate::{Bring, Sort, is_wire};

/// A part that stands nowhere, or somewhere in a room.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Nowhere {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What it is.
    pub sort: Sort,
    /// How it is set.
    pub settings: Settings,
    /// What it holds at the start.
    pub contents: Vec<Filling>,
    /// The room in which it stands somewhere, if it is in one.
    pub room: Option<String>,
    /// To what it is linked, and what it hears: all of it is taken at its word.
    pub declared: Vec<Declared>,
}

/// The parts that are no pieces.
pub(crate) fn nowhere(
    network: &Network,
    placement: &Placement,
    standing: &BTreeSet<PartId>,
) -> Vec<Nowhere> {
    let parts = network
        .part_ids()
        .filter(|part| !standing.contains(part) && !is_wire(network, *part));
    let each = parts.filter_map(|part| {
        let built = placement.of(part).map(|placed| placed.built);
        Some(Nowhere {
            part,
            name: network.name(part).to_owned(),
            sort: Sort::of_part(network.part(part), built.unwrap_or_default()),
            settings: Settings::of(network.part(part))?,
            contents: contents(network, part),
            room: room_of(placement, part),
            declared: unmade(network, standing, part),
        })
    });
    each.collect()
}

/// The room in which a part stands.
fn room_of(placement: &Placement, part: PartId) -> Option<String> {
    let mut rooms = placement.rooms.iter();
    let room = rooms.find(|room| room.parts.contains(&part))?;
    Some(room.name.clone())
}

/// What a part holds at the start.
fn contents(network: &Network, part: PartId) -> Vec<Filling> {
    let fillings = network.fillings();
    let first = fillings.partition_point(|(other, _)| *other < part);
    let own = fillings[first..]
        .iter()
        .take_while(|(other, _)| *other == part);
    own.map(|(_, filling)| filling.clone()).collect()
}

impl Nowhere {
    /// What to bring for it: of a stream one block of water at least.
    pub(crate) fn bring(&self, network: &Network, declarations: &Declarations) -> Bring {
        let mut bring = Bring::default();
        let blocks = if self.sort == Sort::DoubleChest { 2 } else { 1 };
        bring.add_blocks(self.sort, blocks);
        bring.water_sources = u64::from(self.sort == Sort::Stream);
        let is_sieve = declarations.sieves.contains(&self.part);
        bring.add_contents(network, &self.contents, is_sieve);
        bring
    }
}
