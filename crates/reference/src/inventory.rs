//! Section 1: inventories, and the items in them.

use hallwright_core::id::{BoxId, KindId};
use hallwright_core::slot::{Filling, Item, Stack};

use crate::book::RuleBook;
use crate::fault::Fault;

/// Slots of a box.
pub(crate) const BOX_SLOTS: usize = 27;

/// One item; a box brings its own inventory along.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Article {
    pub(crate) kind: KindId,
    pub(crate) carried: Option<CarriedBox>,
}

/// What makes an item a box.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct CarriedBox {
    pub(crate) id: BoxId,
    pub(crate) contents: Inventory,
}

impl Article {
    /// The item as the outside sees it.
    pub(crate) fn item(&self) -> Item {
        Item {
            kind: self.kind,
            box_id: self.carried.as_ref().map(|carried| carried.id),
        }
    }

    /// What it holds, if it is a box.
    pub(crate) fn contents(&self) -> Option<&Inventory> {
        self.carried.as_ref().map(|carried| &carried.contents)
    }

    fn is_empty_box(&self) -> bool {
        self.contents().is_some_and(Inventory::is_empty)
    }
}

/// What fills one slot: `count` items alike.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Pile {
    pub(crate) article: Article,
    pub(crate) count: u32,
}

/// A row of slots.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Inventory {
    pub(crate) slots: Vec<Option<Pile>>,
    /// Whether it is the inside of a box, which takes no boxes.
    is_inside_box: bool,
}

impl Inventory {
    pub(crate) fn new(slot_count: usize) -> Self {
        Self {
            slots: vec![None; slot_count],
            is_inside_box: false,
        }
    }

    /// The inside of a box that is filled so.
    pub(crate) fn inside_box(fillings: &[Filling]) -> Self {
        let mut inside = Self::new(BOX_SLOTS);
        inside.is_inside_box = true;
        for filling in fillings {
            let article = Article {
                kind: filling.kind,
                carried: None,
            };
            inside.lay(filling.slot, article, filling.count);
        }
        inside
    }

    /// Lays items into a slot at the start.
    pub(crate) fn lay(&mut self, slot: u16, article: Article, count: u8) {
        self.slots[usize::from(slot)] = Some(Pile {
            article,
            count: u32::from(count),
        });
    }

    /// The slots as the outside sees them.
    pub(crate) fn stacks(&self) -> Vec<Option<Stack>> {
        let stack = |pile: &Pile| Stack {
            item: pile.article.item(),
            count: small(pile.count),
        };
        self.slots
            .iter()
            .map(|slot| slot.as_ref().map(stack))
            .collect()
    }

    pub(crate) fn piles(&self) -> impl Iterator<Item = &Pile> {
        self.slots.iter().flatten()
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.slots.iter().all(Option::is_none)
    }

    /// Whether every slot holds its kind's limit.
    pub(crate) fn is_full(&self, book: &RuleBook) -> bool {
        if book.breaks(Fault::FullWithoutEmptySlot) {
            return self.slots.iter().all(Option::is_some);
        }
        self.slots.iter().all(|slot| {
            slot.as_ref()
                .is_some_and(|pile| pile.count == book.limit(pile.article.kind))
        })
    }

    /// The slots that hold something, in the order in which they are taken from.
    pub(crate) fn filled_slots(&self, book: &RuleBook) -> Vec<usize> {
        let mut filled: Vec<usize> = (0..self.slots.len())
            .filter(|slot| self.slots[*slot].is_some())
            .collect();
        if book.breaks(Fault::TakeFromTheBack) {
            filled.reverse();
        }
        filled
    }

    /// The item in a slot.
    pub(crate) fn article(&self, slot: usize) -> Option<&Article> {
        self.slots[slot].as_ref().map(|pile| &pile.article)
    }

    /// Inserts one item. If no slot takes it, nothing changes.
    pub(crate) fn insert(&mut self, article: &Article, book: &RuleBook) -> bool {
        let Some(slot) = self.slot_for(article, book) else {
            return false;
        };
        match &mut self.slots[slot] {
            Some(pile) => pile.count += 1,
            empty => {
                *empty = Some(Pile {
                    article: article.clone(),
                    count: 1,
                });
            }
        }
        true
    }

    /// Removes one item from a slot that holds something.
    pub(crate) fn remove_one(&mut self, slot: usize) {
        if let Some(pile) = &mut self.slots[slot] {
            pile.count -= 1;
            if pile.count == 0 {
                self.slots[slot] = None;
            }
        }
    }

    /// The first slot that is empty or holds the same kind below its limit.
    fn slot_for(&self, article: &Article, book: &RuleBook) -> Option<usize> {
        let is_box = article.carried.is_some();
        if is_box && self.is_inside_box && !book.breaks(Fault::BoxInBox) {
            return None;
        }
        let takes = |slot: &usize| match &self.slots[*slot] {
            None => true,
            Some(pile) => has_room(pile, article, book),
        };
        let mut all = 0..self.slots.len();
        if book.breaks(Fault::InsertPrefersMatchingSlot) {
            let matching = |slot: &usize| self.slots[*slot].is_some() && takes(slot);
            return all.clone().find(matching).or_else(|| all.find(takes));
        }
        if book.breaks(Fault::InsertFromTheBack) {
            return all.rev().find(takes);
        }
        all.find(takes)
    }

    /// What a comparator reads: 0 to 15.
    pub(crate) fn fill_level(&self, book: &RuleBook) -> u8 {
        if self.is_empty() {
            return 0;
        }
        let weight = |pile: &Pile| {
            if book.breaks(Fault::FillLevelCountsEqually) {
                return pile.count;
            }
            pile.count * (64 / book.limit(pile.article.kind))
        };
        let weighed = 14 * self.piles().map(weight).sum::<u32>();
        let whole = 64 * u32::try_from(self.slots.len()).unwrap_or(u32::MAX);
        if book.breaks(Fault::FillLevelRoundedUp) {
            return small(1 + weighed.div_ceil(whole)).min(15);
        }
        if book.breaks(Fault::FillLevelWithoutOne) {
            return small(weighed / whole);
        }
        small(1 + weighed / whole)
    }
}

/// Whether one more item goes onto this pile.
fn has_room(pile: &Pile, article: &Article, book: &RuleBook) -> bool {
    if pile.article.kind != article.kind {
        return false;
    }
    if book.breaks(Fault::EmptyBoxesShareSlot)
        && pile.article.is_empty_box()
        && article.is_empty_box()
    {
        return pile.count < 64;
    }
    pile.count < book.limit(article.kind)
}

/// A count that the rules keep small. A broken rule may pass the end, which no count shows then.
pub(crate) fn small(count: u32) -> u8 {
    u8::try_from(count).unwrap_or(u8::MAX)
}
