//! How blocks of wire join, and where they point: section 3.

use crate::blocks::{ByBlock, Shape, Use, World};
use hallwright_declared::space::{Block, Side};

/// All wire of a world.
#[derive(Clone, Debug, Default)]
pub struct Wires {
    blocks: ByBlock<Joints>,
}

/// What one block of wire joins and points at.
#[derive(Clone, Debug)]
struct Joints {
    joined: Vec<Block>,
    points_at: Vec<Side>,
}

impl Wires {
    /// Those of a world.
    #[must_use]
    pub fn of(world: &World) -> Self {
        let wires = world.of_shape(Shape::Wire);
        let blocks = wires
            .flat_map(|wire| &world.piece(wire).blocks)
            .filter(|block| world.is_wire(**block))
            .map(|block| (*block, joints(world, *block)));
        Self {
            blocks: blocks.collect(),
        }
    }

    /// The blocks of wire that this one joins.
    #[must_use]
    pub fn joined(&self, wire: Block) -> &[Block] {
        self.blocks.get(&wire).map_or(&[], |joints| &joints.joined)
    }

    /// The blocks that a block of wire acts on: the one that carries it, and those at which it points.
    pub fn acts_on(&self, wire: Block) -> impl Iterator<Item = Block> {
        let sides = self.blocks.get(&wire).into_iter();
        let below = [Side::MinusY];
        sides
            .flat_map(move |joints| below.into_iter().chain(joints.points_at.iter().copied()))
            .map(move |side| wire.beside(side))
    }
}

fn joints(world: &World, wire: Block) -> Joints {
    let mut joined = Vec::new();
    let mut points_at = Vec::new();
    for side in Side::LEVEL {
        let before = joined.len();
        join_on(world, wire, side, &mut joined);
        if joined.len() > before || meets(world, wire, side) {
            points_at.push(side);
        }
    }
    match points_at[..] {
        [] => points_at.extend(Side::LEVEL),
        [only] => points_at.push(only.opposite()),
        _ => {}
    }
    Joints { joined, points_at }
}

/// Adds the wire that it joins on this side: beside it, a step up, or a step down. Two at most, for a step up
/// and one down can lie over each other.
fn join_on(world: &World, wire: Block, side: Side, joined: &mut Vec<Block>) {
    let beside = wire.beside(side);
    let above = wire.beside(Side::PlusY);
    let step_up = above.beside(side);
    let step_down = beside.beside(Side::MinusY);
    if world.is_wire(beside) {
        joined.push(beside);
    }
    if world.is_wire(step_up) && !world.is_full(above) {
        joined.push(step_up);
    }
    if world.is_wire(step_down) && !world.is_full(beside) {
        joined.push(step_down);
    }
}

/// Whether wire turns to what is on this side of it.
fn meets(world: &World, wire: Block, side: Side) -> bool {
    let block = wire.beside(side);
    let Some(number) = world.at(block) else {
        return false;
    };
    let piece = world.piece(number);
    let here = side.opposite();
    match piece.shape {
        Shape::Comparator | Shape::Inverter | Shape::Lever | Shape::Button => true,
        Shape::Repeater => piece.faces == Some(side) || piece.faces == Some(here),
        // Its back is towards the wire if its eye looks away from it.
        Shape::Observer => piece.faces == Some(side),
        Shape::Word => piece.opens(block, here, |usage| match usage {
            Use::Hears(_) | Use::Gives => true,
            Use::Takes | Use::HandsOn(_) | Use::Docks(_) | Use::ShowsMatches => false,
        }),
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Hopper | Shape::Dropper => false,
        Shape::Dispenser | Shape::Chest | Shape::ChestApart | Shape::DoubleChest => false,
        Shape::Barrel | Shape::Container | Shape::Bench | Shape::Stream | Shape::Mouth => false,
    }
}
