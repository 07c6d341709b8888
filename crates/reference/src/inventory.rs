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

#[cfg(test)]
mod tests {
    use hallwright_core::goods::StackLimit;
    use hallwright_core::network::NetworkBuilder;
    use hallwright_core::rules::Rules;

    use super::*;

    /// Barley (64 a slot), cheese (16), tools (1) and crates, which are boxes.
    struct Goods {
        book: RuleBook,
        barley: Article,
        cheese: Article,
        tool: Article,
        crate_kind: KindId,
    }

    fn plain(kind: KindId) -> Article {
        Article {
            kind,
            carried: None,
        }
    }

    fn goods(fault: Option<Fault>) -> Goods {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let cheese = builder.kind("cheese", StackLimit::Sixteen);
        let tool = builder.kind("tool", StackLimit::One);
        let crate_kind = builder.box_kind("crate");
        let network = builder.build().expect("goods alone are sound");
        Goods {
            book: RuleBook::new(&network, fault),
            barley: plain(barley),
            cheese: plain(cheese),
            tool: plain(tool),
            crate_kind,
        }
    }

    impl Goods {
        fn crate_of(&self, number: usize, fillings: &[Filling]) -> Article {
            Article {
                kind: self.crate_kind,
                carried: Some(CarriedBox {
                    id: BoxId::from_index(number),
                    contents: Inventory::inside_box(fillings),
                }),
            }
        }

        /// An inventory with these counts of these articles in its slots.
        fn inventory(&self, slots: &[(&Article, u8)]) -> Inventory {
            let mut inventory = Inventory::new(slots.len());
            for (slot, (article, count)) in slots.iter().enumerate() {
                if *count > 0 {
                    let slot = u16::try_from(slot).expect("few slots");
                    inventory.lay(slot, (*article).clone(), *count);
                }
            }
            inventory
        }
    }

    fn counts(inventory: &Inventory) -> Vec<u8> {
        let count = |slot: &Option<Stack>| slot.map_or(0, |stack| stack.count);
        inventory.stacks().iter().map(count).collect()
    }

    #[test]
    fn an_empty_slot_is_taken_before_a_half_full_later_one() {
        let goods = goods(None);
        let barley = &goods.barley;
        let mut inventory = goods.inventory(&[(barley, 0), (barley, 0), (barley, 0), (barley, 30)]);
        assert!(inventory.insert(barley, &goods.book));
        assert_eq!(counts(&inventory), [1, 0, 0, 30]);
    }

    #[test]
    fn a_slot_takes_its_own_kind_up_to_the_limit() {
        let goods = goods(None);
        let mut inventory = goods.inventory(&[(&goods.cheese, 15), (&goods.barley, 63)]);
        assert!(inventory.insert(&goods.cheese, &goods.book));
        assert!(!inventory.insert(&goods.cheese, &goods.book));
        assert!(!inventory.insert(&goods.tool, &goods.book));
        assert_eq!(counts(&inventory), [16, 63]);
        assert!(!inventory.is_full(&goods.book));
        assert!(inventory.insert(&goods.barley, &goods.book));
        assert!(inventory.is_full(&goods.book));
    }

    #[test]
    fn boxes_never_share_a_slot_and_refuse_each_other() {
        let goods = goods(None);
        let mut inventory = Inventory::new(2);
        assert!(inventory.insert(&goods.crate_of(0, &[]), &goods.book));
        assert!(inventory.insert(&goods.crate_of(1, &[]), &goods.book));
        assert!(!inventory.insert(&goods.crate_of(2, &[]), &goods.book));
        assert_eq!(counts(&inventory), [1, 1]);
        let mut inside = Inventory::inside_box(&[]);
        assert!(!inside.insert(&goods.crate_of(3, &[]), &goods.book));
        assert!(inside.is_empty());
    }

    #[test]
    fn slots_are_taken_from_in_order_and_end_empty() {
        let goods = goods(None);
        let barley = &goods.barley;
        let mut inventory = goods.inventory(&[(barley, 0), (barley, 1), (&goods.tool, 1)]);
        assert_eq!(inventory.filled_slots(&goods.book), [1, 2]);
        inventory.remove_one(1);
        assert_eq!(inventory.filled_slots(&goods.book), [2]);
        assert_eq!(counts(&inventory), [0, 0, 1]);
    }

    #[test]
    fn the_fill_level_of_a_hopper_rises_where_the_rules_say() {
        let goods = goods(None);
        // Section 1 of the tick rules: 2 from 23 items, 3 from 46, 4 from 69, 15 at 320.
        let levels = [
            (1, 1),
            (22, 1),
            (23, 2),
            (45, 2),
            (46, 3),
            (68, 3),
            (69, 4),
            (319, 14),
            (320, 15),
        ];
        assert_eq!(Inventory::new(5).fill_level(&goods.book), 0);
        for (items, level) in levels {
            let mut hopper = Inventory::new(5);
            for _ in 0..items {
                assert!(hopper.insert(&goods.barley, &goods.book));
            }
            assert_eq!(hopper.fill_level(&goods.book), level, "at {items} items");
        }
    }

    #[test]
    fn a_comparator_weighs_by_the_stack_limit_and_counts_a_box_as_one_item() {
        let goods = goods(None);
        // Two of five slots full: 1 + floor(14 * 2 / 5) = 6, worked out by hand.
        let mut hopper = Inventory::new(5);
        hopper.lay(0, goods.cheese.clone(), 16);
        hopper.lay(1, goods.crate_of(0, &[]), 1);
        assert_eq!(hopper.fill_level(&goods.book), 6);
    }

    #[test]
    fn a_fault_breaks_the_rule_it_names() {
        let goods = goods(Some(Fault::InsertPrefersMatchingSlot));
        let barley = &goods.barley;
        let mut inventory = goods.inventory(&[(barley, 0), (barley, 30)]);
        assert!(inventory.insert(barley, &goods.book));
        assert_eq!(counts(&inventory), [0, 31]);
    }
}
