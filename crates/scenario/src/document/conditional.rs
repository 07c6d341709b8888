//! What is there only when a condition holds.

use super::{AxesDocument, Expression, PlacingDocument, PositionDocument};
use crate::text::{Decode, FromFields, Node, Reader, decode_fields};

/// Something that is there only when a condition holds.
#[derive(Debug)]
pub(crate) struct Conditional<T> {
    /// The condition; none means always.
    pub(crate) when: Option<Expression>,
    /// The thing.
    pub(crate) value: T,
}

/// A part that is there only when a condition holds, perhaps at a place of the hall.
#[derive(Debug)]
pub(crate) struct Placed<T> {
    /// The condition; none means always.
    pub(crate) when: Option<Expression>,
    /// Where it stands, and how it is turned; none if nothing is said of that, as of most parts.
    pub(crate) placing: Option<Box<PlacingDocument>>,
    /// The thing.
    pub(crate) value: T,
}

impl<T> Placed<T> {
    /// Where it stands, and how it is turned.
    pub(crate) fn placing(&self) -> &PlacingDocument {
        self.placing.as_deref().unwrap_or(PlacingDocument::NOTHING)
    }
}

impl<T: FromFields> Decode for Placed<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let (value, (when, placing)) = decode_fields(node, reader, |fields, reader| {
            let when = fields.take("when", reader);
            let placing = PlacingDocument::take(fields, reader);
            Some((when?, placing?))
        })?;
        Some(Self {
            when,
            placing,
            value,
        })
    }
}

/// A use of a module that is there only when a condition holds, perhaps set down somewhere in the hall.
#[derive(Debug)]
pub(crate) struct SetDown<T> {
    /// The condition; none means always.
    pub(crate) when: Option<Expression>,
    /// By how much all of it is shifted.
    pub(crate) position: Option<PositionDocument>,
    /// How it is turned.
    pub(crate) axes: Option<AxesDocument>,
    /// The thing.
    pub(crate) value: T,
}

impl<T: FromFields> Decode for SetDown<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let (value, (when, position, axes)) = decode_fields(node, reader, |fields, reader| {
            let when = fields.take("when", reader);
            let position = fields.take("position", reader);
            let axes = fields.take("axes", reader);
            Some((when?, position?, axes?))
        })?;
        Some(Self {
            when,
            position,
            axes,
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
