//! Slots and items as the outside sees them.

use crate::id::{BoxId, KindId};

/// Slots of a hopper.
pub const HOPPER_SLOTS: u16 = 5;
/// Slots of a dropper or dispenser.
pub const DROPPER_SLOTS: u16 = 9;
/// Slots of a box.
pub const BOX_SLOTS: u16 = 27;

/// One item: its kind and, if it is a box, which one.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
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
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
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

/// What a comparator reads of an inventory (tick rules, section 1): 0 if it is empty, else from 1 to 15.
///
/// The weight is in 64ths of a slot, [`StackLimit::weight`](crate::goods::StackLimit::weight) for each
/// item; there is at least one slot.
///
/// # Panics
///
/// If there are no slots, and something in them.
#[must_use]
#[inline]
pub fn fill_level(weight: u32, slots: u16) -> u8 {
    if weight == 0 {
        return 0;
    }
    let sixty_fourths = 14 * weight / 64;
    // A hopper is what is read most, and dividing by a number known beforehand is faster.
    let level = match slots {
        HOPPER_SLOTS => sixty_fourths / u32::from(HOPPER_SLOTS),
        slots => sixty_fourths / u32::from(slots),
    };
    1 + level as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_levels_of_a_hopper_begin_where_the_rules_say() {
        // From the page: 1 from the first item, 2 from 23, 3 from 46, 4 from 69, 15 at 320 of 320.
        let begins = [
            (0, 0),
            (1, 1),
            (22, 1),
            (23, 2),
            (45, 2),
            (46, 3),
            (69, 4),
            (319, 14),
            (320, 15),
        ];
        for (items, level) in begins {
            assert_eq!(fill_level(items, HOPPER_SLOTS), level, "{items}");
        }
        assert_eq!(fill_level(1, 27), 1);
        assert_eq!(fill_level(27 * 64, 27), 15);
    }
}
