//! What hopper turns, comparator updates and loose stacks cost the world, worked out from halls that somebody
//! has measured.
//!
//! Each hall says how much of each there is in a tick, and how many milliseconds a tick took. The weights are
//! those, none of them below 0, with which the sum of the squared differences is least. There are four of them,
//! so every choice of weights that are not 0 is tried, each solved by itself (`solve.rs`): the least of those
//! without a negative weight is the answer.

mod fit;
mod solve;

pub use fit::{Fit, FittedHall, FittedWeight, Hall, Unfit, WhyZero, fit};
pub use solve::{Solution, least_squares};

/// What has a weight.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Weighed {
    /// A hopper's turn that gets as far as pushing.
    HopperTurn,
    /// A comparator that looks again.
    ComparatorUpdate,
    /// A loose stack in a tick.
    LooseStack,
    /// A tick, whatever happens in it.
    Base,
}

impl Weighed {
    /// All of them, in the order in which they are preferred where the halls cannot tell them apart.
    pub const ALL: [Self; 4] = [
        Self::HopperTurn,
        Self::ComparatorUpdate,
        Self::LooseStack,
        Self::Base,
    ];

    /// Its field of `costs` in a scenario.
    #[must_use]
    pub fn field(self) -> &'static str {
        match self {
            Self::HopperTurn => "hopper_turn_us",
            Self::ComparatorUpdate => "comparator_update_us",
            Self::LooseStack => "loose_stack_us",
            Self::Base => "base_us",
        }
    }

    /// Many of it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::HopperTurn => "hopper turns",
            Self::ComparatorUpdate => "comparator updates",
            Self::LooseStack => "loose stacks",
            Self::Base => "the base of a tick",
        }
    }
}
