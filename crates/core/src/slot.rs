//! Slots and items as the outside sees them.

use serde::{Deserialize, Serialize};

use crate::id::{BoxId, KindId};

/// Slots of a hopper.
pub const HOPPER_SLOTS: u16 = 5;
/// Slots of a dropper or dispenser.
pub const DROPPER_SLOTS: u16 = 9;
/// Slots of a box.
pub const BOX_SLOTS: u16 = 27;

/// One item: its kind and, if it is a box, which one.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub struct Item {
    /// What it is.
    pub kind: KindId,
    /// Which box it is; `None` for everything else.
    pub box_id: Option<BoxId>,
}

/// What a slot holds: `count` items alike, at least 1.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Stack {
    /// The item; a box always stands alone in its slot.
    pub item: Item,
    /// How many, from 1 to the kind's stack limit.
    pub count: u8,
}

/// What a slot holds at the start, or in a box that is delivered.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub struct Filling {
    /// The slot, from 0.
    pub slot: u16,
    /// What lies in it.
    pub kind: KindId,
    /// How many, from 1 to the kind's stack limit.
    pub count: u8,
    /// For a box: what it holds. Boxes hold no boxes.
    pub contents: Vec<Filling>,
}
