//! One slot in 32 bits.

use serde::{Deserialize, Serialize};

use super::takers::HopperSlots;
use crate::goods::StackLimit;
use crate::id::{BoxId, KindId};

/// What one slot holds, packed so that the questions asked at every move are single comparisons. An
/// empty slot is all zero.
///
/// | bits | what, for a box | for everything else |
/// | --- | --- | --- |
/// | 0–7 | its number | how many |
/// | 8–14 | its number | what one of the kind weighs, 64 by its stack limit |
/// | 15–30 | its number | the number of the kind |
/// | 31 | 1 | 0 |
///
/// A box stands alone in its slot, and [`super::inventories::Inventories`] knows its kind.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Slot(u32);

/// One item as a slot knows it: a slot's bits without the count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) struct PackedItem(u32);

/// What an item is, taken apart.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Unpacked {
    Box(BoxId),
    Goods(KindId),
}

const COUNT: u32 = 0xff;
const BOX: u32 = 1 << 31;

impl PackedItem {
    pub(in crate::engine) fn goods(kind: KindId, limit: StackLimit) -> Self {
        let kind = u16::try_from(kind.index()).expect("the builder limits the kinds");
        Self(u32::from(kind) << 15 | limit.weight() << 8)
    }

    pub(in crate::engine) fn of_box(id: BoxId) -> Self {
        debug_assert!((id.index() as u32) < BOX, "so many boxes fit in no memory");
        Self(BOX | id.index() as u32)
    }

    #[inline]
    pub(in crate::engine) fn unpack(self) -> Unpacked {
        if self.is_box() {
            Unpacked::Box(BoxId::from_index((self.0 & !BOX) as usize))
        } else {
            Unpacked::Goods(KindId::from_index((self.0 >> 15) as usize))
        }
    }

    /// The stack limit: 64 by the weight, which is 1, 4 or 64.
    pub(in crate::engine) fn limit(self) -> u8 {
        self.room().max(1) as u8
    }

    /// Of how many items of these goods in a slot one more still goes in; none for a box, which stands alone.
    #[inline]
    fn room(self) -> u32 {
        if self.is_box() {
            0
        } else {
            64 >> self.weight().trailing_zeros()
        }
    }

    /// What one of these goods weighs when a comparator reads it, in 64ths of a slot.
    fn weight(self) -> u32 {
        self.0 >> 8 & 0x7f
    }

    pub(in crate::engine) fn is_box(self) -> bool {
        self.0 & BOX != 0
    }
}

impl Slot {
    pub(in crate::engine) fn new(item: PackedItem, count: u8) -> Self {
        debug_assert!(count > 0, "a slot that holds nothing is empty");
        if item.is_box() {
            Self(item.0)
        } else {
            Self(item.0 | u32::from(count))
        }
    }

    pub(in crate::engine) fn is_empty(self) -> bool {
        self.0 == 0
    }

    pub(in crate::engine) fn is_box(self) -> bool {
        self.0 & BOX != 0
    }

    pub(in crate::engine) fn count(self) -> u8 {
        if self.is_box() {
            1
        } else {
            (self.0 & COUNT) as u8
        }
    }

    /// What is in it; of no meaning for an empty slot.
    pub(in crate::engine) fn packed(self) -> PackedItem {
        if self.is_box() {
            PackedItem(self.0)
        } else {
            PackedItem(self.0 & !COUNT)
        }
    }

    /// Whether it holds its kind's limit.
    pub(in crate::engine) fn is_at_limit(self) -> bool {
        self.weight() == 64
    }

    /// Whether one such item goes in. What differs in kind differs by more than any count.
    #[inline]
    pub(in crate::engine) fn accepts(self, item: PackedItem) -> bool {
        self.is_empty() || self.0.wrapping_sub(item.0) < item.room()
    }

    /// A number for the goods in it and how many there are: 0 only if it is empty, the same for all boxes.
    pub(in crate::engine) fn goods(self) -> u32 {
        if self.is_box() { BOX } else { self.0 }
    }

    /// Adds items, which must fit.
    pub(in crate::engine) fn add(&mut self, item: PackedItem, count: u8) {
        if item.is_box() {
            self.0 = item.0;
        } else {
            self.0 = item.0 | ((self.0 & COUNT) + u32::from(count));
        }
    }

