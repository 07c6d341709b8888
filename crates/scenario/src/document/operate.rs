//! What comes from outside: arrivals, operator actions, mishaps, stops.

use super::{Expression, ItemDocument};
use crate::text::{Entries, Name, choices, document, kinds_of};

kinds_of! {
    /// What arrives.
    pub(crate) enum ArrivalDocument {
        /// All at once.
        AllAtOnce(AllAtOnceDocument),
        /// At a steady rate.
        Steady(SteadyDocument),
        /// In each tick with a probability.
        ByChance(ByChanceDocument),
        /// Goods of several kinds, by weight.
        Mixed(MixedDocument),
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
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
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
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
    }

    /// Drawn anew for each tick.
    pub(crate) struct ByChanceDocument {
        place: Expression,
        kind: ItemDocument,
        count: Option<Expression>,
        per_tick: Expression,
        from: Option<Expression>,
        until: Option<Expression>,
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
    }

    /// Goods of several kinds, one after the other. Exactly one of `every` and `per_second`.
    pub(crate) struct MixedDocument {
        place: Expression,
        /// The weight of each kind.
        kinds: Entries<Expression>,
        /// How many each time; 1 by default.
        count: Option<Expression>,
        /// How the kinds follow one another; `Turns` by default.
        by: Option<MixedByDocument>,
        every: Option<Expression>,
        per_second: Option<Expression>,
        from: Option<Expression>,
        until: Option<Expression>,
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
    }

    /// Arrivals one by one.
    pub(crate) struct ListedArrivalsDocument {
        entries: Vec<ListedArrivalDocument>,
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
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
        /// What becomes of what does not fit; `Refuse` by default.
        when_full: Option<WhenFullDocument>,
        /// A signal: while it is off, nothing comes in.
        while_on: Option<Expression>,
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

    /// How the world is left.
    pub(crate) struct LeaveDocument {
        /// From one region to the next; 2 s by default.
        apart: Option<Expression>,
        /// How late a region may be; 10 s by default.
        late: Option<Expression>,
        /// From when all are there until the hall is switched on; 2 s by default.
        pause: Option<Expression>,
        /// The lamp that says that it may be left; the only one by default.
        lamp: Option<Expression>,
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

document! {
    /// An inventory is filled by hand.
    pub(crate) struct FillDocument {
        place: Expression,
        kind: ItemDocument,
    }

    /// A box is taken away.
    pub(crate) struct TakeBoxDocument {
        place: Expression,
    }

    /// Signals are stuck.
    pub(crate) struct StuckDocument {
        signals: Expression,
        on: Expression,
        time: Expression,
    }

    /// Every signal is stuck off.
    pub(crate) struct PowerOffDocument {
        /// Only of these regions, modules and parts; of all by default.
        parts: Option<Expression>,
        time: Expression,
    }

    /// Parts sleep.
    pub(crate) struct SleepDocument {
        parts: Expression,
        time: Expression,
    }

    /// The world is opened again.
    pub(crate) struct ReopenDocument {
        /// The update order; the order of declaration by default.
        order: Option<OrderDocument>,
        /// The default one by default.
        signal_order: Option<OrderDocument>,
    }
}

choices! {
    /// An order of parts.
    pub(crate) enum OrderDocument {
        /// The default.
        Declared,
        /// The reverse of it.
        Reversed,
        /// Drawn from a seed.
        Shuffled(Expression),
        /// This one.
        Listed(Expression),
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
        /// Fills an inventory by hand.
        Fill(FillDocument),
        /// Takes a box away.
        TakeBox(TakeBoxDocument),
        /// Lets signals be stuck.
        Stuck(StuckDocument),
        /// Lets all signals be off.
        PowerOff(PowerOffDocument),
        /// Lets parts sleep.
        Sleep(SleepDocument),
        /// Opens the world again.
        Reopen(ReopenDocument),
    }
}

choices! {
    /// What becomes of a delivery that does not fit.
    pub(crate) enum WhenFullDocument {
        /// It is refused.
        Refuse,
        /// It waits at the landing.
        Wait,
    }
}

choices! {
    /// How the kinds of a mixed delivery follow one another.
    pub(crate) enum MixedByDocument {
        /// In turns, so that the proportions are kept all the time.
        Turns,
        /// Each is drawn.
        Chance,
    }
}
