//! What comes from outside: arrivals, operator actions, stops.

use super::{Expression, ItemDocument};
use crate::text::{Name, choices, document, kinds_of};

kinds_of! {
    /// What arrives.
    pub(crate) enum ArrivalDocument {
        /// All at once.
        AllAtOnce(AllAtOnceDocument),
        /// At a steady rate.
        Steady(SteadyDocument),
        /// In each tick with a probability.
        ByChance(ByChanceDocument),
        /// One by one.
        Listed(ListedArrivalsDocument),
        /// As a CSV file says.
        FromFile(FromFileDocument),
    }
}

document! {
    /// Everything at one tick.
    pub(crate) struct AllAtOnceDocument {
        place: Expression,
        kind: ItemDocument,
        count: Option<Expression>,
        /// The start of the run by default.
        at: Option<Expression>,
    }

    /// Exactly one of `every` and `per_second`.
    pub(crate) struct SteadyDocument {
        place: Expression,
        kind: ItemDocument,
        /// How many each time; 1 by default.
        count: Option<Expression>,
        every: Option<Expression>,
        per_second: Option<Expression>,
        from: Option<Expression>,
        until: Option<Expression>,
    }

    /// Drawn anew for each tick.
    pub(crate) struct ByChanceDocument {
        place: Expression,
        kind: ItemDocument,
        count: Option<Expression>,
        per_tick: Expression,
        from: Option<Expression>,
        until: Option<Expression>,
    }

    /// Arrivals one by one.
    pub(crate) struct ListedArrivalsDocument {
        entries: Vec<ListedArrivalDocument>,
    }

    /// One arrival.
    pub(crate) struct ListedArrivalDocument {
        at: Expression,
        place: Expression,
        kind: ItemDocument,
        count: Option<Expression>,
    }

    /// A CSV file. Of arrivals, it has the columns `tick` or `time`, `place`, `kind` and, perhaps,
    /// `count` and `full_of`.
    pub(crate) struct FromFileDocument {
        path: Name,
    }

    /// What the operator does at one moment.
    pub(crate) struct MomentDocument {
        when: Option<Expression>,
        at: Expression,
        actions: Vec<ActionDocument>,
    }

    /// A stop.
    pub(crate) struct StopDocument {
        when: Option<Expression>,
        at: Expression,
        actions: Vec<ActionDocument>,
        restart: Option<RestartDocument>,
    }

    /// A restart.
    pub(crate) struct RestartDocument {
        after: Expression,
        actions: Vec<ActionDocument>,
    }

    /// A delivery.
    pub(crate) struct DeliverDocument {
        place: Expression,
        kind: ItemDocument,
        count: Option<Expression>,
    }

    /// A request for boxes.
    pub(crate) struct RequestDocument {
        kind: Expression,
        /// 1 by default.
        boxes: Option<Expression>,
    }

    /// A withdrawal.
    pub(crate) struct WithdrawDocument {
        place: Expression,
        count: Expression,
    }
}

choices! {
    /// One thing that the operator does.
    pub(crate) enum ActionDocument {
        /// Moves a lever to on.
        On(Expression),
        /// Moves a lever to off.
        Off(Expression),
        /// Presses a button.
        Press(Expression),
        /// Delivers.
        Deliver(DeliverDocument),
        /// Asks for boxes at the desk of their kind.
        Request(RequestDocument),
        /// Withdraws.
        Withdraw(WithdrawDocument),
    }
}
