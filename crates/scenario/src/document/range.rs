//! What parameters may be in a search.

use super::Expression;
use crate::text::{choices, document};

choices! {
    /// The values that a search tries.
    pub(crate) enum RangeDocument {
        /// These.
        OneOf(Vec<Expression>),
        /// Whole numbers at equal steps.
        Span(SpanDocument),
    }
}

document! {
    /// Whole numbers from one to another, both included if the steps meet it.
    pub(crate) struct SpanDocument {
        from: Expression,
        to: Expression,
        /// 1 by default.
        step: Option<Expression>,
    }
}
