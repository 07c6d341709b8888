//! What piece each part is.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Lift, Outlet, Part, Signal};

use super::fills::{DOUBLE_CHEST_SLOTS, all_blocks};
use super::finding::{Detail, Finding, Rule};
use super::gates::{is_called, usage};
use crate::blocks::{Declared, Opening, Piece, Settings, Shape};
use crate::network::{Ear, Role, links, sources};
use hallwright_declared::placement::{Built, Gate, Placed, Placement};
use hallwright_declared::space::{Block, Side};

/// Makes the pieces of a network's parts.
pub(super) struct Layer<'a> {
    network: &'a Network,
    placement: &'a Placement,
    /// The blocks of each part.
    blocks: Vec<Vec<Block>>,
}

impl<'a> Layer<'a> {
    /// One for this network, where its layout says that it stands.
    pub(super) fn of(network: &'a Network, placement: &'a Placement) -> Self {
        Self {
            network,
            placement,
            blocks: all_blocks(network, placement),
        }
    }
    fn placed(&self, part: PartId) -> Option<&Placed> {
        self.placement.of(part)
    }

    /// Whether a part stands somewhere: it has blocks, or it is a dock at a shuttle's gate.
    pub(super) fn stands(&self, part: PartId) -> bool {
        !self.blocks[part.index()].is_empty() || self.shuttle_of(part).is_some()
    }

    /// The shuttle at a gate of which a dock is.
    fn shuttle_of(&self, dock: PartId) -> Option<PartId> {
        if *self.network.part(dock) != Part::Dock {
            return None;
        }
        let has_gate = |shuttle: &PartId| {
            let placed = self
                .placed(*shuttle)
                .filter(|placed| placed.position.is_some());
            let is_its = |gate: &Gate| is_called(self.network, *shuttle, dock, &gate.name);
            placed.is_some_and(|placed| placed.sides.iter().any(is_its))
        };
        let parts = self.network.parts();
        let mut shuttles = parts.filter(|(_, part)| part.shuttle().is_some());
        shuttles
            .find(|(shuttle, _)| has_gate(shuttle))
            .map(|(shuttle, _)| shuttle)
    }

    /// The blocks at which a part is met: its own, or those of the shuttle at whose gate it is.
    fn met_at(&self, part: PartId) -> &[Block] {
        let own = &self.blocks[part.index()];
        match self.shuttle_of(part) {
            Some(shuttle) if own.is_empty() => &self.blocks[shuttle.index()],
            _ => own,
        }
    }

    /// The piece that a part is.
    pub(super) fn piece(&self, part: PartId, findings: &mut Vec<Finding>) -> Piece {
        let what = self.network.part(part);
        let nothing = Placed::default();
        let placed = self.placed(part).unwrap_or(&nothing);
        let blocks = self.blocks[part.index()].iter().copied();
        let mut piece = Piece::new(self.network.name(part), shape(what, placed.built), blocks);
        piece.settings = Settings::of(what);
        let links = links(self.network, part);
        piece.faces = self.faces(part, placed, piece.shape, &links);
        let is_double = piece.shape == Shape::DoubleChest;
        let along = placed.along.unwrap_or(Side::PlusX);
        let pointed = if is_double { Some(along) } else { piece.faces };
        if !can_point(piece.shape, pointed) {
            let at = piece.blocks.first().copied();
            let finding = Finding::new(Rule::Faces, Some(part), at);
            findings.push(finding.saying(Detail::Faces(pointed)));
        }
        piece.meant = self.meant(&links);
        piece.declared = self.declared(part, &links);
        let corner = placed.position.unwrap_or_default();
        let size = placed.size.unwrap_or(Block::new(1, 1, 1));
        for gate in &placed.sides {
            let unknown = || {
                let finding = Finding::new(Rule::SideUnknown, Some(part), Some(corner));
                finding.saying(Detail::Side(gate.name.clone()))
            };
            let block = corner + at_face(gate, size);
            match usage(self.network, part, &gate.name) {
                None => findings.push(unknown()),
                Some(_) if !is_within(gate.at, size) || !piece.blocks.contains(&block) => {
                    findings.push(unknown().with(None, Some(corner + gate.at)));
                }
                Some(usage) => piece.openings.push(Opening {
                    block,
                    side: gate.side,
                    usage,
                }),
            }
        }
        let fillings = self.network.fillings();
        let first = fillings.partition_point(|(other, _)| *other < part);
        let own = fillings[first..]
            .iter()
            .take_while(|(other, _)| *other == part);
        piece.contents = own.map(|(_, filling)| filling.clone()).collect();
        piece
    }

    /// Where it points: as is said, or else to what it pushes into.
    fn faces(
        &self,
        part: PartId,
        placed: &Placed,
        shape: Shape,
        links: &[(Role, PartId)],
    ) -> Option<Side> {
        if matches!(shape, Shape::Inverter | Shape::Lever | Shape::Button) {
            return placed.on.or(Some(Side::MinusY));
        }
        let pushes = matches!(shape, Shape::Hopper | Shape::Dropper | Shape::Dispenser);
        if placed.faces.is_some() || !pushes {
            return placed.faces;
        }
        let is_push = |(role, _): &&(Role, PartId)| {
            matches!(role, Role::Target | Role::Into | Role::Bench | Role::Loose)
        };
        let here = *self.blocks[part.index()].first()?;
        let Some((_, to)) = links.iter().find(is_push) else {
            return (shape == Shape::Hopper).then_some(Side::MinusY);
        };
        let mut sides = self.met_at(*to).iter();
        let side = sides.find_map(|block| here.side_of(*block));
        side.filter(|side| shape != Shape::Hopper || *side != Side::PlusY)
    }

