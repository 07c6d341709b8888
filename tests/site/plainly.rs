//! Section 3 once more, written down as the page says it, with no thought of speed: for each listener it asks
//! every source whether it is heard. It shares nothing with the crate but the world.

use std::collections::BTreeMap;

use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::{Piece, Settings, Shape, Use, World};
use hallwright_site::network::Ear;

/// What one listener hears at one ear: of each source its loss, and whether it is heard itself.
pub(crate) type Heard = BTreeMap<usize, (u8, bool)>;

/// A world, to be asked.
pub(crate) struct Plainly<'a> {
    world: &'a World,
    /// Of each source what it gives each block of wire, by its loss there.
    levels: Vec<BTreeMap<Block, u8>>,
}

impl<'a> Plainly<'a> {
    pub(crate) fn of(world: &'a World) -> Self {
        let mut plainly = Self {
            world,
            levels: Vec::new(),
        };
        plainly.levels = (0..world.pieces().len())
            .map(|source| plainly.levels_of(source))
            .collect();
        plainly
    }

    fn piece(&self, number: usize) -> &Piece {
        self.world.piece(number)
    }

    fn wires(&self) -> Vec<Block> {
        let all = self.world.pieces().iter();
        all.filter(|piece| piece.shape == Shape::Wire)
            .flat_map(|piece| piece.blocks.clone())
            .collect()
    }

    fn neighbours(block: Block) -> [Block; 6] {
        Side::ALL.map(|side| block.beside(side))
    }

    /// Whether two blocks of wire join.
    fn join(&self, a: Block, b: Block) -> bool {
        let (dx, dy, dz) = ((a.x - b.x).abs(), a.y - b.y, (a.z - b.z).abs());
        if dx + dz != 1 {
            return false;
        }
        let above = |block: Block| Block::new(block.x, block.y + 1, block.z);
        match dy {
            0 => true,
            1 => !self.world.is_full(above(b)),
            -1 => !self.world.is_full(above(a)),
            _ => false,
        }
    }

    /// Whether a block of wire has a side at which it joins or meets something.
    fn has_side(&self, wire: Block, side: Side) -> bool {
        let step = side.step();
        let joins = self.wires().into_iter().any(|other| {
            let is_there = other.x - wire.x == step.x && other.z - wire.z == step.z;
            is_there && self.join(wire, other)
        });
        let there = wire.beside(side);
        let meets = self.world.at(there).is_some_and(|number| {
            let piece = self.piece(number);
            let faces = piece.faces;
            match piece.shape {
                Shape::Comparator | Shape::Inverter | Shape::Lever | Shape::Button => true,
                Shape::Repeater => [Some(side), Some(side.opposite())].contains(&faces),
                Shape::Observer => faces == Some(side),
                Shape::Word => piece.openings.iter().any(|opening| {
                    let is_signal = matches!(opening.usage, Use::Hears(_) | Use::Gives);
                    is_signal && opening.block == there && opening.side == side.opposite()
                }),
                _ => false,
            }
        });
        joins || meets
    }

    fn points_at(&self, wire: Block, target: Block) -> bool {
        let Some(side) = Side::LEVEL
            .into_iter()
            .find(|side| wire.beside(*side) == target)
        else {
            return false;
        };
        let count = Side::LEVEL
            .into_iter()
            .filter(|side| self.has_side(wire, *side))
            .count();
        match count {
            0 => true,
            1 => self.has_side(wire, side) || self.has_side(wire, side.opposite()),
            _ => self.has_side(wire, side),
        }
    }

    fn wire_acts_on(&self, wire: Block, target: Block) -> bool {
        target == wire.beside(Side::MinusY) || self.points_at(wire, target)
    }

