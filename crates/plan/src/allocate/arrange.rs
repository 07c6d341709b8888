//! Blocks of slices along a line: where they are wished, and otherwise in their order.

use super::blocks::Block;

/// Puts blocks onto a line: those with a slice of their own first, and then each at the first free
/// place, on its side if it has one. `side_of` says on which side a slice stands, counted from 0.
/// `None` if one does not stand on its side, or stands beyond `most` slices.
pub fn arrange(
    blocks: &[Block],
    side_of: &dyn Fn(usize) -> u64,
    most: usize,
) -> Option<Vec<Vec<usize>>> {
    let mut line = Placed {
        slices: Vec::new(),
        side_of,
    };
    for block in blocks {
        if let Some(first) = block.first {
            line.put(first, block)?;
        }
    }
    // What must be on side 1 keeps its room there until it is placed.
    let mut owed: usize = blocks.iter().map(owed_to_first_side).sum();
    let first_side = match owed {
        0 => 0,
        _ => (0..most).take_while(|slice| side_of(*slice) == 1).count(),
    };
    for block in blocks.iter().filter(|block| block.first.is_none()) {
        owed -= owed_to_first_side(block);
        let at = (0..most).find(|at| line.takes(*at, block, owed, first_side))?;
        line.put(at, block)?;
    }
    (line.slices.len() <= most).then_some(line.slices)
}

/// How many places on side 1 are kept for a block.
fn owed_to_first_side(block: &Block) -> usize {
    match (block.first, block.side) {
        (None, Some(1)) => block.slices.len(),
        _ => 0,
    }
}

/// A line that is being filled.
struct Placed<'s> {
    slices: Vec<Vec<usize>>,
    side_of: &'s dyn Fn(usize) -> u64,
}

impl Placed<'_> {
    fn is_free(&self, at: usize) -> bool {
        self.slices.get(at).is_none_or(Vec::is_empty)
    }

    /// Whether a block can stand at a place, with so many places on side 1 left to others.
    fn takes(&self, at: usize, block: &Block, owed: usize, first_side: usize) -> bool {
        let end = at + block.slices.len();
        if !(at..end).all(|slice| self.is_free(slice)) {
            return false;
        }
        match block.side {
            Some(side) => (at..end).all(|slice| (self.side_of)(slice) == side),
            None if at >= first_side || owed == 0 => true,
            None => {
                let left = (0..first_side).filter(|slice| self.is_free(*slice)).count();
                left >= owed + end.min(first_side) - at
            }
        }
    }

    fn put(&mut self, at: usize, block: &Block) -> Option<()> {
        let end = at + block.slices.len();
        if self.slices.len() < end {
            self.slices.resize(end, Vec::new());
        }
        for (slice, goods) in (at..end).zip(&block.slices) {
            if block.side.is_some_and(|side| (self.side_of)(slice) != side) {
                return None;
            }
            self.slices[slice].clone_from(goods);
        }
        Some(())
    }
}
