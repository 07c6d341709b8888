//! Inventories: which slots stand for which part (tick rules, section 1).

use serde::{Deserialize, Serialize};

use super::slots::{PackedItem, Slot, Unpacked, all_empty, is_full, move_first, weight};
use super::takers::{Taker, takers};
use crate::engine::tables::parts::{PartSort, Parts};
use crate::engine::tables::seats::Seated;
use crate::fill::fill_level;
use crate::goods::StackLimit;
use crate::id::{BoxId, KindId, PartId};
use crate::network::Network;
use crate::slot::{BOX_SLOTS, Filling, HOPPER_SLOTS, Item};

/// The slots that stand for a part at the moment; none where nothing stands.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Inventory {
    /// The first of its slots; for a hopper its seat.
    first: u32,
    /// How many slots; 0 for a part without an inventory and for an unoccupied bench or place.
    pub(in crate::engine) slots: u16,
    owner: Owner,
}

/// Whose slots an inventory is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
enum Owner {
    /// A part's that is neither of the others.
    #[default]
    Part,
    /// A hopper's, which stand with all else that its turns need.
    Hopper,
    /// A box's, which refuses boxes.
    Box,
    /// A part's that a comparator reads: before its slots stands what all of them weigh.
    Read,
}

impl Inventory {
    pub(in crate::engine) fn exists(self) -> bool {
        self.slots > 0
    }

    fn range(self) -> std::ops::Range<usize> {
        self.first as usize..self.first as usize + usize::from(self.slots)
    }
}

/// Every slot of the network, of boxes too, and which of them stand for which part.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Inventories {
    /// Hoppers and selectors, by seat; of a selector the slots stay empty.
    pub(in crate::engine) takers: Vec<Taker>,
    /// The slots of all else, those of boxes last: box `n` has the `n`th run of 27. What the slots of a part weigh that
    /// a comparator reads stands before them, so that nobody weighs 27 or 54 of them to see one item come or go.
    slots: Vec<Slot>,
    by_part: Vec<Inventory>,
    /// Where the slots of the boxes begin.
    first_box_slot: u32,
    box_kinds: Vec<KindId>,
    /// The stack limit of each kind.
    limits: Vec<StackLimit>,
}

impl Inventories {
    /// The inventories of a network with what they hold at the start.
    pub(in crate::engine) fn new(network: &Network, seats: &[Seated], parts: &Parts) -> Self {
        let mut by_part = Vec::with_capacity(network.part_count());
        let mut next_slot = 0_u32;
        for part in network.part_ids() {
            let slots = network.own_slots(part).unwrap_or(0);
            if parts.sort(part) == PartSort::Hopper {
                by_part.push(Inventory {
                    first: parts.place(part) as u32,
                    slots,
                    owner: Owner::Hopper,
                });
            } else {
                let (weights, owner) = match parts.is_read(part) && slots > 0 {
                    true => (1, Owner::Read),
                    false => (0, Owner::Part),
                };
                by_part.push(Inventory {
                    first: next_slot + weights,
                    slots,
                    owner,
                });
                next_slot += weights + u32::from(slots);
            }
        }
        let mut inventories = Self {
            takers: takers(network, seats, parts),
            slots: vec![Slot::default(); next_slot as usize],
            by_part,
            first_box_slot: next_slot,
            box_kinds: Vec::new(),
            limits: network
                .kinds()
                .iter()
                .map(|kind| kind.stack_limit)
                .collect(),
        };
        for (part, filling) in network.fillings() {
            let item = inventories.new_item(network, filling.kind, &filling.contents);
            let inventory = inventories.of(*part);
            inventories.slots_mut(inventory)[usize::from(filling.slot)] =
                Slot::new(item, filling.count);
            inventories.add_to_weight(inventory, item, filling.count);
        }
        inventories
    }

    fn new_item(&mut self, network: &Network, kind: KindId, contents: &[Filling]) -> PackedItem {
        if network.kind(kind).is_box {
            PackedItem::of_box(self.add_box(kind, contents))
        } else {
            PackedItem::goods(kind, self.limits[kind.index()])
        }
    }