    /// Whether a source acts on a block by itself, and from which of its blocks.
    fn acts_from(&self, source: usize, target: Block) -> Option<Block> {
        let piece = self.piece(source);
        let &own = piece.blocks.first()?;
        let is_in = |block: Option<Block>| (block == Some(target)).then_some(own);
        match piece.shape {
            Shape::Repeater | Shape::Comparator => is_in(piece.faces.map(|side| own.beside(side))),
            Shape::Observer => is_in(piece.faces.map(|side| own.beside(side.opposite()))),
            Shape::Lever | Shape::Button => Self::neighbours(own).contains(&target).then_some(own),
            Shape::Inverter => {
                let fastened = own.beside(piece.faces.unwrap_or(Side::MinusY));
                let acts = Self::neighbours(own).contains(&target) && target != fastened;
                acts.then_some(own)
            }
            Shape::Word => {
                let mut gives = piece.openings.iter().filter(|o| o.usage == Use::Gives);
                gives.find_map(|o| (o.block.beside(o.side) == target).then_some(o.block))
            }
            _ => None,
        }
    }

    fn makes_strong(&self, source: usize, block: Block) -> bool {
        let piece = self.piece(source);
        let Some(&own) = piece.blocks.first() else {
            return false;
        };
        if !self.world.is_full(block) {
            return false;
        }
        match piece.shape {
            Shape::Lever | Shape::Button => {
                block == own.beside(piece.faces.unwrap_or(Side::MinusY))
            }
            Shape::Inverter => block == own.beside(Side::PlusY),
            _ => self.acts_from(source, block).is_some(),
        }
    }

    fn levels_of(&self, source: usize) -> BTreeMap<Block, u8> {
        let wires = self.wires();
        let starts = |wire: &Block| {
            let strong = Self::neighbours(*wire)
                .into_iter()
                .any(|block| self.makes_strong(source, block));
            strong || self.acts_from(source, *wire).is_some()
        };
        let mut levels: BTreeMap<Block, u8> = wires
            .iter()
            .filter(|w| starts(w))
            .map(|w| (*w, 0))
            .collect();
        loop {
            let mut better = levels.clone();
            for a in &wires {
                for b in &wires {
                    if let Some(loss) = levels.get(a).filter(|_| self.join(*a, *b)) {
                        let through = loss + 1;
                        let known = better.entry(*b).or_insert(through);
                        *known = through.min(*known);
                    }
                }
            }
            better.retain(|_, loss| *loss < 15);
            if better == levels {
                return levels;
            }
            levels = better;
        }
    }

    /// The least loss with which a source makes a full block strong or weak.
    fn in_full(&self, source: usize, block: Block) -> Option<u8> {
        if !self.world.is_full(block) {
            return None;
        }
        let strong = self.makes_strong(source, block).then_some(0);
        let weak = self.levels[source]
            .iter()
            .filter(|(wire, _)| self.wire_acts_on(**wire, block))
            .map(|(_, loss)| *loss);
        strong.into_iter().chain(weak).min()
    }

    /// The least loss with which wire acts on a block, from a neighbour that will do.
    fn by_wire(&self, source: usize, block: Block, from: impl Fn(Block) -> bool) -> Option<u8> {
        self.levels[source]
            .iter()
            .filter(|(wire, _)| from(**wire) && self.wire_acts_on(**wire, block))
            .map(|(_, loss)| *loss)
            .min()
    }

    /// What a piece hears at an ear.
    pub(crate) fn hears(&self, listener: usize, ear: Ear) -> Heard {
        let sources = 0..self.world.pieces().len();
        sources
            .filter_map(|source| Some((source, self.heard(listener, ear, source)?)))
            .collect()
    }

