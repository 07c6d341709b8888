//! Chance: one stream of random numbers a part.
//!
//! A part's stream follows from the run's seed and the part's stream tag alone, so that adding or
//! renaming another part does not disturb it. The recipe is part of the model: `ChaCha8Rng` seeded
//! with `seed_from_u64(seed)`, its stream set to the 64-bit FNV-1a hash of the tag's bytes; a choice
//! among `n` things is `random_range(0..n)` over `u32`.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::fnv::Fnv64;

/// The random stream of the part with this tag.
#[must_use]
pub fn part_stream(seed: u64, tag: &str) -> ChaCha8Rng {
    let mut stream = ChaCha8Rng::seed_from_u64(seed);
    let mut hash = Fnv64::default();
    hash.bytes(tag.bytes());
    stream.set_stream(hash.value());
    stream
}
