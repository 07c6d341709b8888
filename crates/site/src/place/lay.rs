//! From what a layout says of where parts stand to a set of blocks: section 1.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Lift, Outlet, Part, Signal};

use super::finding::{Detail, Finding, Rule};
use super::gates::usage;
use crate::blocks::{Declared, Opening, Piece, Settings, Shape, Taken, World};
use crate::network::{Ear, Role, links, sources};
use crate::placement::{Built, Gate, Placed, Placement, Supports};
use crate::space::{Block, Side};

/// Slots of a double chest.
const DOUBLE_CHEST_SLOTS: u16 = 54;

/// What a placement comes to.
pub(super) struct Laid {
    pub(super) world: World,
    /// Of each piece the part that it is.
    pub(super) parts: Vec<Option<PartId>>,
    pub(super) findings: Vec<Finding>,
}

/// Lays every part that is said to stand somewhere, then the blocks that are no parts.
pub(super) fn lay(network: &Network, placement: &Placement) -> Laid {
    let layer = Layer {
        network,
        placement,
        blocks: all_blocks(network, placement),
    };
    let mut laid = Laid {
        world: World::new(),
        parts: Vec::new(),
        findings: Vec::new(),
    };
    for part in network.part_ids().filter(|part| layer.stands(*part)) {
        let piece = layer.piece(part, &mut laid.findings);
        laid.add(piece, Some(part));
    }
    for block in &placement.full {
        laid.add_unless_there(*block, Shape::Full, |shape| shape == Shape::Full);
    }
    for block in &placement.caps {
        // Whatever is no inventory and not open closes a hopper, so it may be there already.
        let closes =
            |shape: Shape| !shape.is_inventory() && !shape.is_open() && shape != Shape::Stream;
        laid.add_unless_there(*block, Shape::Cap, closes);
    }
    laid.fasten(placement.supports);
    laid.mouths(network);
    laid
}

impl Laid {
    fn add(&mut self, piece: Piece, part: Option<PartId>) {
        let (number, taken) = self.world.add(piece);
        debug_assert_eq!(number, self.parts.len(), "pieces are numbered in order");
        self.parts.push(part);
        // Two parts that share several blocks are one finding.
        let mut before: Option<usize> = None;
        for Taken { block, by, .. } in taken {
            if before.replace(by) == Some(by) {
                continue;
            }
            let finding = Finding::new(Rule::Overlap, part, Some(block));
            self.findings
                .push(finding.with(self.parts[by], Some(block)));
        }
    }

    /// Adds a block that is no part, unless something is there that does as well.
    fn add_unless_there(&mut self, block: Block, shape: Shape, does: impl Fn(Shape) -> bool) {
        if !self.world.shape_at(block).is_some_and(does) {
            self.add(Piece::new("", shape, [block]), None);
        }
    }

    /// A mouth has its blocks side by side, and no stream but its own ends in it.
    fn mouths(&mut self, network: &Network) {
        for mouth in self.world.of_shape(Shape::Mouth) {
            let blocks = &self.world.piece(mouth).blocks;
            let apart = apart_from_first(blocks);
            let part = self.parts[mouth];
            self.findings.extend(apart.into_iter().map(|block| {
                let finding = Finding::new(Rule::MouthApart, part, Some(block));
                finding.wanted(Side::LEVEL.map(|side| block.beside(side)).into())
            }));
        }
        for stream in self.world.of_shape(Shape::Stream) {
            let Some(part) = self.parts[stream] else {
                continue;
            };
            let last = self.world.piece(stream).blocks.last().copied();
            let mouth = last.and_then(|last| self.world.mouth_at(last));
            let Some(other) = mouth.and_then(|mouth| self.parts[mouth]) else {
                continue;
            };
            if !links(network, part).contains(&(Role::End, other)) {
                let finding = Finding::new(Rule::Overlap, Some(part), last);
                self.findings.push(finding.with(Some(other), last));
            }
        }
    }

