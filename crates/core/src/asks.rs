//! What can be asked of a part without knowing every kind of part there is.
//!
//! Each question is answered for every kind of part by name: a new kind does not compile until all of
//! them are answered for it, and whoever asks needs no change.

use crate::id::PartId;
use crate::part::{
    Bench, Container, Dropper, Hopper, Intake, Part, Rear, Selector, Shuttle, Signal, Stream,
    Watched,
};

/// How a part holds items.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Holding {
    /// In slots of its own: [`View::slots`](crate::engine::View::slots).
    Slots,
    /// One after the other: [`View::queue`](crate::engine::View::queue).
    Queue,
    /// Loose: [`View::loose_stacks`](crate::engine::View::loose_stacks).
    Loose,
    /// In the box that stands on it: [`View::box_on_bench`](crate::engine::View::box_on_bench).
    Box,
    /// In the shuttle that is docked there: [`View::shuttle_at`](crate::engine::View::shuttle_at).
    Docked,
    /// Not at all: it is a signal.
    Nothing,
}

/// Defines `part.hopper()` and the like: the part as what it is, if it is that.
macro_rules! as_what_it_is {
    ($($(#[$doc:meta])* $method:ident: $variant:ident($kind:ty);)*) => {
        $(
            $(#[$doc])*
            #[must_use]
            pub fn $method(&self) -> Option<&$kind> {
                if let Self::$variant(own) = self { Some(own) } else { None }
            }
        )*
    };
}

impl Part {
    as_what_it_is! {
        /// The container, if it is one.
        container: Container(Container);
        /// The hopper, if it is one.
        hopper: Hopper(Hopper);
        /// The dropper or dispenser, if it is one.
        dropper: Dropper(Dropper);
        /// The stream, if it is one.
        stream: Stream(Stream);
        /// The bench, if it is one.
        bench: Bench(Bench);
        /// The selector, if it is one.
        selector: Selector(Selector);
        /// The shuttle, if it is one.
        shuttle: Shuttle(Shuttle);
        /// The signal, if it is one.
        signal: Signal(Signal);
    }

    /// How it holds items.
    #[must_use]
    pub fn holding(&self) -> Holding {
        match self {
            Self::Container(_) | Self::Hopper(_) | Self::Dropper(_) | Self::Shuttle(_) => {
                Holding::Slots
            }
            Self::Selector(_) => Holding::Queue,
            Self::Mouth | Self::Stream(_) => Holding::Loose,
            Self::Bench(_) => Holding::Box,
            Self::Dock => Holding::Docked,
            Self::Signal(_) => Holding::Nothing,
        }
    }

    /// The signal that locks it while on, if one does. (A repeater's lock is one of its inputs.)
    #[must_use]
    pub fn lock(&self) -> Option<PartId> {
        match self {
            Self::Hopper(hopper) => hopper.lock,
            Self::Selector(selector) => selector.lock,
            Self::Container(_) | Self::Dropper(_) | Self::Mouth | Self::Stream(_) => None,
            Self::Bench(_) | Self::Dock | Self::Shuttle(_) | Self::Signal(_) => None,
        }
    }

    /// Whether items move on from it or to it by what it does: a hopper, a dropper or a selector.
    #[must_use]
    pub fn hands_on(&self) -> bool {
        match self {
            Self::Hopper(_) | Self::Dropper(_) | Self::Selector(_) => true,
            Self::Container(_) | Self::Mouth | Self::Stream(_) | Self::Bench(_) => false,
            Self::Dock | Self::Shuttle(_) | Self::Signal(_) => false,
        }
    }

    /// Whether it takes turns in phase 4: a hopper or a selector.
    #[must_use]
    pub fn takes_turns(&self) -> bool {
        match self {
            Self::Hopper(_) | Self::Selector(_) => true,
            Self::Container(_) | Self::Dropper(_) | Self::Mouth | Self::Stream(_) => false,
            Self::Bench(_) | Self::Dock | Self::Shuttle(_) | Self::Signal(_) => false,
        }
    }

    /// Whether items at it are loose: a mouth or a stream.
    #[must_use]
    pub fn is_loose_place(&self) -> bool {
        self.holding() == Holding::Loose
    }

    /// The mouth to which it leads or from which it takes: a stream's, or a hopper's.
    #[must_use]
    pub fn mouth(&self) -> Option<PartId> {
        match self {
            Self::Stream(stream) => Some(stream.mouth),
            Self::Hopper(hopper) => match hopper.intake {
                Intake::Mouth(mouth) => Some(mouth),
                Intake::Above(_) | Intake::Cap => None,
            },
            Self::Container(_) | Self::Dropper(_) | Self::Mouth | Self::Bench(_) => None,
            Self::Selector(_) | Self::Dock | Self::Shuttle(_) | Self::Signal(_) => None,
        }
    }
}

impl Hopper {
    /// The inventory, bench or place that it pulls from.
    #[must_use]
    pub fn above(&self) -> Option<PartId> {
        match self.intake {
            Intake::Above(above) => Some(above),
            Intake::Mouth(_) | Intake::Cap => None,
        }
    }
}

impl Signal {
    /// Whether the operator moves it: a lever or a button.
    #[must_use]
    pub fn is_operated(&self) -> bool {
        match self {
            Self::Lever { .. } | Self::Button { .. } => true,
            Self::Wire { .. }
            | Self::Repeater { .. }
            | Self::Comparator { .. }
            | Self::Inverter { .. }
            | Self::Observer { .. }
            | Self::Hold { .. }
            | Self::Latch { .. }
            | Self::Toggle { .. }
            | Self::AllOf { .. }
            | Self::NoneOf { .. }
            | Self::Clock { .. }
            | Self::DelayLine { .. } => false,
        }
    }

    /// Of a signal that goes on and off by itself: its period and how much of it it is on, in ticks.
    #[must_use]
    pub fn beat(&self) -> Option<(u32, u32)> {
        match self {
            Self::Clock {
                period_ticks,
                high_ticks,
                ..
            } => Some((*period_ticks, *high_ticks)),
            Self::Lever { .. } | Self::Button { .. } | Self::Wire { .. } => None,
            Self::Repeater { .. } | Self::Comparator { .. } | Self::Inverter { .. } => None,
            Self::Observer { .. } | Self::Hold { .. } | Self::Latch { .. } => None,
            Self::Toggle { .. } | Self::AllOf { .. } | Self::NoneOf { .. } => None,
            Self::DelayLine { .. } => None,
        }
    }

    /// The inventory, bench or place whose fill level it reads.
    #[must_use]
    pub fn inventory_read(&self) -> Option<PartId> {
        match self {
            Self::Comparator { rear, .. } => match rear {
                Rear::Inventory(read) => Some(*read),
                Rear::Signal(_) => None,
            },
            Self::Lever { .. } | Self::Button { .. } | Self::Wire { .. } => None,
            Self::Repeater { .. } | Self::Inverter { .. } | Self::Observer { .. } => None,
            Self::Hold { .. } | Self::Latch { .. } | Self::Toggle { .. } => None,
            Self::AllOf { .. } | Self::NoneOf { .. } | Self::Clock { .. } => None,
            Self::DelayLine { .. } => None,
        }
    }

    /// The dropper whose trigger it watches.
    #[must_use]
    pub fn trigger_watched(&self) -> Option<PartId> {
        match self {
            Self::Observer { watches } => match watches {
                Watched::Trigger(dropper) => Some(*dropper),
                Watched::Signal(_) | Watched::Lock(_) | Watched::Matches(_) => None,
            },
            Self::Lever { .. } | Self::Button { .. } | Self::Wire { .. } => None,
            Self::Repeater { .. } | Self::Comparator { .. } | Self::Inverter { .. } => None,
            Self::Hold { .. } | Self::Latch { .. } | Self::Toggle { .. } => None,
            Self::AllOf { .. } | Self::NoneOf { .. } | Self::Clock { .. } => None,
            Self::DelayLine { .. } => None,
        }
    }
}