    /// The number that the next box will get.
    pub(in crate::engine) fn next_box_id(&self) -> BoxId {
        BoxId::from_index(self.box_kinds.len())
    }

    /// Makes a box of this kind with these contents.
    pub(in crate::engine) fn add_box(&mut self, kind: KindId, contents: &[Filling]) -> BoxId {
        let first = self.slots.len();
        let id = self.next_box_id();
        self.box_kinds.push(kind);
        self.slots
            .resize(first + usize::from(BOX_SLOTS), Slot::default());
        for inner in contents {
            let item = PackedItem::goods(inner.kind, self.limits[inner.kind.index()]);
            self.slots[first + usize::from(inner.slot)] = Slot::new(item, inner.count);
        }
        id
    }

    /// What stands for a part now.
    #[inline]
    pub(in crate::engine) fn of(&self, part: PartId) -> Inventory {
        self.by_part[part.index()]
    }

    /// The slots of a box.
    pub(in crate::engine) fn of_box(&self, id: BoxId) -> Inventory {
        Inventory {
            first: self.first_box_slot + id.index() as u32 * u32::from(BOX_SLOTS),
            slots: BOX_SLOTS,
            owner: Owner::Box,
        }
    }

    /// Lets other slots, or none, stand for a bench or a shuttle's dock.
    pub(in crate::engine) fn occupy(&mut self, part: PartId, by: Option<Inventory>) {
        self.by_part[part.index()] = by.unwrap_or_default();
    }

    #[inline]
    pub(in crate::engine) fn slots(&self, inventory: Inventory) -> &[Slot] {
        match inventory.owner {
            Owner::Hopper => &self.takers[inventory.first as usize].slots,
            Owner::Part | Owner::Box | Owner::Read => &self.slots[inventory.range()],
        }
    }

    #[inline]
    fn slots_mut(&mut self, inventory: Inventory) -> &mut [Slot] {
        match inventory.owner {
            Owner::Hopper => &mut self.takers[inventory.first as usize].slots,
            Owner::Part | Owner::Box | Owner::Read => &mut self.slots[inventory.range()],
        }
    }

    pub(in crate::engine) fn limit(&self, kind: KindId) -> u8 {
        self.limits[kind.index()].items()
    }

    pub(in crate::engine) fn pack(&self, item: Item) -> PackedItem {
        match item.box_id {
            Some(id) => PackedItem::of_box(id),
            None => PackedItem::goods(item.kind, self.limits[item.kind.index()]),
        }
    }

    #[inline]
    pub(in crate::engine) fn unpack(&self, item: PackedItem) -> Item {
        match item.unpack() {
            Unpacked::Goods(kind) => Item { kind, box_id: None },
            Unpacked::Box(id) => Item {
                kind: self.box_kinds[id.index()],
                box_id: Some(id),
            },
        }
    }

    /// What is in a slot, which must not be empty.
    pub(in crate::engine) fn item_in(&self, slot: Slot) -> Item {
        self.unpack(slot.packed())
    }

    pub(in crate::engine) fn is_empty(&self, inventory: Inventory) -> bool {
        all_empty(self.slots(inventory))
    }

    /// Whether every slot holds its kind's limit. An inventory that does not exist is full.
    pub(in crate::engine) fn is_full(&self, inventory: Inventory) -> bool {
        is_full(self.slots(inventory))
    }

    /// The first slot, by its place in the inventory, that one item would go into; `None` if it does
    /// not go in.
    #[inline]
    pub(in crate::engine) fn place_for(
        &self,
        inventory: Inventory,
        item: PackedItem,
    ) -> Option<usize> {
        if inventory.owner == Owner::Box && item.is_box() {
            return None;
        }
        self.slots(inventory)
            .iter()
            .position(|slot| slot.accepts(item))
    }

