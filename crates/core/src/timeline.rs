//! What comes from outside: deliveries and what the operator does.

use crate::id::{KindId, PartId};
use crate::slot::Filling;
use crate::tick::Tick;

/// One operator action or delivery (tick rules, section 6), done in phase 1.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Action {
    /// Moves a lever.
    MoveLever {
        /// The lever.
        lever: PartId,
        /// Its new position.
        on: bool,
    },
    /// Presses a button; pressing it while it is on does nothing.
    Press {
        /// The button.
        button: PartId,
    },
    /// Delivers items into an inventory or selector, or loose at a mouth or onto a stream. What
    /// does not fit is not delivered.
    Deliver {
        /// Where to: a container, hopper, dropper, bench, shuttle's place, selector, mouth or stream.
        place: PartId,
        /// What.
        kind: KindId,
        /// How many items, at least 1.
        count: u32,
        /// For boxes: what each of them holds.
        contents: Vec<Filling>,
    },
    /// Takes items out of an inventory, first slots first. What is not there is not withdrawn.
    Withdraw {
        /// Where from: a container, hopper, dropper, bench or shuttle's place.
        place: PartId,
        /// How many items at most.
        count: u32,
    },
}

/// All that comes from outside during a run, in the order in which it is done.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Timeline {
    entries: Vec<(Tick, Action)>,
}

impl Timeline {
    /// The entries sorted by tick; those of one tick keep the order they are given in.
    #[must_use]
    pub fn new(mut entries: Vec<(Tick, Action)>) -> Self {
        entries.sort_by_key(|(tick, _)| *tick);
        Self { entries }
    }

    /// The entries, in the order of their ticks.
    #[must_use]
    pub fn entries(&self) -> &[(Tick, Action)] {
        &self.entries
    }
}
