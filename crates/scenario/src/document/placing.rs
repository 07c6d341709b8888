//! Where parts stand and how they are turned, as builders write it.

use super::{Expression, PositionDocument};
use crate::text::{Decode, Entries, Fields, Node, Reader, document};

/// Where a part stands, and how it is turned.
#[derive(Debug)]
pub(crate) struct PlacingDocument {
    /// Its block.
    pub(crate) position: Option<PositionDocument>,
    /// Where its front, eye, outlet or output points.
    pub(crate) faces: Option<Expression>,
    /// Where the other half of a double chest is.
    pub(crate) along: Option<Expression>,
    /// The side on which it is fastened.
    pub(crate) on: Option<Expression>,
    /// The blocks of a stream or wire, or of a mouth of several; straight runs by their ends.
    pub(crate) path: Vec<PositionDocument>,
    /// The blocks of a stream, besides the first, in which it has a source of its own.
    pub(crate) sources: Vec<PositionDocument>,
    /// Whether a single chest is turned so that it joins none beside it.
    pub(crate) apart: Option<Expression>,
    /// Whether a wire's blocks are among those that are drawn.
    pub(crate) drawn: Option<Expression>,
    /// How many blocks a box fills.
    pub(crate) size: Option<PositionDocument>,
    /// Through which of its sides something goes in or out.
    pub(crate) sides: Entries<GateDocument>,
}

/// Its fields.
const FIELDS: [&str; 10] = [
    "position", "faces", "along", "on", "path", "sources", "apart", "drawn", "size", "sides",
];

impl PlacingDocument {
    /// That of a part of which nothing is said.
    pub(crate) const NOTHING: &'static Self = &Self {
        position: None,
        faces: None,
        along: None,
        on: None,
        path: Vec::new(),
        sources: Vec::new(),
        apart: None,
        drawn: None,
        size: None,
        sides: Entries {
            list: Vec::new(),
            is_whole: true,
        },
    };

    /// Takes its fields from those of a part; none if none is there. `None` if one of them cannot be read,
    /// which is reported.
    pub(crate) fn take(
        fields: &mut Fields<'_>,
        reader: &mut Reader<'_>,
    ) -> Option<Option<Box<Self>>> {
        if fields.lacks_all(&FIELDS) {
            return Some(None);
        }
        let position = fields.take("position", reader);
        let faces = fields.take("faces", reader);
        let along = fields.take("along", reader);
        let on = fields.take("on", reader);
        let path = fields.take("path", reader);
        let sources = fields.take("sources", reader);
        let apart = fields.take("apart", reader);
        let drawn = fields.take("drawn", reader);
        let size = fields.take("size", reader);
        let sides = fields.take_entries("sides", reader);
        Some(Some(Box::new(Self {
            position: position?,
            faces: faces?,
            along: along?,
            on: on?,
            path: path?,
            sources: sources?,
            apart: apart?,
            drawn: drawn?,
            size: size?,
            sides,
        })))
    }
}

/// A side of a box: of its one block, or of one among several.
#[derive(Debug)]
pub(crate) enum GateDocument {
    /// Of the only block, or of the corner.
    Side(Expression),
    /// Of this one.
    At(GateAtDocument),
}

impl Decode for GateDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.text.starts_with('(') {
            true => GateAtDocument::decode(node, reader).map(Self::At),
            false => Expression::decode(node, reader).map(Self::Side),
        }
    }
}

document! {
    /// A side of one block of a box.
    pub(crate) struct GateAtDocument {
        /// The block, counted from the corner of the box.
        at: PositionDocument,
        side: Expression,
    }

    /// A box of blocks in which signal parts stand somewhere.
    pub(crate) struct RoomDocument {
        /// The corner with the smallest coordinates.
        position: PositionDocument,
        size: PositionDocument,
        /// The parts, or modules with parts.
        parts: Expression,
    }

    /// Where a module's own `x` and `z` point.
    pub(crate) struct AxesDocument {
        x: Option<Expression>,
        z: Option<Expression>,
    }
}
