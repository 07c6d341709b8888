//! What can be set at a part, without what it is connected to.

use hallwright_core::part::{ComparatorMode, Lift, Part, Signal};
use hallwright_core::predicate::Predicate;

/// What a part is and how it is set, without its connections. Wires are no parts here: they only carry
/// what others give.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Settings {
    /// An inventory that stands still.
    Container {
        /// How many slots.
        slots: u16,
    },
    /// A hopper.
    Hopper,
    /// A dropper or dispenser.
    Dropper,
    /// A place where loose items rest.
    Mouth,
    /// Flowing water.
    Stream {
        /// Ticks from its start to its mouth.
        transit_ticks: u32,
    },
    /// A place where a box stands.
    Bench {
        /// When its box is lifted.
        lift: LiftedWhen,
        /// For how many more ticks that must hold.
        after_ticks: u32,
    },
    /// A selector.
    Selector {
        /// Ticks from accepting an item to its being ready.
        latency_ticks: u32,
        /// Ticks at least between two items' being ready.
        interval_ticks: u32,
        /// How many items it holds.
        holds: u32,
        /// What goes to the match target.
        takes: Predicate,
    },
    /// Where shuttles stand.
    Dock,
    /// An inventory that travels.
    Shuttle {
        /// How many slots.
        slots: u16,
        /// Travel time and dwell of each stop, in ticks.
        stops: Vec<(u32, u32)>,
    },
    /// Moved by the operator.
    Lever {
        /// Its position at the start.
        starts_on: bool,
    },
    /// Pressed by the operator.
    Button {
        /// How long it stays on, in ticks.
        hold_ticks: u32,
    },
    /// A repeater.
    Repeater {
        /// Its delay in ticks.
        delay_ticks: u32,
    },
    /// A comparator.
    Comparator {
        /// What it does with rear and side.
        mode: ComparatorMode,
    },
    /// An inverter.
    Inverter,
    /// An observer.
    Observer,
    /// Stays on for a while.
    Hold {
        /// How long, in ticks.
        hold_ticks: u32,
    },
    /// On from set to reset.
    Latch,
    /// Flips on each rising edge.
    Toggle,
    /// On when every input is on.
    AllOf {
        /// How many inputs it has.
        inputs: usize,
    },
    /// On when no input is on.
    NoneOf {
        /// How many inputs it has.
        inputs: usize,
    },
    /// On for a while in each period.
    Clock {
        /// The period in ticks.
        period_ticks: u32,
        /// How much of it the clock is on.
        high_ticks: u32,
        /// When a period begins.
        phase_ticks: i64,
    },
    /// Its input's level, later.
    DelayLine {
        /// How much later, in ticks.
        delay_ticks: u32,
    },
}

/// When a bench's box is lifted.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum LiftedWhen {
    /// It holds nothing.
    Empty,
    /// Every slot is at its limit.
    Full,
    /// A signal is on.
    Signal,
}

impl Settings {
    /// Those of a part; `None` of a wire.
    #[must_use]
    pub fn of(part: &Part) -> Option<Self> {
        Some(match part {
            Part::Container(container) => Self::Container {
                slots: container.slots,
            },
            Part::Hopper(_) => Self::Hopper,
            Part::Dropper(_) => Self::Dropper,
            Part::Mouth => Self::Mouth,
            Part::Stream(stream) => Self::Stream {
                transit_ticks: stream.transit_ticks,
            },
            Part::Bench(bench) => Self::Bench {
                lift: match bench.lift {
                    Lift::Empty => LiftedWhen::Empty,
                    Lift::Full => LiftedWhen::Full,
                    Lift::Signal(_) => LiftedWhen::Signal,
                },
                after_ticks: bench.after_ticks,
            },
            Part::Selector(selector) => Self::Selector {
                latency_ticks: selector.latency_ticks,
                interval_ticks: selector.interval_ticks,
                holds: selector.holds,
                takes: selector.takes.clone(),
            },
            Part::Dock => Self::Dock,
            Part::Shuttle(shuttle) => {
                let times = |leg: &hallwright_core::part::Leg| (leg.travel_ticks, leg.dwell_ticks);
                Self::Shuttle {
                    slots: shuttle.slots,
                    stops: shuttle.stops.iter().map(times).collect(),
                }
            }
            Part::Signal(signal) => return Self::of_signal(signal),
        })
    }

    fn of_signal(signal: &Signal) -> Option<Self> {
        Some(match *signal {
            Signal::Wire { .. } => return None,
            Signal::Lever { starts_on } => Self::Lever { starts_on },
            Signal::Button { hold_ticks } => Self::Button { hold_ticks },
            Signal::Repeater { delay_ticks, .. } => Self::Repeater { delay_ticks },
            Signal::Comparator { mode, .. } => Self::Comparator { mode },
            Signal::Inverter { .. } => Self::Inverter,
            Signal::Observer { .. } => Self::Observer,
            Signal::Hold { hold_ticks, .. } => Self::Hold { hold_ticks },
            Signal::Latch { .. } => Self::Latch,
            Signal::Toggle { .. } => Self::Toggle,
            Signal::AllOf { ref inputs } => Self::AllOf {
                inputs: inputs.len(),
            },
            Signal::NoneOf { ref inputs } => Self::NoneOf {
                inputs: inputs.len(),
            },
            Signal::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            } => Self::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            },
            Signal::DelayLine { delay_ticks, .. } => Self::DelayLine { delay_ticks },
        })
    }

    /// Whether it is taken at its word: only what it does is declared, not how it is built.
    #[must_use]
    pub fn is_taken_at_its_word(&self) -> bool {
        match self {
            Self::Selector { .. } | Self::Dock | Self::Shuttle { .. } => true,
            Self::Hold { .. } | Self::Latch | Self::Toggle | Self::DelayLine { .. } => true,
            Self::AllOf { .. } | Self::NoneOf { .. } | Self::Clock { .. } => true,
            Self::Container { .. } | Self::Hopper | Self::Dropper | Self::Mouth => false,
            Self::Stream { .. } | Self::Bench { .. } => false,
            Self::Lever { .. } | Self::Button { .. } | Self::Repeater { .. } => false,
            Self::Comparator { .. } | Self::Inverter | Self::Observer => false,
        }
    }

    /// Whether it gives a level between 0 and 15, and not only the two.
    pub(crate) fn has_levels(&self) -> bool {
        matches!(self, Self::Comparator { .. } | Self::DelayLine { .. })
    }
}
