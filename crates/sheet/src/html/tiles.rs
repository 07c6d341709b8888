//! Plans cut into tiles that fit on paper.

use std::collections::BTreeMap;

use hallwright_declared::space::Block;

use crate::{Cell, Height};

/// Columns of a tile: with 7.2 mm each they fit between the margins of A4 and of letter.
pub(super) const TILE_COLUMNS: i32 = 24;

/// Rows of a tile, which leave room for its heading and for what is to bring.
pub(super) const TILE_ROWS: i32 = 26;

/// How many columns or rows of a tile are those of the one before once more.
const SHARED: i32 = 2;

/// A piece of a plan that fits on a page.
pub(super) struct Tile<'a> {
    /// The first and the last x of its columns.
    pub(super) x: (i32, i32),
    /// The first and the last z of its rows.
    pub(super) z: (i32, i32),
    /// The cells in it. Where a mouth is the end of its stream, the stream.
    cells: BTreeMap<(i32, i32), &'a Cell>,
}

impl Tile<'_> {
    /// The cell there, if the block is not open.
    pub(super) fn at(&self, x: i32, z: i32) -> Option<&Cell> {
        self.cells.get(&(z, x)).copied()
    }
}

/// Cuts the plan of a height into tiles, row by row: all that there is of it within these corners of the hall.
/// Tiles without any block are left out.
pub(super) fn tiles(height: &Height, (corner, size): (Block, Block)) -> Vec<Tile<'_>> {
    let mut all: BTreeMap<(i32, i32), &Cell> = BTreeMap::new();
    for cell in &height.cells {
        let here = all.entry((cell.block.z, cell.block.x)).or_insert(cell);
        if here.is_open {
            *here = cell;
        }
    }
    let mut tiles = Vec::new();
    for z in cuts(corner.z, size.z, TILE_ROWS) {
        for x in cuts(corner.x, size.x, TILE_COLUMNS) {
            let is_in = |value: i32, (from, to): (i32, i32)| (from..=to).contains(&value);
            let cells = all
                .iter()
                .filter(|((row, column), _)| is_in(*row, z) && is_in(*column, x));
            let cells: BTreeMap<_, _> = cells.map(|(at, cell)| (*at, *cell)).collect();
            if !cells.is_empty() {
                tiles.push(Tile { x, z, cells });
            }
        }
    }
    tiles
}

/// First and last of each stretch of at most so many that together cover a length.
fn cuts(from: i32, length: i32, at_most: i32) -> Vec<(i32, i32)> {
    let end = from + length - 1;
    let mut cuts = Vec::new();
    let mut first = from;
    loop {
        let last = end.min(first + at_most - 1);
        cuts.push((first, last));
        if last == end {
            return cuts;
        }
        first = last + 1 - SHARED;
    }
}

#[cfg(test)]
mod tests {
    use super::cuts;

    #[test]
    fn stretches_cover_everything_and_share_two() {
        assert_eq!(cuts(-3, 5, 24), [(-3, 1)]);
        assert_eq!(cuts(0, 24, 24), [(0, 23)]);
        assert_eq!(cuts(0, 25, 24), [(0, 23), (22, 24)]);
        assert_eq!(cuts(5, 60, 24), [(5, 28), (27, 50), (49, 64)]);
    }
}
