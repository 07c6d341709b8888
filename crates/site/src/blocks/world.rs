//! What stands where.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::{ByBlock, Piece, Shape};
use hallwright_declared::space::{Block, Side};

/// A set of blocks: pieces, and which block each of them fills.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct World {
    pieces: Vec<Piece>,
    blocks: ByBlock<usize>,
    /// Mouths in the last block of a stream.
    mouths: ByBlock<usize>,
    names: HashMap<String, usize>,
}

/// A block that two pieces would fill.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Taken {
    /// The block.
    pub block: Block,
    /// The piece that fills it, by its number.
    pub by: usize,
    /// The piece that came later.
    pub wanted_by: usize,
}

impl World {
    /// A world with nothing in it.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// These pieces, each at its number, and every block that two of them would fill: the first has it.
    #[must_use]
    pub fn of_pieces(pieces: impl IntoIterator<Item = Piece>) -> (Self, Vec<Taken>) {
        let mut world = Self::new();
        let mut taken = Vec::new();
        for piece in pieces {
            taken.extend(world.add(piece).1);
        }
        (world, taken)
    }

    /// Adds a piece. Returns its number, and its blocks that another fills already; those stay the
    /// other's.
    pub fn add(&mut self, piece: Piece) -> (usize, Vec<Taken>) {
        let number = self.pieces.len();
        let mut taken = Vec::new();
        for &block in &piece.blocks {
            let mut there = match self.blocks.entry(block) {
                Entry::Vacant(open) => {
                    open.insert(number);
                    continue;
                }
                Entry::Occupied(there) => there,
            };
            match *there.get() {
                by if by == number => {}
                by if is_end_of_stream(&self.pieces[by], block, piece.shape) => {
                    self.mouths.entry(block).or_insert(number);
                }
                by if is_end_of_stream(&piece, block, self.pieces[by].shape) => {
                    self.mouths.insert(block, by);
                    there.insert(number);
                }
                by => taken.push(Taken {
                    block,
                    by,
                    wanted_by: number,
                }),
            }
        }
        if !piece.name.is_empty() {
            self.names.entry(piece.name.clone()).or_insert(number);
        }
        self.pieces.push(piece);
        (number, taken)
    }

    /// All pieces, each at its number.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The pieces, to build another world of.
    #[must_use]
    pub fn into_pieces(self) -> Vec<Piece> {
        self.pieces
    }

    /// One piece.
    ///
    /// # Panics
    ///
    /// If no piece has this number.
    #[must_use]
    pub fn piece(&self, number: usize) -> &Piece {
        &self.pieces[number]
    }

    /// The number of the piece of this name.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<usize> {
        self.names.get(name).copied()
    }

    /// The number of the piece in this block; `None` if it is open. In the last block of a stream that is its
    /// mouth too it is the stream: [`Self::mouth_at`].
    #[must_use]
    pub fn at(&self, block: Block) -> Option<usize> {
        self.blocks.get(&block).copied()
    }

    /// The number of the mouth that this block is.
    #[must_use]
    pub fn mouth_at(&self, block: Block) -> Option<usize> {
        let by_itself = || {
            self.at(block)
                .filter(|piece| self.piece(*piece).shape == Shape::Mouth)
        };
        self.mouths.get(&block).copied().or_else(by_itself)
    }

    /// What stands in this block.
    #[must_use]
    pub fn shape_at(&self, block: Block) -> Option<Shape> {
        Some(self.piece(self.at(block)?).shape)
    }

    /// Whether this block is a whole, closed one.
    #[must_use]
    pub fn is_full(&self, block: Block) -> bool {
        self.shape_at(block).is_some_and(Shape::is_full)
    }

    /// Whether there is wire in this block.
    #[must_use]
    pub fn is_wire(&self, block: Block) -> bool {
        self.shape_at(block) == Some(Shape::Wire)
    }

    /// How many blocks are filled.
    #[must_use]
    pub fn block_count(&self) -> usize {
        self.blocks.len()
    }

    /// How many blocks somebody has to set: all that are filled, but for mouths, which are open, and rooms, of
    /// which it is not said how full they are.
    #[must_use]
    pub fn set_count(&self) -> usize {
        let pieces = self.blocks.values().map(|piece| self.piece(*piece));
        pieces
            .filter(|piece| !piece.shape.is_open() && !piece.is_room())
            .count()
    }

    /// The two halves of every chest that two single chests make by standing beside each other, the one with
    /// slots 0 to 26 first, in the order of blocks.
    #[must_use]
    pub fn joined_chests(&self) -> Vec<(usize, usize)> {
        let mut singles: Vec<usize> = self.of_shape(Shape::Chest).collect();
        singles.sort_by_key(|piece| self.rank(*piece));
        let mut joined = vec![false; self.pieces.len()];
        let mut pairs = Vec::new();
        for first in singles {
            let beside = |side: &Side| {
                let block = self.piece(first).first_block()?.beside(*side);
                let other = self.at(block)?;
                let joins =
                    other != first && self.piece(other).shape == Shape::Chest && !joined[other];
                joins.then_some(other)
            };
            if joined[first] {
                continue;
            }
            let others = Side::LEVEL.iter().filter_map(beside);
            if let Some(other) = others.min_by_key(|other| self.rank(*other)) {
                joined[first] = true;
                joined[other] = true;
                pairs.push((first, other));
            }
        }
        pairs
    }

    /// The chests that an operator cannot open: those with a full block directly above. They work even so.
    #[must_use]
    pub fn shut_chests(&self) -> Vec<usize> {
        let is_shut = |piece: &usize| {
            let piece = self.piece(*piece);
            let is_chest = matches!(
                piece.shape,
                Shape::Chest | Shape::ChestApart | Shape::DoubleChest
            );
            let mut above = piece.blocks.iter().map(|block| block.beside(Side::PlusY));
            is_chest && above.any(|block| self.is_full(block))
        };
        (0..self.pieces.len()).filter(is_shut).collect()
    }

    /// The pieces of this shape.
    pub(crate) fn of_shape(&self, shape: Shape) -> impl Iterator<Item = usize> {
        let numbered = self.pieces.iter().enumerate();
        numbered.filter_map(move |(number, piece)| (piece.shape == shape).then_some(number))
    }

    /// Where a piece comes in the order of blocks. One without blocks comes last.
    pub(crate) fn rank(&self, piece: usize) -> impl Ord + use<> {
        let first = self.piece(piece).first_block();
        (first.is_none(), first.map(Block::rank), piece)
    }
}

/// Whether a mouth may be here: it is the last block of this stream.
fn is_end_of_stream(stream: &Piece, block: Block, other: Shape) -> bool {
    let is_last = stream.blocks.last() == Some(&block);
    stream.shape == Shape::Stream && is_last && other == Shape::Mouth
}
