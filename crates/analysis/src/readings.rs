//! From how many items on a comparator reads each level. Builders of item filters count by it.

use hallwright_core::fill::{FULL, fill_level};
use hallwright_core::goods::StackLimit;

/// The levels of one inventory filled with goods of one stack limit.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Readings {
    /// How many slots it has.
    pub slots: u16,
    /// What all goods in it stack to.
    pub limit: StackLimit,
    /// For each level from 1 to 15 the numbers of items with which it is read; `None` for a level that
    /// is never read, since one item more passes it over.
    pub levels: [Option<Reading>; FULL as usize],
}

/// From how many items on, and up to how many, one level is read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reading {
    /// The fewest.
    pub from_items: u32,
    /// The most.
    pub to_items: u32,
}

/// The levels of an inventory of so many slots, at least 1, with goods of this stack limit. It does
/// not matter how the items lie in the slots.
#[must_use]
pub fn readings(slots: u16, limit: StackLimit) -> Readings {
    let mut levels = [None; FULL as usize];
    let room_items = u32::from(slots) * u32::from(limit.items());
    for items in 1..=room_items {
        let level = fill_level(items * limit.weight(), slots);
        let reading: &mut Option<Reading> = &mut levels[usize::from(level) - 1];
        let from_items = reading.map_or(items, |reading| reading.from_items);
        *reading = Some(Reading {
            from_items,
            to_items: items,
        });
    }
    Readings {
        slots,
        limit,
        levels,
    }
}
