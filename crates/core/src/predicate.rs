//! What a selector takes.

use crate::id::KindId;

/// A condition on one item (tick rules, section 6).
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Predicate {
    /// The item's own kind is in the list.
    Kinds(Vec<KindId>),
    /// A box that holds nothing but kinds in the list, and is not empty.
    BoxOf(Vec<KindId>),
    /// A box of which every slot is at its limit.
    BoxFull,
    /// A box that holds nothing.
    BoxEmpty,
    /// Any box.
    Box,
    /// An item of stack limit 1; boxes are such items too.
    Single,
    /// Every one of these holds; of none, true.
    All(Vec<Predicate>),
    /// At least one of these holds; of none, false.
    Any(Vec<Predicate>),
    /// This one does not hold.
    Not(Box<Predicate>),
}