    /// Moves one item out of the hopper of this seat into an inventory that is no hopper's: for its slots in order, the
    /// first that goes in; says which.
    #[inline(always)]
    pub(in crate::engine) fn push_first(
        &mut self,
        seat: usize,
        into: PartId,
    ) -> Option<PackedItem> {
        let into = self.of(into);
        for place in 0..usize::from(HOPPER_SLOTS) {
            let slot = self.takers[seat].slots[place];
            let item = slot.packed();
            if !slot.is_empty() && self.put_one(into, item) {
                self.takers[seat].slots[place].take(1);
                return Some(item);
            }
        }
        None
    }

    /// Moves one item out of an inventory that is no hopper's into the hopper of this seat, as
    /// [`move_first`]; says which.
    #[inline(always)]
    pub(in crate::engine) fn pull_first(
        &mut self,
        seat: usize,
        from: PartId,
    ) -> Option<PackedItem> {
        let from = self.of(from);
        let own = &mut self.takers[seat].slots;
        let item = move_first(&mut self.slots[from.range()], own)?;
        self.take_from_weight(from, item, 1);
        Some(item)
    }

    /// Puts one item into an inventory that is no hopper's, if it goes in; says whether it did.
    #[inline]
    pub(in crate::engine) fn put_one(&mut self, inventory: Inventory, item: PackedItem) -> bool {
        let is_refused = inventory.owner == Owner::Box && item.is_box();
        let mut slots = self.slots[inventory.range()].iter_mut();
        let slot = slots.find(|slot| !is_refused && slot.accepts(item));
        let Some(slot) = slot else { return false };
        slot.add(item, 1);
        self.add_to_weight(inventory, item, 1);
        true
    }

    /// Puts up to `count` items of a kind in, one after the other; says how many went in.
    pub(in crate::engine) fn insert(
        &mut self,
        inventory: Inventory,
        item: PackedItem,
        count: u32,
    ) -> u32 {
        let mut left = count;
        while left > 0 {
            let Some(place) = self.place_for(inventory, item) else {
                break;
            };
            let slot = &mut self.slots_mut(inventory)[place];
            let added = u32::from(item.limit() - slot.count()).min(left);
            slot.add(item, added as u8);
            self.add_to_weight(inventory, item, added as u8);
            left -= added;
        }
        count - left
    }

    /// Takes items out of the slot with this place in the inventory, which must hold so many.
    #[inline]
    pub(in crate::engine) fn take(&mut self, inventory: Inventory, place: usize, count: u8) {
        let slot = &mut self.slots_mut(inventory)[place];
        let item = slot.packed();
        slot.take(count);
        self.take_from_weight(inventory, item, count);
    }

    /// To be called when items have been taken out.
    #[inline]
    fn take_from_weight(&mut self, inventory: Inventory, item: PackedItem, count: u8) {
        if inventory.owner == Owner::Read {
            let kept = &mut self.slots[inventory.first as usize - 1];
            *kept = kept.without_weight(item, count);
        }
    }

    /// To be called when items have been put in.
    #[inline]
    fn add_to_weight(&mut self, inventory: Inventory, item: PackedItem, count: u8) {
        if inventory.owner == Owner::Read {
            let kept = &mut self.slots[inventory.first as usize - 1];
            *kept = kept.with_weight(item, count);
        }
    }

    /// What a comparator reads.
    #[inline]
    pub(in crate::engine) fn fill_level(&self, inventory: Inventory) -> u8 {
        let weighed = || weight(self.slots(inventory));
        let weight = match inventory.owner {
            Owner::Read => self.slots[inventory.first as usize - 1].kept_weight(),
            Owner::Part | Owner::Hopper | Owner::Box => weighed(),
        };
        debug_assert_eq!(weight, weighed(), "no change of what is read is missed");
        fill_level(weight, inventory.slots)
    }

    /// Notifies `each` every kind and count in an item: its own, and what it holds if it is a box.
    pub(in crate::engine) fn for_each_inside(
        &self,
        item: Item,
        count: u8,
        each: &mut impl FnMut(KindId, u64),
    ) {
        each(item.kind, count.into());
        if let Some(id) = item.box_id {
            let slots = self.slots(self.of_box(id)).iter();
            for slot in slots.filter(|slot| !slot.is_empty()) {
                each(self.item_in(*slot).kind, slot.count().into());
            }
        }
    }
}
