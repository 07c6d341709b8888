//! What befell the hall beside its running: parts that slept, reopenings, mishaps, and which parts are
//! taken at their word.

use hallwright_core::tick::Tick;

use crate::KindCount;
use crate::units::Rate;

/// What befell the hall.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Upsets {
    /// Every spell that began before the end of the run, in the order of their beginning.
    pub spells: Vec<SpellFinding>,
    /// When the world was opened again.
    pub reopened_at: Vec<Tick>,
    /// What the operator put somewhere by hand, by kind; tokens that ask for boxes are left out.
    pub put_in: Vec<KindCount>,
    /// How many boxes the operator took away.
    pub boxes_taken: u64,
}

/// A time for which parts slept or signals were stuck.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SpellFinding {
    /// How they were.
    pub sort: SpellSort,
    /// When it began.
    pub at: Tick,
    /// The tick in which it was over, which may lie behind the end of the run.
    pub over_at: Tick,
    /// The region that they are, if they are just one.
    pub region: Option<String>,
    /// The parts, in the order of declaration.
    pub parts: Vec<String>,
}

/// How parts were for a time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SpellSort {
    /// Time stood still for them.
    Asleep,
    /// Signals that were on, whatever their parts did.
    StuckOn,
    /// Signals that were off, whatever their parts did.
    StuckOff,
}

/// The selectors and shuttles on whose declared behaviour a result rests.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct TakenAtWord {
    /// Selectors, those of the same behaviour together.
    pub selectors: Vec<SelectorsAtWord>,
    /// Shuttles, in the order of declaration.
    pub shuttles: Vec<ShuttleAtWord>,
}

/// Selectors of the same behaviour.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SelectorsAtWord {
    /// Their names, in the order of declaration.
    pub parts: Vec<String>,
    /// Ticks from one item to the next at least; 0 for one in every turn.
    pub interval_ticks: u32,
    /// Ticks that an item is inside at least.
    pub latency_ticks: u32,
    /// How many items each holds.
    pub holds_items: u32,
}

impl SelectorsAtWord {
    /// The most that each hands on: one item in every turn, in its interval, and what it holds in its latency.
    #[must_use]
    pub fn fastest(&self) -> Rate {
        let by_interval = Rate {
            items: 1,
            ticks: self.interval_ticks.max(1).into(),
        };
        let by_latency = Rate {
            items: self.holds_items.into(),
            ticks: self.latency_ticks.into(),
        };
        if self.latency_ticks > 0 && by_interval.exceeds(by_latency) {
            by_latency
        } else {
            by_interval
        }
    }
}

/// A shuttle.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShuttleAtWord {
    /// Its name.
    pub part: String,
    /// Ticks that a round takes at least: all ways, and how long it stays at each dock.
    pub round_ticks: u64,
}

impl TakenAtWord {
    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.selectors.is_empty() && self.shuttles.is_empty()
    }
}
