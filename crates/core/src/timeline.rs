//! What comes from outside: deliveries and what the operator does.

use serde::{Deserialize, Serialize};

use crate::id::{KindId, PartId};
use crate::order::Orders;
use crate::slot::Filling;
use crate::tick::Tick;

/// One operator action or delivery (tick rules, section 6, section 9 and "mishaps"), done in phase 1.
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
    /// becomes of those that do not fit is a matter of its terms.
    Deliver {
        /// Where to: a container, hopper, dropper, bench, shuttle's dock, selector, mouth or stream.
        place: PartId,
        /// What.
        kind: KindId,
        /// How many items, at least 1.
        count: u32,
        /// For boxes: what each of them holds.
        contents: Vec<Filling>,
        /// On what terms it comes.
        terms: Terms,
    },
    /// Takes items out of an inventory, first slots first. What is not there is not withdrawn.
    Withdraw {
        /// Where from: a container, hopper, dropper, bench or shuttle's dock.
        place: PartId,
        /// How many items at most.
        count: u32,
    },
    /// Puts parts to sleep (tick rules, section 9): for so long, time stands still for them. Any part can
    /// sleep, but none can be put to sleep while it is asleep.
    Sleep {
        /// Which.
        parts: Vec<PartId>,
        /// For how many ticks, this one included: at least 1.
        sleep_ticks: u32,
    },
    /// Lets signals be stuck (tick rules, "mishaps"): for so long all who read them see this level, whatever
    /// the parts themselves do. None can get stuck while it is stuck.
    Stick {
        /// Which signals.
        signals: Vec<PartId>,
        /// Whether they are stuck on; otherwise off.
        on: bool,
        /// For how many ticks, this one included: at least 1.
        stuck_ticks: u32,
    },
    /// Fills an inventory by hand: as many items of a kind as fit go in (tick rules, "mishaps").
    Fill {
        /// Which: a container, hopper, dropper, bench or shuttle's dock.
        place: PartId,
        /// With what.
        kind: KindId,
        /// For boxes: what each of them holds.
        contents: Vec<Filling>,
    },
    /// Takes away the box that stands on a bench, or the first box in another inventory, with all it holds
    /// (tick rules, "mishaps"). Where there is none, nothing happens.
    TakeBox {
        /// Where from: a container, hopper, dropper, bench or shuttle's dock.
        place: PartId,
    },
    /// Opens the world again (tick rules, section 9): from this tick on these orders hold, and the last
    /// turn of every hopper and selector is forgotten.
    Reopen {
        /// The orders.
        orders: Orders,
    },
}

impl Action {
    /// For how many ticks parts sleep or signals are stuck; `None` of what is done at once.
    #[must_use]
    pub fn spell_ticks(&self) -> Option<u32> {
        match self {
            Self::Sleep { sleep_ticks, .. } => Some(*sleep_ticks),
            Self::Stick { stuck_ticks, .. } => Some(*stuck_ticks),
            Self::MoveLever { .. } | Self::Press { .. } | Self::Deliver { .. } => None,
            Self::Withdraw { .. } | Self::Fill { .. } | Self::TakeBox { .. } => None,
            Self::Reopen { .. } => None,
        }
    }
}

/// On what terms a delivery comes (tick rules, "deliveries that wait"). By default it comes when it is due, and
/// what does not fit is refused.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub struct Terms {
    /// Whether what does not fit waits in line at the landing.
    pub waits: bool,
    /// A signal: while it is off, the delivery is held.
    pub while_on: Option<PartId>,
    /// The number of the arrival that it belongs to, from 0, for those who report on it. It changes
    /// nothing in a run.
    pub arrival: Option<u32>,
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

    /// Every spell, a time for which parts sleep or signals are stuck: the tick in which it begins, and the
    /// one from whose start on it is over.
    pub fn spells(&self) -> impl Iterator<Item = (Tick, Tick)> {
        self.entries
            .iter()
            .filter_map(|(tick, action)| Some((*tick, *tick + u64::from(action.spell_ticks()?))))
    }

    /// The entries, in the order of their ticks.
    #[must_use]
    pub fn entries(&self) -> &[(Tick, Action)] {
        &self.entries
    }
}
