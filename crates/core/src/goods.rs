//! Goods: the kinds of things that a network stores.

use serde::{Deserialize, Serialize};

/// How many of a kind share a slot (tick rules, section 1): 64, 16 or 1.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[repr(u8)]
pub enum StackLimit {
    /// Unstackable goods and boxes.
    One = 1,
    /// Goods that stack to sixteen.
    Sixteen = 16,
    /// Ordinary goods.
    SixtyFour = 64,
}

impl StackLimit {
    /// The limit as a number of items.
    #[must_use]
    pub const fn items(self) -> u8 {
        self as u8
    }

    /// What one item weighs when a comparator reads a slot, in 64ths of a slot.
    #[must_use]
    pub const fn weight(self) -> u32 {
        64 / self as u32
    }

    /// The limit of this many items, if the rules know it.
    #[must_use]
    pub const fn from_items(items: u32) -> Option<Self> {
        match items {
            1 => Some(Self::One),
            16 => Some(Self::Sixteen),
            64 => Some(Self::SixtyFour),
            _ => None,
        }
    }
}

/// One kind of goods.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Kind {
    /// Its name, unique in the network.
    pub name: String,
    /// How many share a slot.
    pub stack_limit: StackLimit,
    /// Whether it is a box: an item with an inventory of 27 slots of its own, of stack limit 1.
    pub is_box: bool,
}
