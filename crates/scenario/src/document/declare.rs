//! What a builder declares about a layout.

use super::Expression;
use crate::text::document;

document! {
    /// Inventories that together store goods.
    pub(crate) struct StoreDocument {
        parts: Expression,
        takes: Option<Expression>,
        /// Whether it takes what found no place.
        overflow: Option<Expression>,
        /// Whether it only serves, so that it is nobody's home.
        serves: Option<Expression>,
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
        parts: Expression,
        behind: Expression,
        kinds: Option<Expression>,
    }
}
