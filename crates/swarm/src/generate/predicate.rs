//! What a drawn selector takes.

use hallwright_core::id::KindId;
use hallwright_core::predicate::Predicate;

use super::Sketch;

/// The sorts of predicate.
#[derive(Clone, Copy)]
enum PredicateSort {
    Kinds,
    BoxOf,
    BoxFull,
    BoxEmpty,
    Box,
    Single,
    All,
    Any,
    Not,
}

impl Sketch {
    /// A predicate nested at most so deep.
    pub(super) fn predicate(&mut self, depth: u32) -> Predicate {
        let nested = if depth > 0 { 10 } else { 0 };
        let boxes = if self.style.boxes { 15 } else { 3 };
        match self.draw.weighted(&[
            (50, PredicateSort::Kinds),
            (2 * boxes, PredicateSort::BoxOf),
            (boxes, PredicateSort::BoxFull),
            (boxes, PredicateSort::BoxEmpty),
            (boxes, PredicateSort::Box),
            (8, PredicateSort::Single),
            (nested, PredicateSort::All),
            (nested, PredicateSort::Any),
            (nested, PredicateSort::Not),
        ]) {
            PredicateSort::Kinds => Predicate::Kinds(self.kind_list(true)),
            PredicateSort::BoxOf => Predicate::BoxOf(self.kind_list(false)),
            PredicateSort::BoxFull => Predicate::BoxFull,
            PredicateSort::BoxEmpty => Predicate::BoxEmpty,
            PredicateSort::Box => Predicate::Box,
            PredicateSort::Single => Predicate::Single,
            PredicateSort::All => Predicate::All(self.predicates(depth - 1)),
            PredicateSort::Any => Predicate::Any(self.predicates(depth - 1)),
            PredicateSort::Not => Predicate::Not(Box::new(self.predicate(depth - 1))),
        }
    }

    fn predicates(&mut self, depth: u32) -> Vec<Predicate> {
        (0..self.draw.between(0, 3))
            .map(|_| self.predicate(depth))
            .collect()
    }

    fn kind_list(&mut self, with_boxes: bool) -> Vec<KindId> {
        let mut kinds = self.plain_kinds.clone();
        if with_boxes {
            kinds.extend(&self.box_kinds);
        }
        kinds.retain(|_| self.draw.percent(60));
        kinds
    }
}