    /// Looks after the full blocks that carry others.
    fn fasten(&mut self, supports: Supports) {
        for number in 0..self.world.pieces().len() {
            let piece = self.world.piece(number);
            let Some(side) = piece.fastened_on() else {
                continue;
            };
            let part = self.parts[number];
            let hangs = piece.shape == Shape::Inverter && side == Side::PlusY;
            for block in piece.blocks.clone() {
                let support = block.beside(side);
                if hangs {
                    let beside = [Side::MinusY].into_iter().chain(Side::LEVEL);
                    let wanted = beside.map(|side| block.beside(side)).collect();
                    let finding = Finding::new(Rule::Support, part, Some(block));
                    self.findings.push(finding.wanted(wanted));
                    continue;
                }
                if supports == Supports::Added && self.world.at(support).is_none() {
                    self.add(Piece::new("", Shape::Full, [support]), None);
                }
                if !self.world.is_full(support) {
                    let there = self.world.at(support);
                    let other = there.and_then(|there| self.parts[there]);
                    let finding = Finding::new(Rule::Support, part, Some(block));
                    let finding = finding.with(other, there.map(|_| support));
                    self.findings.push(finding.wanted(vec![support]));
                }
            }
        }
    }
}

/// Those blocks to which no way leads from the first, from one to the next beside it.
fn apart_from_first(blocks: &[Block]) -> Vec<Block> {
    let mut reached: Vec<Block> = blocks.first().copied().into_iter().collect();
    let mut next = 0;
    while let Some(&block) = reached.get(next) {
        let beside = Side::LEVEL.map(|side| block.beside(side));
        let new = beside.into_iter().filter(|block| blocks.contains(block));
        let new: Vec<Block> = new.filter(|block| !reached.contains(block)).collect();
        reached.extend(new);
        next += 1;
    }
    let all = blocks.iter().copied();
    all.filter(|block| !reached.contains(block)).collect()
}

/// The blocks that each part fills; none of one that is not said to stand anywhere.
fn all_blocks(network: &Network, placement: &Placement) -> Vec<Vec<Block>> {
    let mut all: Vec<Vec<Block>> = network
        .parts()
        .map(|(part, what)| {
            let placed = placement.parts.get(part.index());
            let placed = placed.and_then(Option::as_ref);
            placed.map_or_else(Vec::new, |placed| own_blocks(what, placed))
        })
        .collect();
    // A mouth is directly above its hoppers, so it need not be said.
    for (hopper, part) in network.parts() {
        let Some(hopper_part) = part.hopper() else {
            continue;
        };
        let hallwright_core::part::Intake::Mouth(mouth) = hopper_part.intake else {
            continue;
        };
        let said = placement.parts.get(mouth.index());
        let is_said = said
            .and_then(Option::as_ref)
            .is_some_and(|placed| placed.position.is_some() || !placed.path.is_empty());
        if let (false, Some(&below)) = (is_said, all[hopper.index()].first()) {
            let block = below.beside(Side::PlusY);
            if !all[mouth.index()].contains(&block) {
                all[mouth.index()].push(block);
            }
        }
    }
    all
}

/// The blocks that a part fills by what is said of it alone.
fn own_blocks(part: &Part, placed: &Placed) -> Vec<Block> {
    match part {
        Part::Stream(_) | Part::Mouth | Part::Signal(Signal::Wire { .. }) => {
            let path = placed.path.iter().copied();
            match placed.path.is_empty() {
                true => placed.position.into_iter().collect(),
                false => path.collect(),
            }
        }
        Part::Container(container) if container.slots == DOUBLE_CHEST_SLOTS => {
            let halves = |first: Block| [first, first.beside(placed.along.unwrap_or(Side::PlusX))];
            placed.position.map(halves).into_iter().flatten().collect()
        }
        _ if Settings::of(part).is_some_and(|settings| settings.is_taken_at_its_word()) => {
            let size = placed.size.unwrap_or(Block::new(1, 1, 1));
            let corner = placed.position;
            let blocks = corner.map(|corner| box_of(corner, size));
            blocks.into_iter().flatten().collect()
        }
        _ => placed.position.into_iter().collect(),
    }
}

fn box_of(corner: Block, size: Block) -> Vec<Block> {
    let mut blocks = Vec::new();
    for y in 0..size.y {
        for x in 0..size.x {
            for z in 0..size.z {
                blocks.push(corner + Block::new(x, y, z));
            }
        }
    }
    blocks
}

struct Layer<'a> {
    network: &'a Network,
    placement: &'a Placement,
    /// The blocks of each part.
    blocks: Vec<Vec<Block>>,
}

