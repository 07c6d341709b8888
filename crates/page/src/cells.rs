//! The state of a run as numbered cells, each with a number in it: what the page reads.
//!
//! Every part has its cells in a row, in the order of declaration ([`cells_of`]). After them come the
//! 27 slots of every box, in the order of the boxes' numbers. What a number means depends on the cell:
//!
//! - a **slot**: 0 empty; odd, goods: `2 * (kind * 64 + count - 1) + 1`; even, a box: `2 * (box + 1)`;
//! - a bench's **standing** box: as a slot;
//! - a **lock**: 1 on, 0 off; a **level**: 0 to 15;
//! - **ready**: the first tick in which a hopper may act again, less one; 0 if it never waited;
//! - a place's **docked** shuttle: its part's number and 1 more; 0 for none;
//! - a **wait**: its place among those of the part ([`super::waits`]);
//! - a **list** (a selector's queue, loose stacks, where a shuttle is): its number in the table of
//!   lists, where 0 is the empty one.

#![deny(clippy::wildcard_enum_match_arm)]

use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::{BOX_SLOTS, DROPPER_SLOTS, HOPPER_SLOTS, Item, Stack};

/// How many cells a part has.
pub(super) fn cells_of(part: &Part) -> u32 {
    // The last is its wait.
    1 + match part {
        Part::Container(container) => container.slots.into(),
        // Slots, lock, ready.
        Part::Hopper(_) => u32::from(HOPPER_SLOTS) + 2,
        Part::Dropper(_) => DROPPER_SLOTS.into(),
        Part::Mouth | Part::Stream(_) | Part::Bench(_) | Part::Dock | Part::Signal(_) => 1,
        // Queue, lock.
        Part::Selector(_) => 2,
        // Slots, where it is.
        Part::Shuttle(shuttle) => u32::from(shuttle.slots) + 1,
    }
}

/// The first cell of every part, and how many cells all parts have together.
pub(super) struct CellMap {
    first: Vec<u32>,
    part_cells: u32,
}

impl CellMap {
    /// The cells of a network's parts.
    pub(super) fn new(network: &Network) -> Self {
        let mut part_cells = 0;
        let first = network.parts().map(|(_, part)| {
            let first = part_cells;
            part_cells += cells_of(part);
            first
        });
        Self {
            first: first.collect(),
            part_cells,
        }
    }

    /// The first cell of a part.
    pub(super) fn first(&self, part: PartId) -> u32 {
        self.first[part.index()]
    }

    /// The cell that says what a part waits for.
    pub(super) fn wait(&self, part: PartId) -> u32 {
        let next = self.first.get(part.index() + 1);
        next.copied().unwrap_or(self.part_cells) - 1
    }

    /// The first slot of a box.
    pub(super) fn first_of_box(&self, box_index: usize) -> u32 {
        let slots = u32::from(BOX_SLOTS);
        self.part_cells + u32::try_from(box_index).unwrap_or(u32::MAX / slots) * slots
    }

    /// The cells of all parts.
    pub(super) fn part_cells(&self) -> u32 {
        self.part_cells
    }
}

/// What a slot's cell holds for this item and count.
pub(super) fn item_value(item: Item, count: u32) -> u32 {
    let number = |index: usize| u32::try_from(index).unwrap_or(u32::MAX);
    match item.box_id {
        Some(id) => 2 * (number(id.index()) + 1),
        None => 2 * (number(item.kind.index()) * 64 + count.max(1) - 1) + 1,
    }
}

/// What a slot's cell holds.
pub(super) fn slot_value(stack: Option<Stack>) -> u32 {
    stack.map_or(0, |stack| item_value(stack.item, stack.count.into()))
}

/// Where a shuttle is, as a list: the stop, 1 if it is docked there, and the tick since when or in
/// which it can dock.
pub(super) fn shuttle_list(view: &View<'_>, shuttle: PartId) -> Vec<u64> {
    match view.shuttle_position(shuttle) {
        ShuttlePosition::Docked { stop, since } => vec![stop.into(), 1, since.0],
        ShuttlePosition::UnderWay { to, arrives_at } => vec![to.into(), 0, arrives_at.0],
    }
}

/// What waits inside a selector, as a list of slot values.
pub(super) fn queue_list(view: &View<'_>, selector: PartId) -> Vec<u64> {
    let queue = view.queue(selector);
    queue
        .map(|queued| item_value(queued.item, 1).into())
        .collect()
}

/// What stands where an event has no second part.
pub(super) const NO_PART: u32 = u32::MAX;

/// The number of a part.
pub(super) fn number(part: PartId) -> u32 {
    u32::try_from(part.index()).unwrap_or(NO_PART)
}

#[cfg(test)]
mod tests {
    use hallwright_core::id::{BoxId, KindId};

    use super::*;

    #[test]
    fn goods_are_odd_and_boxes_even() {
        let barley = Item {
            kind: KindId::from_index(2),
            box_id: None,
        };
        // 2 * (2 * 64 + 5 - 1) + 1 = 265.
        assert_eq!(item_value(barley, 5), 265);
        let boxed = Item {
            box_id: Some(BoxId::from_index(3)),
            ..barley
        };
        assert_eq!(item_value(boxed, 1), 8);
        assert_eq!(slot_value(None), 0);
    }
}
