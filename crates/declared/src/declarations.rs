//! What a builder declares about a network, so that a run of it can be judged.
//!
//! Nothing here changes what happens in a run, except the stops, whose actions are done in it.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::placement::Placement;
use crate::site::SiteReport;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

/// Everything declared.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Declarations {
    /// The names of the arrivals, by the number that the terms of their deliveries have.
    pub arrivals: Vec<String>,
    /// Where goods should come to rest.
    pub stores: Vec<Store>,
    /// What is counted as it goes by.
    pub flows: Vec<Flow>,
    /// The lines that a stop must clear.
    pub sections: Vec<Section>,
    /// Hoppers that must end holding the very items they started with.
    pub sieves: Vec<PartId>,
    /// Lamps, whose rises and falls are reported with the contents of what they watch.
    pub lamps: Vec<Lamp>,
    /// Where the operator asks for boxes, and where these arrive: one for each kind.
    pub desks: Vec<Desk>,
    /// Where stacks are put together and taken apart, and should leave whole.
    pub gathers: Vec<Gather>,
    /// From where the operator takes goods, and what should be empty once they are taken.
    pub open: Vec<Open>,
    /// What falls asleep together, from near to far. No part is in two.
    pub regions: Vec<Region>,
    /// How the builder leaves, and comes back.
    pub leave: Leave,
    /// The operator's stops, in the order of their ticks.
    pub stops: Vec<Stop>,
    /// Where the parts stand and how they are turned, as far as that is said.
    pub placement: Placement,
    /// What was found of that; `None` where nothing says of any part where it stands.
    pub site: Option<Arc<SiteReport>>,
    /// The width of the whole design, in blocks.
    pub width_blocks: Option<u32>,
    /// How long what the hall does takes the world; `None` where nothing is said of it.
    pub costs: Option<CostWeights>,
    /// How many blocks the builder sets in an hour, at least 1; `None` where nothing is said of it.
    pub blocks_per_hour: Option<u32>,
    /// The bounds that every run must meet.
    pub goals: Vec<Goal>,
}

/// How long the world takes for what a hall does, in picoseconds, so that sums stay exact. Each is at most
/// [`CostWeights::MOST_PICOSECONDS`].
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct CostWeights {
    /// For a hopper's turn that gets as far as pushing.
    pub hopper_turn_picoseconds: u64,
    /// For a comparator that looks again, because something it reads changed.
    pub comparator_update_picoseconds: u64,
    /// For a loose stack in a tick.
    pub loose_stack_picoseconds: u64,
    /// For a tick, whatever happens in it.
    pub base_picoseconds: u64,
}

impl CostWeights {
    /// A second: more than that nothing takes.
    pub const MOST_PICOSECONDS: u64 = 1_000_000_000_000;
}

/// Parts that fall asleep together, because they are equally far.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Region {
    /// Its name.
    pub name: String,
    /// Its parts, in the order of declaration; at least one.
    pub parts: Vec<PartId>,
}

/// How the builder leaves, and how the world is opened again.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Leave {
    /// How long after one region the next falls asleep, in ticks.
    pub apart_ticks: u64,
    /// By how much a region may load later than the world, at most, in ticks.
    pub late_ticks: u64,
    /// How long after the last region is there the hall is switched on again, in ticks.
    pub pause_ticks: u64,
    /// The lamp that says that the hall may be left, by its place in [`Declarations::lamps`], if it is named.
    pub lamp: Option<usize>,
}

impl Leave {
    /// What holds where nothing else is said, in a world of so many ticks a second: 2 s from one region to
    /// the next, up to 10 s late, and a pause of 2 s.
    #[must_use]
    pub fn usual(ticks_per_second: u32) -> Self {
        let second_ticks = u64::from(ticks_per_second);
        Self {
            apart_ticks: 2 * second_ticks,
            late_ticks: 10 * second_ticks,
            pause_ticks: 2 * second_ticks,
            lamp: None,
        }
    }
}

impl Default for Leave {
    fn default() -> Self {
        Self::usual(20)
    }
}

