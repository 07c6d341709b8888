//! Section 6: what a selector takes.

use hallwright_core::id::KindId;
use hallwright_core::predicate::Predicate;

use crate::benches::box_is_full;
use crate::book::RuleBook;
use crate::fault::Fault;
use crate::inventory::{Article, Inventory};

/// Whether an item satisfies a predicate.
pub(crate) fn satisfies(article: &Article, predicate: &Predicate, book: &RuleBook) -> bool {
    let contents = article.contents();
    match predicate {
        Predicate::Kinds(kinds) => kinds.contains(&article.kind),
        Predicate::BoxOf(kinds) => contents.is_some_and(|held| is_box_of(held, kinds, book)),
        Predicate::BoxFull => contents.is_some_and(|held| box_is_full(held, book)),
        Predicate::BoxEmpty => contents.is_some_and(Inventory::is_empty),
        Predicate::Box => contents.is_some(),
        Predicate::Single => {
            let is_excluded = contents.is_some() && book.breaks(Fault::SingleExcludesBoxes);
            book.limit(article.kind) == 1 && !is_excluded
        }
        Predicate::All(parts) => parts.iter().all(|part| satisfies(article, part, book)),
        Predicate::Any(parts) => parts.iter().any(|part| satisfies(article, part, book)),
        Predicate::Not(part) => !satisfies(article, part, book),
    }
}

/// Whether a box holds nothing but kinds in a list, and is not empty.
fn is_box_of(contents: &Inventory, kinds: &[KindId], book: &RuleBook) -> bool {
    if contents.is_empty() {
        return book.breaks(Fault::BoxOfAcceptsEmpty);
    }
    let mut held = contents.piles().map(|pile| pile.article.kind);
    if book.breaks(Fault::BoxOfWantsOne) {
        return held.any(|kind| kinds.contains(&kind));
    }
    held.all(|kind| kinds.contains(&kind))
}
