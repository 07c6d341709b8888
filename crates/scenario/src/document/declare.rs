//! What a builder declares about a layout, and the goals.

use super::Expression;
use crate::text::{Name, Spanned, choices, document};

document! {
    /// Inventories that together store goods.
    pub(crate) struct StoreDocument {
        parts: Expression,
        takes: Option<Expression>,
        /// Whether it takes what found no place.
        overflow: Option<Expression>,
    }

    /// Items counted as they go by.
    pub(crate) struct FlowDocument {
        into: Expression,
        kinds: Option<Expression>,
    }

    /// A part of the hall that a stop must clear.
    pub(crate) struct SectionDocument {
        line: Option<Expression>,
        queue: Option<Expression>,
        locked: Option<Expression>,
        call: Option<Expression>,
        returns: Option<Expression>,
        width_blocks: Option<Expression>,
    }

    /// A signal worth watching.
    pub(crate) struct LampDocument {
        signal: Expression,
        watches: Option<Expression>,
    }

    /// Where boxes of one kind are asked for.
    pub(crate) struct DeskDocument {
        /// The kind; the name of the entry by default.
        kind: Option<Expression>,
        desk: Expression,
        token: Expression,
        counter: Expression,
    }

    /// Where stacks are put together.
    pub(crate) struct GatherDocument {
        at: Expression,
    }

    /// Places open to the operator.
    pub(crate) struct OpenDocument {
        places: Expression,
        behind: Expression,
        kinds: Option<Expression>,
    }

    /// The time that a request takes.
    pub(crate) struct RequestWithinDocument {
        kind: Expression,
        within: Expression,
        /// Whether the time counts in which the hall was stopped.
        with_stops: Option<Expression>,
    }

    /// Part stacks that leave a gather.
    pub(crate) struct PartStacksDocument {
        gather: Expression,
        stacks: Expression,
    }

    /// A flow's throughput.
    pub(crate) struct ThroughputDocument {
        flow: Expression,
        items_per_second: Expression,
    }

    /// A mark of every stop.
    pub(crate) struct MarkWithinDocument {
        mark: MarkDocument,
        section: Option<Expression>,
        within: Expression,
    }

    /// Lock cover.
    pub(crate) struct LockCoverDocument {
        section: Option<Expression>,
        share: Expression,
    }

    /// What some inventories hold at the end.
    pub(crate) struct ContentsDocument {
        parts: Expression,
        kinds: Option<Expression>,
        at_least: Option<Expression>,
        at_most: Option<Expression>,
    }

    /// The first rise of a lamp.
    pub(crate) struct LampRiseDocument {
        lamp: Expression,
        not_before: Option<Expression>,
        not_after: Option<Expression>,
        at_least_items: Option<Expression>,
        at_most_items: Option<Expression>,
    }

    /// Goals for one variant only.
    pub(crate) struct OnlyForDocument {
        variant: Name,
        goals: Vec<Spanned<GoalDocument>>,
    }
}

choices! {
    /// A bound that every run must meet.
    pub(crate) enum GoalDocument {
        /// Misplaced items.
        MisplacedAtMost(Expression),
        /// Items passed by.
        PassedByAtMost(Expression),
        /// Every sieve intact.
        SievesIntact,
        /// Items lost.
        LostAtMost(Expression),
        /// Items in no store.
        InNoStoreAtMost(Expression),
        /// Items that still go round.
        GoingRoundAtMost(Expression),
        /// Throughput.
        ThroughputAtLeast(ThroughputDocument),
        /// Stop and resume times.
        MarkWithin(MarkWithinDocument),
        /// The time that requests take.
        RequestWithin(RequestWithinDocument),
        /// Part stacks that leave a gather.
        PartStacksOutAtMost(PartStacksDocument),
        /// Items that the operator cannot get out.
        LeftBehindAtMost(Expression),
        /// Lock cover.
        LockCoverAtLeast(LockCoverDocument),
        /// Mean work a tick.
        WorkPerTickAtMost(Expression),
        /// Hoppers for each block of width.
        HoppersPerBlockAtMost(Expression),
        /// Contents at the end.
        Contents(ContentsDocument),
        /// The first rise of a lamp.
        LampRise(LampRiseDocument),
        /// Goals for one variant only.
        OnlyFor(OnlyForDocument),
    }
}

choices! {
    /// The marks of a stop.
    pub(crate) enum MarkDocument {
        /// Lines and lifts hold nothing.
        Cleared,
        /// Safe to close.
        SafeToClose,
        /// Nothing moves.
        Quiet,
        /// All held back is sorted.
        Resumed,
    }
}
