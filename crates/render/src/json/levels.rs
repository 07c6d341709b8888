//! From how many items on comparators read each level, as JSON.

use serde::Serialize;

use hallwright_analysis::readings::Readings;

use super::{SCHEMA_VERSION, written};

/// Everything.
#[derive(Serialize)]
struct Report {
    schema_version: u32,
    inventories: Vec<Inventory>,
}

#[derive(Serialize)]
struct Inventory {
    slots: u16,
    stack_limit: u8,
    levels: Vec<Level>,
}

/// A level; its numbers are `null` if it is never read.
#[derive(Serialize)]
struct Level {
    level: u8,
    from_items: Option<u32>,
    to_items: Option<u32>,
}

/// The levels of some inventories as indented JSON.
#[must_use]
pub fn levels_json(all: &[Readings]) -> String {
    let inventories = all.iter().map(|one| Inventory {
        slots: one.slots,
        stack_limit: one.limit.items(),
        levels: (1..)
            .zip(one.levels)
            .map(|(level, reading)| Level {
                level,
                from_items: reading.map(|reading| reading.from_items),
                to_items: reading.map(|reading| reading.to_items),
            })
            .collect(),
    });
    written(&Report {
        schema_version: SCHEMA_VERSION,
        inventories: inventories.collect(),
    })
}
