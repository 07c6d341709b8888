//! Where a part reaches: the blocks of which one has to be what it is linked to.

use crate::blocks::{Piece, Shape, Use, World};
use crate::network::Role;
use hallwright_declared::space::{Block, Side};

/// The blocks of which one would have to be the other piece of a link of this role.
pub(super) fn reach(world: &World, piece: &Piece, role: Role) -> Vec<Block> {
    let (Some(&first), Some(&last)) = (piece.blocks.first(), piece.blocks.last()) else {
        return Vec::new();
    };
    let around = |block: Block, sides: &[Side]| -> Vec<Block> {
        sides.iter().map(|side| block.beside(*side)).collect()
    };
    let front = piece.faces.as_slice();
    match role {
        Role::Target => match front {
            [] => around(first, &[Side::MinusY])
                .into_iter()
                .chain(around(first, &Side::LEVEL))
                .collect(),
            [Side::PlusY] => Vec::new(), // It has to be turned first.
            outlet => around(first, outlet),
        },
        Role::Above | Role::Mouth | Role::Drinks => around(first, &[Side::PlusY]),
        Role::Into | Role::Bench | Role::Loose => match front {
            [] => around(first, &Side::ALL),
            front => around(first, front),
        },
        Role::End => [last].into_iter().chain(around(last, &Side::ALL)).collect(),
        Role::Out => around(first, &Side::ALL),
        Role::Match | Role::Rest | Role::WhenFull => {
            let hands_on = Use::HandsOn(role);
            let openings = piece.openings.iter().filter(|o| o.usage == hands_on);
            openings.map(|o| o.block.beside(o.side)).collect()
        }
        Role::Reads => {
            let back = piece.faces.map(|front| first.beside(front.opposite()));
            let beyond = |back: Block| back + (back - first);
            // Through a dropper or barrel it reads no further: it reads that.
            let is_inventory = |back: &Block| {
                let shape = world.shape_at(*back);
                shape.is_some_and(Shape::is_inventory)
            };
            let behind = back.filter(|back| world.is_full(*back) && !is_inventory(back));
            back.into_iter().chain(behind.map(beyond)).collect()
        }
        Role::WatchesSignal | Role::WatchesLock | Role::WatchesTrigger => around(first, front),
        Role::WatchesMatches => around(first, front),
        Role::Stop(_) => Vec::new(),
    }
}
