//! The ways in which the world can be left and opened again.

use hallwright_core::order::{Order, Orders};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// The most patterns that are tried for one tick.
pub const MOST_PATTERNS: usize = 40;

/// How the regions fall asleep, and how the world is opened again.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pattern {
    /// The orders in which the hall runs before it is left; `None` for those of the run that is left.
    pub before: Option<Orders>,
    /// Whether the region nearest to the builder falls asleep first; the farthest does otherwise.
    pub near_first: bool,
    /// The orders in which the world is opened again.
    pub orders: Orders,
    /// For each region, from near to far, how many ticks it loads later than the world.
    pub late_ticks: Vec<u64>,
    /// Whether the hall is switched on again as soon as all of it is there; otherwise not before it was to
    /// be in any case.
    pub at_once: bool,
}

/// So many patterns at most for a hall of so many regions, the plain ones first: far first and near first,
/// each with reversed orders, all there and switched on at once. Then orders and lateness are drawn from the seed, for a third of
/// them the orders before the leave as well; a region is late by at most
/// `most_late_ticks`. The same arguments give the same patterns.
#[must_use]
pub fn patterns(seed: u64, regions: usize, most_late_ticks: u64) -> Vec<Pattern> {
    let plain = [false, true].map(|near_first| Pattern {
        before: None,
        near_first,
        orders: Orders {
            update: Order::Reversed,
            signal: Order::Reversed,
        },
        late_ticks: vec![0; regions],
        at_once: true,
    });
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let drawn = (plain.len()..MOST_PATTERNS).map(|number| Pattern {
        before: (number % 3 == 2).then(|| shuffled(&mut chance)),
        near_first: number % 2 == 1,
        orders: shuffled(&mut chance),
        // Most regions are there at once: what one late region breaks is not to be hidden by others.
        late_ticks: (0..regions)
            .map(|_| match chance.random_bool(0.4) {
                true => chance.random_range(0..=most_late_ticks),
                false => 0,
            })
            .collect(),
        at_once: number % 4 < 2,
    });
    plain.iter().cloned().chain(drawn).collect()
}

fn shuffled(chance: &mut ChaCha8Rng) -> Orders {
    Orders {
        update: Order::Shuffled(chance.random()),
        signal: Order::Shuffled(chance.random()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_patterns_and_some_of_them_have_late_regions() {
        let these = patterns(7, 3, 100);
        assert_eq!(these.len(), MOST_PATTERNS);
        assert_eq!(these, patterns(7, 3, 100));
        assert_ne!(these, patterns(8, 3, 100));
        let late = these.iter().flat_map(|pattern| &pattern.late_ticks);
        assert!(late.clone().any(|ticks| *ticks > 0));
        assert!(late.clone().all(|ticks| *ticks <= 100));
        assert!(these.iter().any(|pattern| pattern.near_first));
        assert!(these.iter().any(|pattern| !pattern.near_first));
    }
}
