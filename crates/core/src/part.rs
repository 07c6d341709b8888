//! The parts of a network: what each one is and what it is connected to.
//!
//! Connections are ids of other parts. Which kinds of part may stand where is checked when the
//! network is built ([`crate::network::NetworkBuilder::build`]).

use crate::id::PartId;
use crate::predicate::Predicate;

/// One thing in a network.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Part {
    /// A chest, barrel, double chest or the like.
    Container(Container),
    /// A hopper.
    Hopper(Hopper),
    /// A dropper or dispenser.
    Dropper(Dropper),
    /// A place where loose items rest.
    Mouth,
    /// Flowing water that carries loose items.
    Stream(Stream),
    /// A place where a box stands to be filled or emptied.
    Bench(Bench),
    /// A sorting device of which only the behaviour is declared.
    Selector(Box<Selector>),
    /// Where shuttles stand.
    Dock,
    /// An inventory that travels a round of docks.
    Shuttle(Box<Shuttle>),
    /// A part that gives a signal.
    Signal(Signal),
}

impl Part {
    /// What a part is, in one word of the layouts: `hopper`, `delay line`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Container(_) => "container",
            Self::Hopper(_) => "hopper",
            Self::Dropper(_) => "dropper",
            Self::Mouth => "mouth",
            Self::Stream(_) => "stream",
            Self::Bench(_) => "bench",
            Self::Selector(_) => "selector",
            Self::Dock => "dock",
            Self::Shuttle(_) => "shuttle",
            Self::Signal(signal) => signal.word(),
        }
    }
}

/// An inventory that stands still.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Container {
    /// How many slots, at least 1. A chest or barrel has 27, a double chest 54.
    pub slots: u16,
}

/// A hopper: five slots, pushes into one target, pulls from one inventory or mouth.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Hopper {
    /// What it pushes into: an inventory, bench, shuttle's dock or selector.
    pub target: Option<PartId>,
    /// What it draws from.
    pub intake: Intake,
    /// The signal that locks it while on.
    pub lock: Option<PartId>,
}

/// What stands above a hopper.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Intake {
    /// An inventory, bench or shuttle's dock that it pulls from.
    Above(PartId),
    /// A mouth open to loose items.
    Mouth(PartId),
    /// A cap: nothing comes from above.
    Cap,
}

/// A dropper or dispenser: nine slots and a trigger.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Dropper {
    /// The signal whose rising edge fires it.
    pub trigger: Option<PartId>,
    /// What it does with the item.
    pub outlet: Outlet,
}

/// Where a dropper's item goes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Outlet {
    /// Into an inventory, shuttle's dock or selector.
    Into(PartId),
    /// Onto a bench: it is a dispenser, which sets boxes down and throws everything else.
    Bench(PartId),
    /// Loose, onto a stream or at a mouth.
    Loose(PartId),
}

/// Flowing water.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Stream {
    /// Ticks from coming loose to the mouth, at least 1.
    pub transit_ticks: u32,
    /// The mouth at its end.
    pub mouth: PartId,
}

/// A bench.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Bench {
    /// When the box is lifted.
    pub lift: Lift,
    /// For how many more ticks the condition must have held, 0 for at once.
    pub after_ticks: u32,
    /// The mouth or stream where a lifted box, or a thrown item, comes loose.
    pub output: PartId,
}

/// The condition under which a bench's box is lifted.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Lift {
    /// The box holds nothing.
    Empty,
    /// Every slot of the box is at its limit.
    Full,
    /// This signal is on.
    Signal(PartId),
}

/// A selector.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Selector {
    /// Ticks from accepting an item to its being ready.
    pub latency_ticks: u32,
    /// Ticks at least between two items' being ready.
    pub interval_ticks: u32,
    /// How many items it holds, at least 1.
    pub holds: u32,
    /// What goes to the match target.
    pub takes: Predicate,
    /// Where what it takes goes: an inventory, bench, dock, selector, mouth or stream.
    pub match_target: PartId,
    /// Where the rest goes.
    pub rest_target: PartId,
    /// Where either goes when its target refuses it; `None` makes it wait.
    pub when_full: Option<PartId>,
    /// The signal that locks it while on.
    pub lock: Option<PartId>,
}

/// A shuttle.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Shuttle {
    /// How many slots: 27 or 5.
    pub slots: u16,
    /// Its round, at least one stop. It starts docked at the first.
    pub stops: Vec<Leg>,
}

