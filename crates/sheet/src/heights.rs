//! The hall height by height, from below.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::network::Network;
use hallwright_declared::declarations::Declarations;
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::Shape;

use crate::{Bring, PlacedPiece, Sort};

/// All blocks of one height.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Height {
    /// The height.
    pub y: i32,
    /// Its blocks, by z and x: in the order in which one reads a plan whose first row has the least z.
    pub cells: Vec<Cell>,
    /// What to bring for it. Something of several heights counts for its lowest; the blocks of a stream
    /// count where water is poured.
    pub bring: Bring,
    /// The sorts that no height below has.
    pub new_sorts: Vec<Sort>,
}

/// One block of a piece.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Cell {
    /// The block.
    pub block: Block,
    /// The number of its piece.
    pub piece: usize,
    /// Which block of the piece it is, from 0.
    pub index: usize,
    /// What stands there.
    pub sort: Sort,
    /// Where it points: an outlet, front or eye; the block to which it is fastened; the other half of a double
    /// chest; the next block of a stream.
    pub facing: Option<Side>,
    /// Whether it is left open.
    pub is_open: bool,
    /// Whether water is poured there.
    pub is_source: bool,
    /// Whether it is new against the height below: directly below is nothing, or something else, or the same
    /// turned or set otherwise.
    pub is_new: bool,
}

/// Takes all pieces apart into heights.
pub(crate) fn heights(
    network: &Network,
    declarations: &Declarations,
    placed: &[PlacedPiece],
) -> Vec<Height> {
    let by_block = by_block(placed);
    let mut cells: BTreeMap<i32, Vec<Cell>> = BTreeMap::new();
    for (number, own) in placed.iter().enumerate() {
        for (index, block) in own.piece.blocks.iter().enumerate() {
            let below = by_block.get(&block.beside(Side::MinusY));
            let is_same = below.is_some_and(|(other, at)| {
                placed[*other].sort == own.sort
                    && facing(&placed[*other], *at) == facing(own, index)
                    && placed[*other].piece.settings == own.piece.settings
            });
            cells.entry(block.y).or_default().push(Cell {
                block: *block,
                piece: number,
                index,
                sort: own.sort,
                facing: facing(own, index),
                is_open: own.sort.is_left_open(),
                is_source: own.sources.contains(block),
                is_new: !is_same,
            });
        }
    }
    let mut known: BTreeSet<Sort> = BTreeSet::new();
    let each = cells.into_iter().map(|(y, mut cells)| {
        cells.sort_by_key(|cell| (cell.block.z, cell.block.x, cell.piece));
        let sorts: BTreeSet<Sort> = cells.iter().map(|cell| cell.sort).collect();
        let new_sorts = sorts.difference(&known).copied().collect();
        known.extend(sorts);
        Height {
            y,
            bring: bring(network, declarations, placed, &cells, y),
            cells,
            new_sorts,
        }
    });
    each.collect()
}

/// What to bring for the blocks of a height.
fn bring(
    network: &Network,
    declarations: &Declarations,
    placed: &[PlacedPiece],
    cells: &[Cell],
    y: i32,
) -> Bring {
    let mut bring = Bring::default();
    let pieces: BTreeSet<usize> = cells.iter().map(|cell| cell.piece).collect();
    for number in pieces {
        let own = &placed[number];
        let mut here = Bring::of_piece(network, declarations, own);
        let is_lowest = own.piece.blocks.iter().all(|block| block.y >= y);
        if !own.sort.is_taken_at_its_word() {
            let blocks = cells.iter().filter(|cell| cell.piece == number).count();
            here.blocks.clear();
            here.add_blocks(own.sort, blocks as u64);
        } else if !is_lowest {
            here.blocks.clear();
        }
        if !is_lowest {
            here.goods.clear();
        }
        let poured = own.sources.iter().filter(|block| block.y == y);
        here.water_sources = poured.count() as u64;
        bring.add(&here);
    }
    bring
}

/// Of each block the piece there, and which of its blocks it is. Water goes before the mouth at its end.
fn by_block(placed: &[PlacedPiece]) -> BTreeMap<Block, (usize, usize)> {
    let mut by_block = BTreeMap::new();
    for (number, own) in placed.iter().enumerate() {
        for (index, block) in own.piece.blocks.iter().enumerate() {
            if own.sort == Sort::Mouth {
                by_block.entry(*block).or_insert((number, index));
            } else {
                by_block.insert(*block, (number, index));
            }
        }
    }
    by_block
}

/// Where a piece points in its block of this number.
pub(crate) fn facing(placed: &PlacedPiece, index: usize) -> Option<Side> {
    let piece = &placed.piece;
    match piece.shape {
        Shape::Stream => piece.blocks[index].side_of(*piece.blocks.get(index + 1)?),
        Shape::DoubleChest => {
            let other = piece.blocks.get(1 - index.min(1))?;
            piece.blocks[index].side_of(*other)
        }
        _ => piece.faces,
    }
}

impl Height {
    /// How many blocks are filled.
    pub(crate) fn filled_blocks(&self) -> usize {
        let filled = self.cells.iter().filter(|cell| !cell.is_open);
        filled.map(|cell| cell.block).collect::<BTreeSet<_>>().len()
    }
}
