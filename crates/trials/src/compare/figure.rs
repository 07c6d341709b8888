//! The figures that are compared: what each is called, what it is about and which way is better.

/// What is measured.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Name {
    /// A mark of the stop.
    Cleared,
    /// A mark of the stop.
    SafeToClose,
    /// A mark of the stop.
    Quiet,
    /// From the restart until all that was held back is sorted.
    Resumed,
    /// Items in slices that take them, at the end.
    Sorted,
    /// Items in slices that do not.
    Misplaced,
    /// Items that reached overflow while their slice had room.
    PassedBy,
    /// Items gone by despawning.
    Lost,
    /// Items that midway returns drew back.
    WentRound,
    /// Items that still go round when the run ends.
    StillGoingRound,
    /// Item filters that did not end holding what they began with.
    SievesNotIntact,
    /// Goals that were missed.
    GoalsMissed,
    /// A flow's best sustained rate.
    Throughput,
    /// The most that ever waited in a section.
    MostWaiting,
    /// Hoppers.
    Hoppers,
    /// Parts of every sort, signals included.
    Parts,
    /// The width of the whole design.
    Width,
    /// Hoppers for each block of width.
    HoppersPerBlock,
    /// Work a tick until nothing moved any more.
    WorkBusy,
    /// Work a tick once nothing moved any more.
    WorkIdle,
    /// The share of hopper-ticks spent locked while there was nothing to do.
    LockCover,
}

/// What a figure tells of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Topic {
    /// How it stops and starts again.
    Stopping,
    /// Where items end.
    Sorting,
    /// How fast they come through.
    Flow,
    /// What it costs to build and to run.
    Cost,
}

/// Which part of a design a figure is about.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Scope {
    /// All of it.
    All,
    /// One flow.
    Flow(String),
    /// All sections whose names begin alike, up to the first dot or bracket.
    Subsystem(String),
    /// One section.
    Section(String),
}

/// In what a figure is measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[allow(missing_docs, reason = "each says it itself")]
pub enum Unit {
    Ticks,
    Items,
    Sieves,
    Goals,
    ItemsPerSecond,
    BoxesPerSecond,
    Hoppers,
    Parts,
    Blocks,
    HoppersPerBlock,
    WorkPerTick,
    /// From 0 to 1, shown in percent.
    Share,
}

/// A figure that designs are compared in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Figure {
    /// What is measured.
    pub name: Name,
    /// Of what.
    pub scope: Scope,
    /// In which unit.
    pub unit: Unit,
}

impl Name {
    /// Every name, in the order in which figures are told.
    pub const ALL: [Self; 21] = [
        Self::Cleared,
        Self::SafeToClose,
        Self::Quiet,
        Self::Resumed,
        Self::Sorted,
        Self::Misplaced,
        Self::PassedBy,
        Self::Lost,
        Self::WentRound,
        Self::StillGoingRound,
        Self::SievesNotIntact,
        Self::GoalsMissed,
        Self::Throughput,
        Self::MostWaiting,
        Self::Hoppers,
        Self::Parts,
        Self::Width,
        Self::HoppersPerBlock,
        Self::WorkBusy,
        Self::WorkIdle,
        Self::LockCover,
    ];

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Cleared => "cleared",
            Self::SafeToClose => "safe to close",
            Self::Quiet => "quiet",
            Self::Resumed => "resumed",
            Self::Sorted => "sorted",
            Self::Misplaced => "misplaced",
            Self::PassedBy => "passed by",
            Self::Lost => "lost",
            Self::WentRound => "went round",
            Self::StillGoingRound => "still going round",
            Self::SievesNotIntact => "sieves not intact",
            Self::GoalsMissed => "goals missed",
            Self::Throughput => "throughput",
            Self::MostWaiting => "most waiting",
            Self::Hoppers => "hoppers",
            Self::Parts => "parts",
            Self::Width => "width",
            Self::HoppersPerBlock => "hoppers per block",
            Self::WorkBusy => "work while busy",
            Self::WorkIdle => "work at rest",
            Self::LockCover => "lock cover",
        }
    }

    /// What it tells of.
    #[must_use]
    pub fn topic(self) -> Topic {
        match self {
            Self::Cleared | Self::SafeToClose | Self::Quiet | Self::Resumed => Topic::Stopping,
            Self::Throughput | Self::MostWaiting => Topic::Flow,
            Self::Sorted
            | Self::Misplaced
            | Self::PassedBy
            | Self::Lost
            | Self::WentRound
            | Self::StillGoingRound
            | Self::SievesNotIntact
            | Self::GoalsMissed => Topic::Sorting,
            _ => Topic::Cost,
        }
    }

    /// Whether more of it is better. Of all others, less is.
    #[must_use]
    pub fn more_is_better(self) -> bool {
        matches!(self, Self::Sorted | Self::Throughput | Self::LockCover)
    }

    /// Whether it says what a design does, rather than what it costs.
    #[must_use]
    pub fn is_function(self) -> bool {
        self.topic() != Topic::Cost
    }
}

impl Topic {
    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Stopping => "Stopping",
            Self::Sorting => "Sorting",
            Self::Flow => "Flow",
            Self::Cost => "Cost",
        }
    }
}

impl Scope {
    /// What it is called; `None` for all.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::All => None,
            Self::Flow(name) | Self::Subsystem(name) | Self::Section(name) => Some(name),
        }
    }

    /// Which sort of scope it is.
    #[must_use]
    pub fn sort(&self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Flow(_) => "flow",
            Self::Subsystem(_) => "subsystem",
            Self::Section(_) => "section",
        }
    }

    /// Whole designs come first, single sections last.
    pub(super) fn rank(&self) -> u8 {
        match self {
            Self::All => 0,
            Self::Flow(_) => 1,
            Self::Subsystem(_) => 2,
            Self::Section(_) => 3,
        }
    }
}

impl Unit {
    /// As it is written behind a number.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Ticks => "ticks",
            Self::Items => "items",
            Self::Sieves => "sieves",
            Self::Goals => "goals",
            Self::ItemsPerSecond => "items/s",
            Self::BoxesPerSecond => "boxes/s",
            Self::Hoppers => "hoppers",
            Self::Parts => "parts",
            Self::Blocks => "blocks",
            Self::HoppersPerBlock => "hoppers/block",
            Self::WorkPerTick => "units/t",
            Self::Share => "share",
        }
    }
}

impl Figure {
    /// Name and scope: `safe to close`, `cleared of line`, `throughput of over the quay`.
    #[must_use]
    pub fn words(&self) -> String {
        let name = self.name.words();
        match self.scope.name() {
            None => name.to_owned(),
            Some(scope) => format!("{name} of {scope}"),
        }
    }
}
