//! Moments and phases. Durations are plain numbers of ticks, in fields whose names end in `_ticks`.

use std::fmt;
use std::ops::{Add, Sub};

use serde::{Deserialize, Serialize};

/// A moment: the number of a tick, from 0.
#[derive(
    Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Debug, Serialize, Deserialize,
)]
pub struct Tick(pub u64);

impl Add<u64> for Tick {
    type Output = Tick;

    fn add(self, ticks: u64) -> Tick {
        Tick(self.0 + ticks)
    }
}

impl Sub for Tick {
    type Output = u64;

    fn sub(self, earlier: Tick) -> u64 {
        self.0 - earlier.0
    }
}

impl fmt::Display for Tick {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.0)
    }
}

/// The five phases of a tick, in order (tick rules, section 2). Nothing moves in the fifth.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[repr(u8)]
pub enum Phase {
    /// Operator actions and deliveries.
    Inputs = 1,
    /// Scheduled signal events; droppers fire.
    Signals = 2,
    /// Loose items, then shuttles.
    Loose = 3,
    /// Hoppers and selectors in update order, then benches.
    Hoppers = 4,
    /// The state that reports and snapshots see.
    Measure = 5,
}
