//! In what figures are measured.

/// In what a figure is measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[allow(missing_docs, reason = "most say it themselves")]
pub enum Unit {
    /// A time.
    Ticks,
    /// A moment: ticks from the start of the run.
    Tick,
    Items,
    Boxes,
    /// Both among what is counted, a box as one.
    ItemsAndBoxes,
    Stacks,
    Sieves,
    Goals,
    Stops,
    Kinds,
    Rises,
    ItemsPerSecond,
    BoxesPerSecond,
    Hoppers,
    Parts,
    Places,
    Problems,
    Blocks,
    HoppersPerBlock,
    WorkPerTick,
    MillisecondsPerTick,
    Hours,
    /// Of hopper-ticks: from 0 to 1, shown in percent.
    Share,
    /// Of stacks: from 0 to 1.
    StackShare,
}

impl Unit {
    /// As it is written behind a number.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Ticks | Self::Tick => "ticks",
            Self::Items => "items",
            Self::Boxes => "boxes",
            Self::ItemsAndBoxes => "items and boxes",
            Self::Stacks => "stacks",
            Self::Sieves => "sieves",
            Self::Goals => "goals",
            Self::Stops => "stops",
            Self::Kinds => "kinds",
            Self::Rises => "rises",
            Self::ItemsPerSecond => "items/s",
            Self::BoxesPerSecond => "boxes/s",
            Self::Hoppers => "hoppers",
            Self::Parts => "parts",
            Self::Places => "places",
            Self::Problems => "problems",
            Self::Blocks => "blocks",
            Self::HoppersPerBlock => "hoppers/block",
            Self::WorkPerTick => "units/t",
            Self::MillisecondsPerTick => "ms/t",
            Self::Hours => "h",
            Self::Share => "share",
            Self::StackShare => "share of stacks",
        }
    }

    /// Its name, as programs read it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Tick => "tick",
            Self::ItemsAndBoxes => "items_and_boxes",
            Self::ItemsPerSecond => "items_per_second",
            Self::BoxesPerSecond => "boxes_per_second",
            Self::HoppersPerBlock => "hoppers_per_block",
            Self::WorkPerTick => "work_units_per_tick",
            Self::MillisecondsPerTick => "ms_per_tick",
            Self::Hours => "hours",
            Self::StackShare => "share_of_stacks",
            unit => unit.words(),
        }
    }

    /// One and many of what is counted in it, or of what it is a share of.
    #[must_use]
    pub fn things(self) -> (&'static str, &'static str) {
        match self {
            Self::Ticks | Self::Tick => ("tick", "ticks"),
            Self::Boxes | Self::BoxesPerSecond => ("box", "boxes"),
            Self::Items | Self::ItemsPerSecond => ("item", "items"),
            Self::ItemsAndBoxes => ("item or box", "items and boxes"),
            Self::Stacks | Self::StackShare => ("stack", "stacks"),
            Self::Sieves => ("sieve", "sieves"),
            Self::Goals => ("goal", "goals"),
            Self::Stops => ("stop", "stops"),
            Self::Kinds => ("kind", "kinds"),
            Self::Rises => ("rise", "rises"),
            Self::Hoppers | Self::HoppersPerBlock => ("hopper", "hoppers"),
            Self::Parts => ("part", "parts"),
            Self::Places => ("place", "places"),
            Self::Problems => ("problem", "problems"),
            Self::Blocks => ("block", "blocks"),
            Self::WorkPerTick => ("unit", "units"),
            Self::MillisecondsPerTick => ("millisecond", "milliseconds"),
            Self::Hours => ("hour", "hours"),
            Self::Share => ("hopper-tick", "hopper-ticks"),
        }
    }

    /// The same of boxes, where it is one of items.
    pub(super) fn of_boxes(self) -> Self {
        match self {
            Self::Items => Self::Boxes,
            Self::ItemsPerSecond => Self::BoxesPerSecond,
            unit => unit,
        }
    }
}
