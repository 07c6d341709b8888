//! Inventories: which slots stand for which part (tick rules, section 1).

use super::slots::{PackedItem, Slot, all_empty};
use crate::goods::StackLimit;
use crate::id::{BoxId, KindId, PartId};
use crate::network::Network;
use crate::slot::{BOX_SLOTS, Filling, Item};

/// The slots that stand for a part at the moment; none where nothing stands.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct Inventory {
    first_slot: u32,
    /// How many slots; 0 for a part without an inventory and for an unoccupied bench or place.
    pub(super) slots: u16,
    /// Whether these are the slots of a box, which refuses boxes.
    is_box: bool,
}

impl Inventory {
    pub(super) fn exists(self) -> bool {
        self.slots > 0
    }

    fn range(self) -> std::ops::Range<usize> {
        self.first_slot as usize..self.first_slot as usize + usize::from(self.slots)
    }
}

/// Every slot of the network, of boxes too, and which of them stand for which part.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(super) struct Inventories {
    slots: Vec<Slot>,
    by_part: Vec<Inventory>,
    /// Where the slots of the boxes begin; box `n` has the `n`th run of 27.
    first_box_slot: u32,
    /// The stack limit of each kind.
    limits: Vec<StackLimit>,
}

impl Inventories {
    /// The inventories of a network with what they hold at the start.
    pub(super) fn new(network: &Network) -> Self {
        let mut by_part = Vec::with_capacity(network.part_count());
        let mut next_slot = 0_u32;
        for part in network.part_ids() {
            let slots = network.own_slots(part).unwrap_or(0);
            by_part.push(Inventory {
                first_slot: next_slot,
                slots,
                is_box: false,
            });
            next_slot += u32::from(slots);
        }
        let mut inventories = Self {
            slots: vec![Slot::default(); next_slot as usize],
            by_part,
            first_box_slot: next_slot,
            limits: network
                .kinds()
                .iter()
                .map(|kind| kind.stack_limit)
                .collect(),
        };
        for (part, filling) in network.fillings() {
            let is_box = network.kind(filling.kind).is_box;
            let box_id = is_box.then(|| inventories.add_box(&filling.contents));
            let item = inventories.pack(Item {
                kind: filling.kind,
                box_id,
            });
            let slot = inventories.of(*part).range().start + usize::from(filling.slot);
            inventories.slots[slot] = Slot::new(item, filling.count);
        }
        inventories
    }

    /// The number that the next box will get.
    pub(super) fn next_box_id(&self) -> BoxId {
        let slots = self.slots.len() - self.first_box_slot as usize;
        BoxId::from_index(slots / usize::from(BOX_SLOTS))
    }

    /// Makes a box with these contents.
    pub(super) fn add_box(&mut self, contents: &[Filling]) -> BoxId {
        let first = self.slots.len();
        let id = self.next_box_id();
        self.slots
            .resize(first + usize::from(BOX_SLOTS), Slot::default());
        for inner in contents {
            let item = self.pack(Item {
                kind: inner.kind,
                box_id: None,
            });
            self.slots[first + usize::from(inner.slot)] = Slot::new(item, inner.count);
        }
        id
    }

    /// What stands for a part now.
    pub(super) fn of(&self, part: PartId) -> Inventory {
        self.by_part[part.index()]
    }

    /// The slots of a box.
    pub(super) fn of_box(&self, id: BoxId) -> Inventory {
        let first_slot = self.first_box_slot + id.index() as u32 * u32::from(BOX_SLOTS);
        Inventory {
            first_slot,
            slots: BOX_SLOTS,
            is_box: true,
        }
    }

    /// Lets other slots, or none, stand for a bench or a shuttle's place.
    pub(super) fn occupy(&mut self, part: PartId, by: Option<Inventory>) {
        self.by_part[part.index()] = by.unwrap_or_default();
    }

    pub(super) fn slots(&self, inventory: Inventory) -> &[Slot] {
        &self.slots[inventory.range()]
    }

    pub(super) fn limit(&self, kind: KindId) -> u8 {
        self.limits[kind.index()].items()
    }

    pub(super) fn pack(&self, item: Item) -> PackedItem {
        PackedItem::new(item, self.limits[item.kind.index()])
    }

    pub(super) fn is_empty(&self, inventory: Inventory) -> bool {
        all_empty(self.slots(inventory))
    }

    /// Whether every slot holds its kind's limit. An inventory that does not exist is full.
    pub(super) fn is_full(&self, inventory: Inventory) -> bool {
        self.slots(inventory).iter().all(|slot| slot.is_at_limit())
    }

    /// The first slot, by its place in the inventory, that one item would go into; `None` if it does
    /// not go in.
    pub(super) fn place_for(&self, inventory: Inventory, item: PackedItem) -> Option<usize> {
        if inventory.is_box && item.is_box() {
            return None;
        }
        self.slots(inventory)
            .iter()
            .position(|slot| slot.accepts(item))
    }

    /// Puts one item into a slot that accepts it, by its place in the inventory.
    pub(super) fn put_at(&mut self, inventory: Inventory, place: usize, item: PackedItem) {
        self.slots[inventory.range()][place].add(item, 1);
    }

    /// Puts up to `count` items of a kind in, one after the other; says how many went in.
    pub(super) fn insert(&mut self, inventory: Inventory, item: PackedItem, count: u32) -> u32 {
        let mut left = count;
        while left > 0 {
            let Some(place) = self.place_for(inventory, item) else {
                break;
            };
            let slot = &mut self.slots[inventory.range()][place];
            let added = u32::from(item.limit() - slot.count()).min(left);
            slot.add(item, added as u8);
            left -= added;
        }
        count - left
    }

    /// Takes items out of the slot with this place in the inventory, which must hold so many.
    pub(super) fn take(&mut self, inventory: Inventory, place: usize, count: u8) {
        self.slots[inventory.range()][place].take(count);
    }

    /// What a comparator reads: 0 for empty, else 1 + floor(14 × weight / (64 n)), with the weight
    /// in 64ths of a slot.
    pub(super) fn fill_level(&self, inventory: Inventory) -> u8 {
        let weight: u32 = self.slots(inventory).iter().map(|slot| slot.weight()).sum();
        if weight == 0 {
            return 0;
        }
        let level = 1 + 14 * weight / (64 * u32::from(inventory.slots));
        level as u8
    }

    /// Tells `each` every kind and count in an item: its own, and what it holds if it is a box.
    pub(super) fn for_each_inside(
        &self,
        item: Item,
        count: u8,
        each: &mut impl FnMut(KindId, u64),
    ) {
        each(item.kind, count.into());
        if let Some(id) = item.box_id {
            for slot in self
                .slots(self.of_box(id))
                .iter()
                .filter(|slot| !slot.is_empty())
            {
                each(slot.item().kind, slot.count().into());
            }
        }
    }
}
