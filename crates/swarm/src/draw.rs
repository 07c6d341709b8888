//! Random draws, in the words that a generator needs.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A stream of random draws. The same seed gives the same draws on every machine.
pub(crate) struct Draw(ChaCha8Rng);

impl Draw {
    /// The draws of this seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// True in so many of a hundred cases.
    pub(crate) fn percent(&mut self, percent: u32) -> bool {
        self.0.random_range(0..100) < percent
    }

    /// A number from `low` to `high`, both included.
    pub(crate) fn between(&mut self, low: u32, high: u32) -> u32 {
        self.0.random_range(low..=high)
    }

    /// Any number.
    pub(crate) fn number(&mut self) -> u64 {
        self.0.random()
    }

    /// One of these, all equally likely; `None` of none.
    pub(crate) fn pick<T: Copy>(&mut self, options: &[T]) -> Option<T> {
        let count = u32::try_from(options.len()).ok()?.checked_sub(1)?;
        options.get(self.between(0, count) as usize).copied()
    }

    /// One of these, each as likely as its weight says.
    ///
    /// # Panics
    ///
    /// If all weights are 0.
    pub(crate) fn weighted<T: Copy>(&mut self, options: &[(u32, T)]) -> T {
        let total: u32 = options.iter().map(|(weight, _)| weight).sum();
        let mut left = self.0.random_range(0..total);
        for (weight, option) in options {
            if left < *weight {
                return *option;
            }
            left -= weight;
        }
        unreachable!("the draw is below the sum of the weights")
    }

    /// Puts these into a random order.
    pub(crate) fn shuffle<T>(&mut self, things: &mut [T]) {
        things.shuffle(&mut self.0);
    }
}
