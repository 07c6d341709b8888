//! Parts that give a signal. What they listen to is needed unless they are drawn.

use super::Expression;
use crate::text::{Decode, Node, Payload, Reader, choices, document};

document! {
    /// A lever; off at the start by default.
    pub(crate) struct LeverDocument {
        starts_on: Option<Expression>,
    }

    /// A button.
    pub(crate) struct ButtonDocument {
        hold: Expression,
    }

    /// A wire.
    pub(crate) struct WireDocument {
        inputs: Vec<WireInputDocument>,
    }

    /// A repeater; 2 ticks by default.
    pub(crate) struct RepeaterDocument {
        input: Option<Expression>,
        delay: Option<Expression>,
        lock: Option<Expression>,
    }

    /// A comparator: exactly one of `reads` (an inventory) and `rear` (a signal).
    pub(crate) struct ComparatorDocument {
        reads: Option<Expression>,
        rear: Option<Expression>,
        side: Option<Expression>,
        mode: Option<ModeDocument>,
    }

    /// A signal of one input.
    pub(crate) struct InputDocument {
        input: Option<Expression>,
    }

    /// An observer.
    pub(crate) struct ObserverDocument {
        watches: Option<WatchedDocument>,
    }

    /// A hold.
    pub(crate) struct HoldDocument {
        input: Option<Expression>,
        hold: Expression,
    }

    /// A latch.
    pub(crate) struct LatchDocument {
        set: Option<Expression>,
        reset: Option<Expression>,
    }

    /// A signal of several inputs.
    pub(crate) struct InputsDocument {
        inputs: Option<Expression>,
    }

    /// A clock.
    pub(crate) struct ClockDocument {
        period: Expression,
        high: Expression,
        phase: Option<Expression>,
    }

    /// A delay line.
    pub(crate) struct DelayLineDocument {
        input: Option<Expression>,
        delay: Expression,
    }
}

choices! {
    /// What a comparator does.
    pub(crate) enum ModeDocument {
        /// Rear if it is not below side.
        Compare,
        /// Rear less side.
        Subtract,
    }
}

choices! {
    /// What an observer watches.
    pub(crate) enum WatchedDocument {
        /// A signal's level.
        Signal(Expression),
        /// The lock of a hopper or selector.
        Lock(Expression),
        /// The trigger of a dropper.
        Trigger(Expression),
        /// A selector's matches.
        Matches(Expression),
    }
}

/// An input of a wire: a signal, or a signal with its loss.
#[derive(Debug)]
pub(crate) enum WireInputDocument {
    /// `"name"`.
    Plain(Expression),
    /// `Loss("name", 3)`.
    Loss(Expression, Expression),
}

impl Decode for WireInputDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.choice() {
            Some(("Loss", payload)) => <(Expression, Expression)>::from_payload(payload, reader)
                .map(|(input, loss)| Self::Loss(input, loss)),
            _ => Expression::decode(node, reader).map(Self::Plain),
        }
    }
}
