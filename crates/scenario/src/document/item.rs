//! Items, and what parts and boxes hold.

use super::Expression;
use crate::text::{Decode, Node, Payload, Reader, document, one};

/// What an item is.
#[derive(Debug)]
pub(crate) enum ItemDocument {
    /// Goods by their name; a box is empty.
    Kind(Expression),
    /// `Full("barley")`: a box full of these goods.
    Full(Expression),
    /// `Boxed(…)`: a box with contents.
    Boxed(Box<BoxedDocument>),
}

impl Decode for ItemDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.choice() {
            Some(("Full", payload)) => Expression::from_payload(payload, reader).map(Self::Full),
            Some(("Boxed", payload)) => Box::decode(payload, reader).map(Self::Boxed),
            _ => Expression::decode(node, reader).map(Self::Kind),
        }
    }
}

impl Payload for ItemDocument {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        one(node, reader)
    }
}

document! {
    /// A box with contents.
    pub(crate) struct BoxedDocument {
        /// Which box, if there are several kinds.
        r#box: Option<Expression>,
        /// Every slot full of these goods.
        full_of: Option<Expression>,
        /// What it holds.
        holds: Vec<FillingDocument>,
    }

    /// What lies in one slot or several.
    pub(crate) struct SlotsDocument {
        /// The slot, from 0; the next free ones by default.
        slot: Option<Expression>,
        /// What.
        kind: ItemDocument,
        /// How many in all, or in each of `slots`; 1 by default.
        count: Option<Expression>,
        /// In how many slots the same lies.
        slots: Option<Expression>,
    }
}

/// One entry of what a part or box holds.
#[derive(Debug)]
pub(crate) enum FillingDocument {
    /// One item, in the next free slot.
    Item(ItemDocument),
    /// All that can be said.
    Slots(Box<SlotsDocument>),
}

impl Decode for FillingDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        if node.text.starts_with('(') {
            SlotsDocument::decode(node, reader).map(|slots| Self::Slots(Box::new(slots)))
        } else {
            ItemDocument::decode(node, reader).map(Self::Item)
        }
    }
}
