//! What arrives as the scenario says it, so that it can be written down again.

use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

/// One entry of the arrivals, with every value worked out.
#[derive(Clone, Debug)]
pub struct Arrival {
    /// Its name, from which its chance follows.
    pub name: String,
    /// What arrives when.
    pub course: Course,
}

/// When something arrives.
#[derive(Clone, Debug)]
pub enum Course {
    /// At a steady rate.
    Steady {
        /// What and where.
        delivery: Action,
        /// Ticks from one to the next, if that is how it was said.
        every_ticks: Option<u64>,
        /// Otherwise, how many come a second, in billionths.
        billionths_per_second: u64,
        /// The first tick.
        from: Tick,
        /// The tick behind the last.
        until: Tick,
    },
    /// In each tick with a probability.
    ByChance {
        /// What and where.
        delivery: Action,
        /// The probability, in billionths.
        billionths_per_tick: u64,
        /// The first tick.
        from: Tick,
        /// The tick behind the last.
        until: Tick,
    },
    /// At a steady rate, of several kinds.
    Mixed {
        /// What and where, with the share of each.
        deliveries: Vec<(Action, u32)>,
        /// Whether each is drawn.
        is_by_chance: bool,
        /// Ticks from one to the next, if that is how it was said.
        every_ticks: Option<u64>,
        /// Otherwise, how many come a second, in billionths.
        billionths_per_second: u64,
        /// The first tick.
        from: Tick,
        /// The tick behind the last.
        until: Tick,
    },
    /// One by one.
    Listed(Vec<(Tick, Action)>),
}