/// One stop of a shuttle's round.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Leg {
    /// Where it docks: a [`Part::Dock`].
    pub dock: PartId,
    /// Travel time from the stop before (the first stop: from the last), in ticks.
    pub travel_ticks: u32,
    /// How long it stays at least, in ticks.
    pub dwell_ticks: u32,
    /// The signal that lets it go; `None` lets it go always.
    pub release: Option<PartId>,
}

/// A part that gives a signal from 0 to 15 (tick rules, section 3).
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Signal {
    /// Moved by the operator.
    Lever {
        /// Its position at the start.
        starts_on: bool,
    },
    /// Pressed by the operator.
    Button {
        /// How long it stays on, at least 1 tick.
        hold_ticks: u32,
    },
    /// The highest of its inputs, each less its loss.
    Wire {
        /// Inputs and their losses.
        inputs: Vec<(PartId, u8)>,
    },
    /// Delays, and stretches short pulses.
    Repeater {
        /// What it repeats.
        input: PartId,
        /// Its delay, at least 1 tick; builders know 2, 4, 6 and 8.
        delay_ticks: u32,
        /// While this is on it keeps its output.
        lock: Option<PartId>,
    },
    /// Reads a fill level or compares signals.
    Comparator {
        /// What stands behind it.
        rear: Rear,
        /// The signal at its side; none counts as 0.
        side: Option<PartId>,
        /// What it does with the two.
        mode: ComparatorMode,
    },
    /// On while its input is off.
    Inverter {
        /// Its input.
        input: PartId,
    },
    /// A pulse whenever something changes.
    Observer {
        /// What it watches.
        watches: Watched,
    },
    /// Stays on for a while after its input goes off.
    Hold {
        /// Its input.
        input: PartId,
        /// How long it stays on, at least 1 tick.
        hold_ticks: u32,
    },
    /// On from set to reset.
    Latch {
        /// Sets it.
        set: PartId,
        /// Resets it; wins when both are on.
        reset: PartId,
    },
    /// Flips on each rising edge.
    Toggle {
        /// Its input.
        input: PartId,
    },
    /// On when every input is on; of none, on.
    AllOf {
        /// Its inputs.
        inputs: Vec<PartId>,
    },
    /// On when no input is on; of none, on.
    NoneOf {
        /// Its inputs.
        inputs: Vec<PartId>,
    },
    /// On for a while in each period.
    Clock {
        /// The period, at least 1 tick.
        period_ticks: u32,
        /// How much of it the clock is on.
        high_ticks: u32,
        /// When a period begins, in ticks after tick 0 (taken modulo the period).
        phase_ticks: i64,
    },
    /// Its input's level, later, change for change.
    DelayLine {
        /// Its input.
        input: PartId,
        /// How much later, at least 1 tick.
        delay_ticks: u32,
    },
}

impl Signal {
    /// What a signal is, in one word of the layouts: `lever`, `all of`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Lever { .. } => "lever",
            Self::Button { .. } => "button",
            Self::Wire { .. } => "wire",
            Self::Repeater { .. } => "repeater",
            Self::Comparator { .. } => "comparator",
            Self::Inverter { .. } => "inverter",
            Self::Observer { .. } => "observer",
            Self::Hold { .. } => "hold",
            Self::Latch { .. } => "latch",
            Self::Toggle { .. } => "toggle",
            Self::AllOf { .. } => "all of",
            Self::NoneOf { .. } => "none of",
            Self::Clock { .. } => "clock",
            Self::DelayLine { .. } => "delay line",
        }
    }
}

/// What stands behind a comparator.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Rear {
    /// An inventory, bench or shuttle's dock, whose fill level it reads.
    Inventory(PartId),
    /// A signal.
    Signal(PartId),
}

/// How a comparator combines rear and side.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum ComparatorMode {
    /// Rear if it is not below side, else 0.
    #[default]
    Compare,
    /// Rear less side, never below 0.
    Subtract,
}

/// What an observer watches.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Watched {
    /// Of a wire or delay line any change of its level, of every other signal its going on and off.
    Signal(PartId),
    /// The lock of this hopper or selector, on to off and off to on.
    Lock(PartId),
    /// The trigger of this dropper, likewise.
    Trigger(PartId),
    /// Each match that this selector delivers to its match target.
    Matches(PartId),
}
