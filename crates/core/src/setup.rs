//! What differs from run to run of one network: seed, update order, inputs.

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

use crate::id::PartId;
use crate::network::Network;
use crate::timeline::Timeline;

/// The order in which hoppers and selectors take their turns (tick rules, section 2).
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub enum UpdateOrder {
    /// The order of declaration.
    #[default]
    Declared,
    /// The reverse of it.
    Reversed,
    /// An order drawn from this seed.
    Shuffled(u64),
    /// This order. It must name every hopper and selector exactly once.
    Listed(Vec<PartId>),
}

impl UpdateOrder {
    /// Every hopper and selector of the network, in this order.
    ///
    /// # Panics
    ///
    /// If a listed order does not name every hopper and selector exactly once.
    #[must_use]
    pub fn resolve(&self, network: &Network) -> Vec<PartId> {
        let mut order: Vec<PartId> = network.turn_takers().collect();
        match self {
            Self::Declared => {}
            Self::Reversed => order.reverse(),
            Self::Shuffled(seed) => order.shuffle(&mut ChaCha8Rng::seed_from_u64(*seed)),
            Self::Listed(listed) => {
                let mut sorted = listed.clone();
                sorted.sort_unstable();
                assert_eq!(
                    sorted, order,
                    "a listed order names every hopper and selector once"
                );
                order.clone_from(listed);
            }
        }
        order
    }
}

/// What one run needs beside the network.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Setup {
    /// The seed of everything left to chance.
    pub seed: u64,
    /// The update order.
    pub order: UpdateOrder,
    /// Deliveries and operator actions.
    pub timeline: Timeline,
}
