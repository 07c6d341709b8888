//! One slot in 64 bits.

use crate::goods::StackLimit;
use crate::id::{BoxId, KindId};
use crate::slot::{Item, Stack};

/// What one slot holds, packed so that the questions asked at every move are single comparisons. An
/// empty slot is all zero.
///
/// | bits | what |
/// | --- | --- |
/// | 0–7 | how many |
/// | 8–15 | the stack limit of the kind |
/// | 16–31 | the number of the kind |
/// | 32–63 | for a box its number plus 1, otherwise 0 |
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct Slot(u64);

/// One item as a slot knows it: a slot's bits without the count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct PackedItem(u64);

const COUNT: u64 = 0xff;

impl PackedItem {
    pub(super) fn new(item: Item, limit: StackLimit) -> Self {
        let kind = u16::try_from(item.kind.index()).expect("the builder limits the kinds");
        let box_number = item.box_id.map_or(0, |id| id.index() as u64 + 1);
        Self(box_number << 32 | u64::from(kind) << 16 | u64::from(limit.items()) << 8)
    }

    pub(super) fn item(self) -> Item {
        let number = (self.0 >> 32) as usize;
        Item {
            kind: KindId::from_index((self.0 >> 16 & 0xffff) as usize),
            box_id: number.checked_sub(1).map(BoxId::from_index),
        }
    }

    pub(super) fn limit(self) -> u8 {
        (self.0 >> 8 & 0xff) as u8
    }

    pub(super) fn is_box(self) -> bool {
        self.0 >> 32 != 0
    }
}

impl Slot {
    pub(super) fn new(item: PackedItem, count: u8) -> Self {
        debug_assert!(count > 0, "a slot that holds nothing is empty");
        Self(item.0 | u64::from(count))
    }

    pub(super) fn is_empty(self) -> bool {
        self.0 == 0
    }

    pub(super) fn count(self) -> u8 {
        (self.0 & COUNT) as u8
    }

    /// What is in it; of no meaning for an empty slot.
    pub(super) fn packed(self) -> PackedItem {
        PackedItem(self.0 & !COUNT)
    }

    pub(super) fn item(self) -> Item {
        self.packed().item()
    }

    pub(super) fn stack(self) -> Option<Stack> {
        (!self.is_empty()).then(|| Stack {
            item: self.item(),
            count: self.count(),
        })
    }

    /// Whether it holds its kind's limit.
    pub(super) fn is_at_limit(self) -> bool {
        !self.is_empty() && self.count() == self.packed().limit()
    }

    /// Whether one such item goes in.
    pub(super) fn accepts(self, item: PackedItem) -> bool {
        self.is_empty() || (self.0 & !COUNT == item.0 && self.count() < item.limit())
    }

    /// Adds items, which must fit.
    pub(super) fn add(&mut self, item: PackedItem, count: u8) {
        self.0 = item.0 | (u64::from(self.count()) + u64::from(count));
    }

    /// Takes items out, of which there must be so many.
    pub(super) fn take(&mut self, count: u8) {
        self.0 -= u64::from(count);
        if self.0 & COUNT == 0 {
            self.0 = 0;
        }
    }

    /// What a comparator sees, in 64ths of a slot.
    pub(super) fn weight(self) -> u32 {
        if self.is_empty() {
            return 0;
        }
        u32::from(self.count()) * (64 / u32::from(self.packed().limit()))
    }
}

/// Whether all of these are empty.
pub(super) fn all_empty(slots: &[Slot]) -> bool {
    slots.iter().fold(0, |bits, slot| bits | slot.0) == 0
}