/// Inventories that together are one place to store goods in.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Store {
    /// Its name.
    pub name: String,
    /// Its inventories.
    pub parts: Vec<PartId>,
    /// The kinds that belong there. A box belongs where its contents do; an empty box is judged by
    /// its own kind.
    pub takes: Vec<KindId>,
    /// What it is for.
    pub purpose: StorePurpose,
}

/// What a store is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum StorePurpose {
    /// It belongs to a slice: anything but its kinds is misplaced there.
    Slice,
    /// It takes what found no place. Nothing is misplaced there, but an item whose own slice had
    /// room is counted as passed by.
    Overflow,
    /// It serves: a display, a loader, a counter, a store of empty boxes, a desk. What it takes may
    /// rest there, anything if it names no kinds, but it is nobody's home.
    Serving,
}

impl Store {
    /// Whether items of a kind may rest there.
    #[must_use]
    pub fn accepts(&self, kind: KindId) -> bool {
        match self.purpose {
            StorePurpose::Slice => self.takes.contains(&kind),
            StorePurpose::Overflow => true,
            StorePurpose::Serving => self.takes.is_empty() || self.takes.contains(&kind),
        }
    }

    /// Whether it is a home of a kind.
    #[must_use]
    pub fn is_home_of(&self, kind: KindId) -> bool {
        self.purpose == StorePurpose::Slice && self.takes.contains(&kind)
    }
}

/// Items counted as they enter any of some parts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Flow {
    /// Its name.
    pub name: String,
    /// Where an item must arrive to be counted, coming from outside this list.
    pub into: Vec<PartId>,
    /// The kinds that are counted; empty for all.
    pub kinds: Vec<KindId>,
}

/// A part of the hall that a stop must clear by itself.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Section {
    /// Its name.
    pub name: String,
    /// Its lines and lifts: hoppers, droppers, selectors, containers, streams and mouths that hold
    /// nothing once it is cleared.
    pub line: Vec<PartId>,
    /// Where work waits for it: counted in its backlog, not in `cleared`.
    pub queue: Vec<PartId>,
    /// Hoppers that should be locked while there is nothing to do: their lock cover is reported, and a
    /// stop lists those that are not.
    pub locked: Vec<PartId>,
    /// The signal that says it has work.
    pub call: Option<PartId>,
    /// Midway returns: hoppers or droppers whose throughput is what went round.
    pub returns: Vec<PartId>,
    /// Its width in blocks.
    pub width_blocks: Option<u32>,
}

/// A signal worth watching.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// The signal.
    pub signal: PartId,
    /// The parts whose contents are reported when it changes.
    pub watches: Vec<PartId>,
}

/// Where boxes full of one kind are asked for. A request is a delivery of tokens to the desk, one for
/// each box.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Desk {
    /// Its name.
    pub name: String,
    /// What the boxes hold; of an empty box, its own kind.
    pub kind: KindId,
    /// Where the tokens are laid.
    pub desk: PartId,
    /// The kind of the tokens.
    pub token: KindId,
    /// The inventories in which the boxes arrive.
    pub counter: Vec<PartId>,
}

/// Parts whose items come in and leave in stacks of one kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Gather {
    /// Its name.
    pub name: String,
    /// The parts; what moves between them neither comes in nor leaves.
    pub at: Vec<PartId>,
}

/// Places that are open to the operator.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Open {
    /// Its name.
    pub name: String,
    /// The inventories that the operator empties.
    pub parts: Vec<PartId>,
    /// The inventories that should be empty once everything has been taken.
    pub behind: Vec<PartId>,
    /// The kinds that are counted there; empty for all.
    pub kinds: Vec<KindId>,
}

/// A stop and, perhaps, the restart after it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stop {
    /// When the operator stops the hall.
    pub at: Tick,
    /// What the operator does then.
    pub actions: Vec<Action>,
    /// When the operator starts it again.
    pub restart: Option<Restart>,
}

/// A restart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Restart {
    /// When, in ticks after the stop.
    pub after_ticks: u64,
    /// What the operator does then.
    pub actions: Vec<Action>,
}

