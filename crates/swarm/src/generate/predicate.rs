//! What a drawn selector takes.

use hallwright_core::id::KindId;
use hallwright_core::predicate::Predicate;

use super::Sketch;

/// The sorts of predicate.
#[derive(Clone, Copy)]
enum Sort {
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
            (50, Sort::Kinds),
            (2 * boxes, Sort::BoxOf),
            (boxes, Sort::BoxFull),
            (boxes, Sort::BoxEmpty),
            (boxes, Sort::Box),
            (8, Sort::Single),
            (nested, Sort::All),
            (nested, Sort::Any),
            (nested, Sort::Not),
        ]) {
            Sort::Kinds => Predicate::Kinds(self.kind_list(true)),
            Sort::BoxOf => Predicate::BoxOf(self.kind_list(false)),
            Sort::BoxFull => Predicate::BoxFull,
            Sort::BoxEmpty => Predicate::BoxEmpty,
            Sort::Box => Predicate::Box,
            Sort::Single => Predicate::Single,
            Sort::All => Predicate::All(self.predicates(depth - 1)),
            Sort::Any => Predicate::Any(self.predicates(depth - 1)),
            Sort::Not => Predicate::Not(Box::new(self.predicate(depth - 1))),
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