impl Layer<'_> {
    fn placed(&self, part: PartId) -> Option<&Placed> {
        self.placement.parts.get(part.index())?.as_ref()
    }

    /// Whether a part stands somewhere: it has blocks, or it is a dock at a shuttle's gate.
    fn stands(&self, part: PartId) -> bool {
        !self.blocks[part.index()].is_empty() || self.shuttle_of(part).is_some()
    }

    /// The shuttle at a gate of which a dock is.
    fn shuttle_of(&self, dock: PartId) -> Option<PartId> {
        let name = match self.network.part(dock) {
            Part::Dock => self.network.name(dock),
            _ => return None,
        };
        let has_gate = |shuttle: &PartId| {
            let placed = self
                .placed(*shuttle)
                .filter(|placed| placed.position.is_some());
            placed.is_some_and(|placed| placed.sides.iter().any(|gate| gate.name == name))
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

    fn piece(&self, part: PartId, findings: &mut Vec<Finding>) -> Piece {
        let what = self.network.part(part);
        let nothing = Placed::default();
        let placed = self.placed(part).unwrap_or(&nothing);
        let blocks = self.blocks[part.index()].iter().copied();
        let mut piece = Piece::new(self.network.name(part), shape(what, placed.built), blocks);
        piece.settings = Settings::of(what);
        piece.faces = self.faces(part, placed, piece.shape);
        let pointed = match piece.shape {
            Shape::DoubleChest => placed.along.or(Some(Side::PlusX)),
            _ => piece.faces,
        };
        if !can_point(piece.shape, pointed) {
            let at = piece.blocks.first().copied();
            let finding = Finding::new(Rule::Faces, Some(part), at);
            findings.push(finding.saying(Detail::Faces(pointed)));
        }
        piece.meant = self.meant(part);
        piece.declared = self.declared(part);
        let corner = placed.position.unwrap_or_default();
        let size = placed.size.unwrap_or(Block::new(1, 1, 1));
        for gate in &placed.sides {
            let block = corner + at_face(gate, size);
            let usage = usage(self.network, part, &gate.name);
            match usage.filter(|_| piece.blocks.contains(&block)) {
                Some(usage) => piece.openings.push(Opening {
                    block,
                    side: gate.side,
                    usage,
                }),
                None => findings.push(
                    Finding::new(Rule::SideUnknown, Some(part), Some(corner))
                        .saying(Detail::Side(gate.name.clone())),
                ),
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
    fn faces(&self, part: PartId, placed: &Placed, shape: Shape) -> Option<Side> {
        match shape {
            Shape::Inverter | Shape::Lever | Shape::Button => {
                return placed.on.or(Some(Side::MinusY));
            }
            Shape::Hopper | Shape::Dropper | Shape::Dispenser => {}
            _ => return placed.faces,
        }
        if placed.faces.is_some() {
            return placed.faces;
        }
        let pushes = |(role, _): &(Role, PartId)| {
            matches!(role, Role::Target | Role::Into | Role::Bench | Role::Loose)
        };
        let here = *self.blocks[part.index()].first()?;
        let Some((_, to)) = links(self.network, part).into_iter().find(pushes) else {
            return (shape == Shape::Hopper).then_some(Side::MinusY);
        };
        let mut sides = self.met_at(to).iter();
        let side = sides.find_map(|block| here.side_of(*block));
        side.filter(|side| shape != Shape::Hopper || *side != Side::PlusY)
    }

    /// The names of the mouths and streams to which it leads.
    fn meant(&self, part: PartId) -> Vec<String> {
        let is_loose = |to: &PartId| self.network.part(*to).is_loose_place();
        let to = links(self.network, part).into_iter().map(|(_, to)| to);
        to.filter(is_loose)
            .map(|to| self.network.name(to).to_owned())
            .collect()
    }

    /// What no block says: the stops of a shuttle, and what lifts a bench's box.
    fn declared(&self, part: PartId) -> Vec<Declared> {
        let name = |part: PartId| self.network.name(part).to_owned();
        let stop = |(role, to): (Role, PartId)| match role {
            Role::Stop(_) => Some(Declared::Link(role, name(to))),
            _ => None,
        };
        let mut declared: Vec<Declared> = links(self.network, part)
            .into_iter()
            .filter_map(stop)
            .collect();
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

/// As what a part is built.
fn shape(part: &Part, built: Built) -> Shape {
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

/// Of each part of a network its name.
pub(super) fn by_name(network: &Network) -> BTreeMap<&str, PartId> {
    let parts = network.part_ids();
    parts.map(|part| (network.name(part), part)).collect()
}
