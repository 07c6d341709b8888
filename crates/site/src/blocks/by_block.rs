//! A map from blocks, quick to ask: whoever looks at a block looks at all its neighbours too.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// What belongs to each block. It has no order: nothing that is reported may hang on one.
pub(crate) type ByBlock<T> =
    HashMap<hallwright_declared::space::Block, T, BuildHasherDefault<BlockHasher>>;

/// Mixes the coordinates of one block. Blocks are no secret, so a multiplication will do.
#[derive(Clone, Default)]
pub(crate) struct BlockHasher(u64);

/// An odd number without any order in its digits.
const MIXER: u64 = 0xf135_7aea_2e62_a9c5;

impl Hasher for BlockHasher {
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_i32(i32::from(*byte));
        }
    }

    fn write_i32(&mut self, coordinate: i32) {
        let bits = u64::from(coordinate.cast_unsigned());
        self.0 = self.0.wrapping_add(bits).wrapping_mul(MIXER);
    }

    fn finish(&self) -> u64 {
        // The upper bits are the mixed ones, and a map looks at the lower ones first.
        self.0.rotate_left(26)
    }
}