    /// The names of the mouths and streams to which it leads.
    fn meant(&self, links: &[(Role, PartId)]) -> Vec<String> {
        let is_loose = |to: &PartId| self.network.part(*to).is_loose_place();
        let to = links.iter().map(|(_, to)| *to);
        to.filter(is_loose)
            .map(|to| self.network.name(to).to_owned())
            .collect()
    }

    /// What no block says: the stops of a shuttle, and what lifts a bench's box.
    fn declared(&self, part: PartId, links: &[(Role, PartId)]) -> Vec<Declared> {
        let name = |part: PartId| self.network.name(part).to_owned();
        let stop = |(role, to): &(Role, PartId)| {
            let is_stop = matches!(role, Role::Stop(_));
            is_stop.then(|| Declared::Link(*role, name(*to)))
        };
        let mut declared: Vec<Declared> = links.iter().filter_map(stop).collect();
        if let Part::Bench(bench) = self.network.part(part)
            && let Lift::Signal(signal) = bench.lift
        {
            let heard = sources(self.network, signal);
            let lift = heard
                .iter()
                .map(|(source, heard)| Declared::Signal(Ear::Lift, name(source), heard.loss));
            declared.extend(lift);
        }
        declared
    }
}

/// Whether a block, counted from the corner of a box, is one of the box.
fn is_within(block: Block, size: Block) -> bool {
    let is_within = |block: i32, size: i32| (0..size).contains(&block);
    is_within(block.x, size.x) && is_within(block.y, size.y) && is_within(block.z, size.z)
}

/// The block of a box at which a gate is, counted from the corner: one at the face on its side.
fn at_face(gate: &Gate, size: Block) -> Block {
    let Block { x, y, z } = gate.at;
    match gate.side {
        Side::PlusX => Block::new(size.x - 1, y, z),
        Side::MinusX => Block::new(0, y, z),
        Side::PlusY => Block::new(x, size.y - 1, z),
        Side::MinusY => Block::new(x, 0, z),
        Side::PlusZ => Block::new(x, y, size.z - 1),
        Side::MinusZ => Block::new(x, y, 0),
    }
}

/// Whether something of this shape can point there, or be said to point nowhere.
fn can_point(shape: Shape, side: Option<Side>) -> bool {
    match shape {
        Shape::Hopper => side != Some(Side::PlusY),
        Shape::Comparator | Shape::Repeater | Shape::DoubleChest => {
            side.is_some_and(Side::is_level)
        }
        Shape::Observer => side.is_some(),
        // What they hand on to may stand nowhere.
        Shape::Dropper | Shape::Dispenser => true,
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => true,
        Shape::Barrel | Shape::Container | Shape::Inverter | Shape::Lever => true,
        Shape::Button | Shape::Bench | Shape::Stream | Shape::Mouth | Shape::Word => true,
    }
}

/// As what a part is built, wherever it stands.
#[must_use]
pub fn shape(part: &Part, built: Built) -> Shape {
    match part {
        Part::Container(container) => match built {
            _ if container.slots == DOUBLE_CHEST_SLOTS => Shape::DoubleChest,
            Built::Chest => Shape::Chest,
            Built::ChestApart => Shape::ChestApart,
            Built::Barrel => Shape::Barrel,
            Built::Usual | Built::Dispenser => Shape::Container,
        },
        Part::Hopper(_) => Shape::Hopper,
        Part::Dropper(dropper) => match (built, dropper.outlet) {
            (Built::Dispenser, _) | (_, Outlet::Bench(_)) => Shape::Dispenser,
            (_, Outlet::Into(_) | Outlet::Loose(_)) => Shape::Dropper,
        },
        Part::Mouth => Shape::Mouth,
        Part::Stream(_) => Shape::Stream,
        Part::Bench(_) => Shape::Bench,
        Part::Selector(_) | Part::Dock | Part::Shuttle(_) => Shape::Word,
        Part::Signal(signal) => match signal {
            Signal::Lever { .. } => Shape::Lever,
            Signal::Button { .. } => Shape::Button,
            Signal::Wire { .. } => Shape::Wire,
            Signal::Repeater { .. } => Shape::Repeater,
            Signal::Comparator { .. } => Shape::Comparator,
            Signal::Inverter { .. } => Shape::Inverter,
            Signal::Observer { .. } => Shape::Observer,
            Signal::Hold { .. } | Signal::Latch { .. } | Signal::Toggle { .. } => Shape::Word,
            Signal::AllOf { .. } | Signal::NoneOf { .. } => Shape::Word,
            Signal::Clock { .. } | Signal::DelayLine { .. } => Shape::Word,
        },
    }
}
