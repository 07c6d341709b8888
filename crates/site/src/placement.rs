//! Where the parts of a network stand and how they are turned, as a layout says it.

use crate::space::{Block, Side};

/// Where one part stands. What a sort of part has no use for is left empty.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Placed {
    /// Its block; of a double chest that of slots 0 to 26; of a box the corner with the smallest
    /// coordinates. `None` for a wire or stream, which has a path, or if it is not said.
    pub position: Option<Block>,
    /// Where its front, eye, outlet or output points.
    pub faces: Option<Side>,
    /// Where the other half of a double chest is.
    pub along: Option<Side>,
    /// The side on which the full block is to which it is fastened.
    pub on: Option<Side>,
    /// The blocks of a stream in the order of its flow, or of a wire, or of a mouth of several hoppers.
    pub path: Vec<Block>,
    /// How many blocks a box fills, along x, y and z; (1, 1, 1) if `None`.
    pub size: Option<Block>,
    /// The sides of a box through which something goes in or out.
    pub sides: Vec<Gate>,
}

/// A side of a box of something taken at its word, and what goes through it.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Gate {
    /// Its name in the layout: `in`, `out`, `match`, `rest`, a dock's name …
    pub name: String,
    /// The block of the box, counted from its corner.
    pub at: Block,
    /// The side of that block.
    pub side: Side,
}

/// Where the parts of a network stand, each at its number, and the blocks that are no parts.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Placement {
    /// Of each part, in the order of declaration; `None` if nothing is said.
    pub parts: Vec<Option<Placed>>,
    /// Full blocks: supports, fastenings, walls.
    pub full: Vec<Block>,
    /// Blocks above hoppers that close them.
    pub caps: Vec<Block>,
}

impl Placement {
    /// A block of each part, as x, y and z: the first of those that have several. `None` where nothing is
    /// said.
    #[must_use]
    pub fn positions(&self) -> Vec<Option<(i32, i32, i32)>> {
        let first = |placed: &Placed| placed.position.or_else(|| placed.path.first().copied());
        let each = self.parts.iter();
        each.map(|placed| {
            let block = placed.as_ref().and_then(first)?;
            Some((block.x, block.y, block.z))
        })
        .collect()
    }
}