    /// Takes items out, of which there must be so many.
    pub(in crate::engine) fn take(&mut self, count: u8) {
        if self.is_box() {
            self.0 = 0;
            return;
        }
        self.0 -= u32::from(count);
        if self.0 & COUNT == 0 {
            self.0 = 0;
        }
    }

    /// What a comparator sees, in 64ths of a slot.
    fn weight(self) -> u32 {
        if self.is_box() {
            64
        } else {
            self.weight_of_goods()
        }
    }

    /// Of what stands before slots that a comparator reads: what they weigh.
    pub(in crate::engine) fn kept_weight(self) -> u32 {
        self.0
    }

    /// Of the same: what they weigh with such items more.
    pub(in crate::engine) fn with_weight(self, item: PackedItem, count: u8) -> Self {
        Self(self.0 + Self::new(item, count).weight())
    }

    /// Of the same: what they weigh without such items.
    pub(in crate::engine) fn without_weight(self, item: PackedItem, count: u8) -> Self {
        Self(self.0 - Self::new(item, count).weight())
    }

    /// The same if it holds no box.
    fn weight_of_goods(self) -> u32 {
        (self.0 & COUNT) * PackedItem(self.0).weight()
    }
}

/// What a comparator sees in all of these together, in 64ths of a slot. Hardly any holds a box.
#[inline(always)]
pub(in crate::engine) fn weight(slots: &[Slot]) -> u32 {
    if slots.iter().fold(0, |bits, slot| bits | slot.0) & BOX == 0 {
        return slots.iter().map(|slot| slot.weight_of_goods()).sum();
    }
    slots.iter().map(|slot| slot.weight()).sum()
}

/// Whether all of these are empty.
#[inline]
pub(in crate::engine) fn all_empty(slots: &[Slot]) -> bool {
    slots.iter().fold(0, |bits, slot| bits | slot.0) == 0
}

/// Whether each of these holds its kind's limit. The last is filled last.
#[inline]
pub(in crate::engine) fn is_full(slots: &[Slot]) -> bool {
    slots.iter().rev().all(|slot| slot.is_at_limit())
}

/// Moves one item into a hopper: for slots in order, the first that goes in; says which. A hopper that is full takes none.
#[inline(always)]
pub(in crate::engine) fn move_first(
    slots: &mut [Slot],
    into: &mut HopperSlots,
) -> Option<PackedItem> {
    let first = slots.first_mut()?;
    let item = first.packed();
    if !first.is_empty() && into[0].accepts(item) {
        first.take(1);
        into[0].add(item, 1);
        return Some(item);
    }
    move_first_that_fits(slots, into)
}

#[inline(never)]
fn move_first_that_fits(slots: &mut [Slot], into: &mut HopperSlots) -> Option<PackedItem> {
    if is_full(into) {
        return None;
    }
    for slot in slots.iter_mut().filter(|slot| !slot.is_empty()) {
        let item = slot.packed();
        if let Some(free) = into.iter_mut().find(|slot| slot.accepts(item)) {
            slot.take(1);
            free.add(item, 1);
            return Some(item);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_slot_takes_anything_and_a_filled_one_its_own_up_to_the_limit() {
        let cheese = PackedItem::goods(KindId::from_index(65_534), StackLimit::Sixteen);
        let other = PackedItem::goods(KindId::from_index(3), StackLimit::Sixteen);
        let mut slot = Slot::default();
        assert!(slot.accepts(cheese));
        slot.add(cheese, 15);
        assert!(slot.accepts(cheese) && !slot.accepts(other));
        slot.add(cheese, 1);
        assert!(slot.is_at_limit() && !slot.accepts(cheese));
        assert_eq!((cheese.limit(), weight(&[slot, Slot::default()])), (16, 64));
        assert_eq!(
            slot.packed().unpack(),
            Unpacked::Goods(KindId::from_index(65_534))
        );
        slot.take(16);
        assert!(slot.is_empty());
    }

    #[test]
    fn a_box_stands_alone() {
        let first = PackedItem::of_box(BoxId::from_index(0));
        let later = PackedItem::of_box(BoxId::from_index(0x105));
        let mut slot = Slot::default();
        slot.add(first, 1);
        assert!(!slot.is_empty() && slot.is_at_limit());
        assert!(!slot.accepts(later) && !slot.accepts(first));
        assert_eq!((slot.count(), weight(&[slot])), (1, 64));
        assert_eq!(slot.packed().unpack(), Unpacked::Box(BoxId::from_index(0)));
        slot.take(1);
        assert!(slot.is_empty());
    }
}
