//! From what a layout says of where parts stand to a set of blocks: section 1.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

use super::fills::box_of;
use super::finding::{Finding, Rule};
use super::pieces::Layer;
use crate::blocks::{Piece, Shape, Taken, World};
use crate::network::{Role, links};
use hallwright_declared::placement::{Placement, Supports};
use hallwright_declared::space::{Block, Side};

/// What a placement comes to.
pub(crate) struct Laid {
    pub(crate) world: World,
    /// Of each piece the part that it is.
    pub(crate) parts: Vec<Option<PartId>>,
    pub(crate) findings: Vec<Finding>,
    /// Of each room its piece.
    pub(crate) rooms: Vec<usize>,
}

/// Lays every part that is said to stand somewhere, then the blocks that are no parts.
pub(crate) fn lay(network: &Network, placement: &Placement) -> Laid {
    let layer = Layer::of(network, placement);
    let mut laid = Laid {
        world: World::new(),
        parts: Vec::new(),
        findings: Vec::new(),
        rooms: Vec::new(),
    };
    for part in network.part_ids().filter(|part| layer.stands(*part)) {
        let piece = layer.piece(part, &mut laid.findings);
        laid.add(piece, Some(part));
    }
    for room in &placement.rooms {
        laid.rooms.push(laid.world.pieces().len());
        let blocks = box_of(room.corner, room.size);
        laid.add(Piece::new(&room.name, Shape::Word, blocks), None);
    }
    for block in &placement.full {
        laid.add_unless_there(*block, Shape::Full, |shape| shape == Shape::Full);
    }
    for block in &placement.wires {
        laid.add(Piece::new("", Shape::Wire, [*block]), None);
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
    /// Of each of so many parts its piece.
    pub(crate) fn pieces(&self, part_count: usize) -> Vec<Option<usize>> {
        let mut pieces = vec![None; part_count];
        for (piece, part) in self.parts.iter().enumerate() {
            if let Some(part) = part {
                pieces[part.index()] = Some(piece);
            }
        }
        pieces
    }

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
            let finding = finding.with(self.parts[by], Some(block));
            let rooms = [number, by].map(|piece| room_name(self.world.piece(piece)));
            self.findings.push(finding.in_rooms(rooms));
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
            let hangs = piece.hangs();
            for place in 0..piece.blocks.len() {
                let block = self.world.piece(number).blocks[place];
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
                    let room = there.and_then(|there| room_name(self.world.piece(there)));
                    let finding = finding.with(other, there.map(|_| support));
                    let finding = finding.in_rooms([None, room]);
                    self.findings.push(finding.wanted(vec![support]));
                }
            }
        }
    }
}

/// The name of the room that a piece is, if it is one.
pub(super) fn room_name(piece: &Piece) -> Option<String> {
    piece.is_room().then(|| piece.name.clone())
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
