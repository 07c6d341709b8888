//! Who gives signals, and what each source acts on by itself: section 3.

use crate::blocks::{Piece, Shape, Use, World};
use hallwright_declared::space::{Block, Side};

/// What one source does by itself.
#[derive(Clone, Debug, Default)]
pub(super) struct Deed {
    /// From which of its blocks it acts on which.
    pub(super) acts: Vec<(Block, Block)>,
    /// The full block that it makes strong; of a box one for each side at which its signal comes out.
    pub(super) strong: Vec<Block>,
}

/// What a piece does; nothing if it gives no signal.
pub(super) fn deed(world: &World, piece: &Piece) -> Deed {
    let Some(&block) = piece.blocks.first() else {
        return Deed::default();
    };
    let to = |side: Side| (block, block.beside(side));
    match piece.shape {
        Shape::Repeater | Shape::Comparator => at_end(world, block, piece.faces),
        Shape::Observer => at_end(world, block, piece.faces.map(Side::opposite)),
        Shape::Lever | Shape::Button => {
            let fastened = piece.fastened_on().map(|side| block.beside(side));
            Deed {
                acts: Side::ALL.map(to).into(),
                strong: full(world, fastened),
            }
        }
        Shape::Inverter => {
            let fastened = piece.fastened_on();
            let others = Side::ALL.into_iter().filter(|side| Some(*side) != fastened);
            Deed {
                acts: others.map(to).collect(),
                strong: full(world, Some(block.beside(Side::PlusY))),
            }
        }
        Shape::Word => {
            let gives = piece.openings.iter().filter(|o| o.usage == Use::Gives);
            let mut deed = Deed::default();
            for opening in gives {
                let one = at_end(world, opening.block, Some(opening.side));
                deed.acts.extend(one.acts);
                deed.strong.extend(one.strong);
            }
            deed
        }
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Hopper | Shape::Dropper => Deed::default(),
        Shape::Dispenser | Shape::Chest | Shape::ChestApart => Deed::default(),
        Shape::DoubleChest | Shape::Barrel | Shape::Container => Deed::default(),
        Shape::Bench | Shape::Stream | Shape::Mouth => Deed::default(),
    }
}

/// It acts on the block on this side, and makes it strong if it is full.
fn at_end(world: &World, block: Block, side: Option<Side>) -> Deed {
    let front = side.map(|side| block.beside(side));
    Deed {
        acts: front.into_iter().map(|front| (block, front)).collect(),
        strong: full(world, front),
    }
}

fn full(world: &World, block: Option<Block>) -> Vec<Block> {
    block
        .filter(|block| world.is_full(*block))
        .into_iter()
        .collect()
}
