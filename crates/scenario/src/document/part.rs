//! Parts that hold or carry items.

use super::signal::*;
use super::{Expression, FillingDocument};
use crate::text::{choices, document, kinds_of};

kinds_of! {
    /// One part.
    pub(crate) enum PartDocument {
        /// An inventory of any size.
        Container(ContainerDocument),
        /// An inventory of 27 slots.
        Chest(ChestDocument),
        /// An inventory of 27 slots.
        Barrel(ChestDocument),
        /// An inventory of 54 slots.
        DoubleChest(ChestDocument),
        /// A hopper.
        Hopper(HopperDocument),
        /// A dropper.
        Dropper(DropperDocument),
        /// A dispenser: sets boxes on a bench.
        Dispenser(DispenserDocument),
        /// A place where loose items rest.
        Mouth(MouthDocument),
        /// Flowing water.
        Stream(StreamDocument),
        /// A place where a box stands.
        Bench(BenchDocument),
        /// A sorting device.
        Selector(Box<SelectorDocument>),
        /// Where shuttles stand.
        Dock(NothingDocument),
        /// An inventory that travels.
        Shuttle(ShuttleDocument),
        /// Moved by the operator.
        Lever(LeverDocument),
        /// Pressed by the operator.
        Button(ButtonDocument),
        /// The highest of its inputs.
        Wire(WireDocument),
        /// Delays.
        Repeater(RepeaterDocument),
        /// Reads a fill level or compares.
        Comparator(ComparatorDocument),
        /// On while its input is off.
        Inverter(InputDocument),
        /// A pulse on every change.
        Observer(ObserverDocument),
        /// Stays on for a while.
        Hold(HoldDocument),
        /// On from set to reset.
        Latch(LatchDocument),
        /// Flips on each rising edge.
        Toggle(InputDocument),
        /// On when every input is on.
        AllOf(InputsDocument),
        /// On when no input is on.
        NoneOf(InputsDocument),
        /// On for a while in each period.
        Clock(ClockDocument),
        /// Its input, later.
        DelayLine(DelayLineDocument),
    }
}

document! {
    /// A part of which there is nothing more to say.
    pub(crate) struct NothingDocument {}

    /// A mouth; of one block unless it says otherwise.
    pub(crate) struct MouthDocument {
        blocks: Option<Expression>,
    }

    /// An inventory of any size.
    pub(crate) struct ContainerDocument {
        slots: Expression,
        holds: Vec<FillingDocument>,
    }

    /// An inventory whose size goes without saying.
    pub(crate) struct ChestDocument {
        holds: Vec<FillingDocument>,
    }

    /// A hopper: with neither `above` nor `mouth` it is capped.
    pub(crate) struct HopperDocument {
        target: Option<Expression>,
        above: Option<Expression>,
        mouth: Option<Expression>,
        lock: Option<Expression>,
        holds: Vec<FillingDocument>,
    }

    /// A dropper: exactly one of `target` and `out`, unless a chain gives it a target.
    pub(crate) struct DropperDocument {
        trigger: Option<Expression>,
        target: Option<Expression>,
        /// A mouth or stream.
        out: Option<Expression>,
        holds: Vec<FillingDocument>,
    }

    /// A dispenser.
    pub(crate) struct DispenserDocument {
        trigger: Option<Expression>,
        /// Needed unless it is drawn, like every connection below.
        bench: Option<Expression>,
        holds: Vec<FillingDocument>,
    }

    /// Flowing water: exactly one of `blocks` and `transit`, unless its path says how long it is.
    pub(crate) struct StreamDocument {
        blocks: Option<Expression>,
        transit: Option<Expression>,
        mouth: Option<Expression>,
    }

    /// A bench.
    pub(crate) struct BenchDocument {
        lift: LiftDocument,
        after: Option<Expression>,
        out: Option<Expression>,
    }

    /// A selector.
    pub(crate) struct SelectorDocument {
        takes: PredicateDocument,
        r#match: Option<Expression>,
        /// May be left out if a chain gives it.
        rest: Option<Expression>,
        when_full: Option<Expression>,
        lock: Option<Expression>,
        latency: Option<Expression>,
        interval: Option<Expression>,
        holds: Option<Expression>,
    }

    /// A shuttle; 27 slots by default.
    pub(crate) struct ShuttleDocument {
        slots: Option<Expression>,
        stops: Vec<RoundDocument>,
        holds: Vec<FillingDocument>,
    }

    /// One stop of a shuttle's round.
    pub(crate) struct RoundDocument {
        dock: Expression,
        travel: Expression,
        dwell: Option<Expression>,
        release: Option<Expression>,
    }
}

choices! {
    /// When a bench's box is lifted.
    pub(crate) enum LiftDocument {
        /// When it holds nothing.
        Empty,
        /// When every slot is at its limit.
        Full,
        /// While this signal is on.
        Signal(Expression),
    }
}

choices! {
    /// What a selector takes.
    pub(crate) enum PredicateDocument {
        /// Goods in the list.
        Kinds(Expression),
        /// Boxes of nothing but goods in the list.
        BoxOf(Expression),
        /// Boxes full in every slot.
        BoxFull,
        /// Empty boxes.
        BoxEmpty,
        /// Any box.
        Box,
        /// Anything of stack limit 1.
        Single,
        /// What every one of these takes.
        All(Vec<PredicateDocument>),
        /// What at least one of these takes.
        Any(Vec<PredicateDocument>),
        /// What this one does not take.
        Not(Box<PredicateDocument>),
    }
}
