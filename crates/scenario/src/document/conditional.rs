//! What is there only when a condition holds.

use super::{Expression, PositionDocument};
use crate::text::{Decode, FromFields, Node, Reader, decode_fields};

/// Something that is there only when a condition holds.
#[derive(Debug)]
pub(crate) struct Conditional<T> {
    /// The condition; none means always.
    pub(crate) when: Option<Expression>,
    /// The thing.
    pub(crate) value: T,
}

/// Something that is there only when a condition holds, perhaps at a place of the hall.
#[derive(Debug)]
pub(crate) struct Placed<T> {
    /// The condition; none means always.
    pub(crate) when: Option<Expression>,
    /// Where it stands, or by how much all of it is shifted.
    pub(crate) position: Option<PositionDocument>,
    /// The thing.
    pub(crate) value: T,
}

impl<T: FromFields> Decode for Placed<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let (value, (when, position)) = decode_fields(node, reader, |fields, reader| {
            let when = fields.take("when", reader);
            let position = fields.take("position", reader);
            Some((when?, position?))
        })?;
        Some(Self {
            when,
            position,
            value,
        })
    }
}

impl<T: FromFields> Decode for Conditional<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let (value, when) =
            decode_fields(node, reader, |fields, reader| fields.take("when", reader))?;
        Some(Self { when, value })
    }
}