/// A bound that every run must meet.
#[derive(Clone, PartialEq, Debug)]
pub enum Goal {
    /// Misplaced items in all stores together.
    MisplacedAtMost(u64),
    /// Items passed by.
    PassedByAtMost(u64),
    /// Every sieve is intact.
    SievesBrokenAtMost(u64),
    /// Items lost.
    LostAtMost(u64),
    /// Items of deliveries that found no room where they were to land.
    RefusedAtMost(u64),
    /// Items that never get home though there is room for them.
    StuckAtMost(u64),
    /// Items that never get home because every home and overflow before them is full.
    BackedUpAtMost(u64),
    /// Stops after which the hall never was safe to close.
    StopsNotSafeAtMost(u64),
    /// Only these kinds arrive without a store that is their home.
    WithoutHome(Vec<KindId>),
    /// Only these kinds have several homes of which none lies past the other.
    SharedHome(Vec<KindId>),
    /// Items that are in no store at the end, waiting or loose ones among them, and not lost.
    InNoStoreAtMost(u64),
    /// Items that still go round along midway returns at the end.
    GoingRoundAtMost(u64),
    /// A flow's throughput over the worst window in which goods waited for it.
    ThroughputAtLeast {
        /// The flow, by its place in [`Declarations::flows`].
        flow: usize,
        /// Items a second.
        items_per_second: f64,
        /// Whether its best window is judged instead.
        best: bool,
    },
    /// The time from each request of a kind until its last box has arrived.
    RequestWithin {
        /// The desk, by its place in [`Declarations::desks`].
        desk: usize,
        /// Ticks from the request.
        ticks: u64,
        /// Whether the ticks count in which the operator had stopped the hall.
        with_stops: bool,
    },
    /// Part stacks that leave a gather.
    PartStacksOutAtMost {
        /// The gather, by its place in [`Declarations::gathers`].
        gather: usize,
        /// So many part stacks.
        stacks: u64,
    },
    /// Items that the operator cannot get out of any of the declared stores.
    LeftBehindAtMost(u64),
    /// One of the marks of every stop.
    MarkWithin {
        /// Which.
        mark: Mark,
        /// The section, by its place in [`Declarations::sections`]; `None` for all together.
        section: Option<usize>,
        /// Ticks from the stop (for `Resumed`: from the restart).
        ticks: u64,
    },
    /// Lock cover of a section, or of all.
    LockCoverAtLeast {
        /// The section, by its place in [`Declarations::sections`]; `None` for all together.
        section: Option<usize>,
        /// The share, 0 to 1.
        share: f64,
    },
    /// The longest that a section's call stayed on while nothing was in its lines and queues.
    CallIdleAtMost {
        /// The section, by its place in [`Declarations::sections`]; `None` for every section.
        section: Option<usize>,
        /// Ticks in a row.
        ticks: u64,
    },
    /// Mean work a tick.
    WorkPerTickAtMost(f64),
    /// Hoppers for each block of width.
    HoppersPerBlockAtMost(f64),
    /// Only around these parts is there more than fits.
    Crowded(Vec<PartId>),
    /// The blocks make the network as it is declared, but for what is wrong with these parts.
    Buildable(Vec<PartId>),
    /// What some inventories hold at the end.
    Contents {
        /// The inventories.
        parts: Vec<PartId>,
        /// The kinds counted; empty for all. What boxes hold counts too.
        kinds: Vec<KindId>,
        /// At least this many.
        at_least: Option<u64>,
        /// At most this many.
        at_most: Option<u64>,
    },
    /// The first rise of a lamp.
    LampRise {
        /// The lamp, by its place in [`Declarations::lamps`].
        lamp: usize,
        /// Not before this tick.
        not_before: Option<Tick>,
        /// Not after this tick.
        not_after: Option<Tick>,
        /// Not before what it watches holds this many items (boxes counted as one).
        at_least_items: Option<u64>,
        /// Not after it holds this many.
        at_most_items: Option<u64>,
    },
}

/// A mark of a stop (or, the last, of the restart after it).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Mark {
    /// Lines and lifts hold nothing.
    Cleared,
    /// Cleared, no pulse under way, and nothing will move again without a new input.
    SafeToClose,
    /// Nothing moves and nothing will without a new input.
    Quiet,
    /// All that was held back is sorted.
    Resumed,
}