    fn heard(&self, listener: usize, ear: Ear, source: usize) -> Option<(u8, bool)> {
        let piece = self.piece(listener);
        let own = *piece.blocks.first()?;
        let front = piece.faces;
        let (itself, other) = match (ear, piece.shape) {
            (Ear::Lock, Shape::Repeater) => (self.at_side(source, piece), None),
            (Ear::Lock, Shape::Hopper) => self.on_all_sides(source, own),
            (Ear::Trigger, Shape::Dropper | Shape::Dispenser) => {
                let (itself, other) = self.on_all_sides(source, own);
                let over = own.beside(Side::PlusY);
                let from_over = !self.is_switch(source) && self.acts_from(source, over).is_some();
                let wire = self.by_wire(source, over, |_| true);
                (itself || from_over, other.into_iter().chain(wire).min())
            }
            (Ear::Input(0), Shape::Inverter) => {
                let fastened = own.beside(front.unwrap_or(Side::MinusY));
                (false, self.in_full(source, fastened))
            }
            (Ear::Input(0), Shape::Repeater) | (Ear::Rear, Shape::Comparator) => {
                self.at_back(source, own, own.beside(front?.opposite()))
            }
            (Ear::Side, Shape::Comparator) => {
                let wire = self.by_wire(source, own, |from| is_across(piece, from));
                (self.at_side(source, piece), wire)
            }
            (Ear::Watch, Shape::Observer) => {
                let seen = own.beside(front?);
                let is_wire = self.world.shape_at(seen) == Some(Shape::Wire);
                let level = self.levels[source].get(&seen).copied();
                (false, level.filter(|_| is_wire))
            }
            (_, Shape::Word) if matches!(piece.settings, Some(Settings::Latch)) => {
                let here = piece.openings.iter().filter(|o| o.usage == Use::Hears(ear));
                let heard: Vec<(bool, Option<u8>)> = here
                    .map(|o| self.at_back(source, o.block, o.block.beside(o.side)))
                    .collect();
                let itself = heard.iter().any(|(itself, _)| *itself);
                (itself, heard.into_iter().filter_map(|(_, loss)| loss).min())
            }
            _ => (false, None),
        };
        match (itself, other) {
            (true, _) => Some((0, true)),
            (false, Some(loss)) => Some((loss, false)),
            (false, None) => None,
        }
    }

    fn is_switch(&self, source: usize) -> bool {
        matches!(self.piece(source).shape, Shape::Lever | Shape::Button)
    }

    /// Whether a source is a repeater or comparator that acts on a side of this one.
    fn at_side(&self, source: usize, piece: &Piece) -> bool {
        let shape = self.piece(source).shape;
        let from = self.acts_from(source, piece.blocks[0]);
        matches!(shape, Shape::Repeater | Shape::Comparator)
            && from.is_some_and(|from| is_across(piece, from))
    }

    /// How a block is reached from one neighbour of it: by the source itself, and by wire or a full block.
    fn at_back(&self, source: usize, block: Block, back: Block) -> (bool, Option<u8>) {
        let itself = self.acts_from(source, block) == Some(back);
        let wire = self.by_wire(source, block, |from| from == back);
        let all = wire.into_iter().chain(self.in_full(source, back));
        (itself, all.min())
    }

    /// How a block is reached from any neighbour of it.
    fn on_all_sides(&self, source: usize, block: Block) -> (bool, Option<u8>) {
        let around = Self::neighbours(block).into_iter();
        let full = around.filter_map(|beside| self.in_full(source, beside));
        let wire = self.by_wire(source, block, |_| true);
        let itself = self.acts_from(source, block).is_some();
        (itself, full.chain(wire).min())
    }

    /// Whether a source arms a dropper: it acts or makes something strong or weak beside the block above.
    pub(crate) fn arms(&self, source: usize, dropper: usize) -> bool {
        let own = self.piece(dropper).blocks[0];
        let above = own.beside(Side::PlusY);
        let is_switch = self.is_switch(source);
        let mut arming: Vec<u8> = Vec::new();
        arming.extend((is_switch && self.acts_from(source, above).is_some()).then_some(0));
        let beside = Self::neighbours(above)
            .into_iter()
            .filter(|block| *block != own);
        arming.extend(beside.filter_map(|block| self.in_full(source, block)));
        let Some(least) = arming.into_iter().min() else {
            return false;
        };
        match self.heard(dropper, Ear::Trigger, source) {
            None => true,
            // A comparator may be too low to fire it and high enough to arm it.
            Some((loss, _)) => self.piece(source).shape == Shape::Comparator && least < loss,
        }
    }
}

/// Whether a block is at a side of what stands here: neither in front of it nor at its back.
fn is_across(piece: &Piece, block: Block) -> bool {
    let side = piece.blocks[0].side_of(block);
    let front = piece.faces;
    side.is_some_and(Side::is_level) && side != front && side != front.map(Side::opposite)
}
