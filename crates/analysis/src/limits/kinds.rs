//! Which kinds can go where: selectors part them by what they take.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::part::Selector;
use hallwright_core::predicate::Predicate;

/// A set of kinds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct KindSet {
    words: Vec<u64>,
}

impl KindSet {
    /// No kind of so many.
    pub(crate) fn none(kinds: usize) -> Self {
        Self {
            words: vec![0; kinds.div_ceil(64)],
        }
    }

    /// All kinds that satisfy a condition.
    pub(crate) fn of(kinds: usize, holds: impl Fn(KindId) -> bool) -> Self {
        let mut set = Self::none(kinds);
        for kind in (0..kinds).map(KindId::from_index) {
            if holds(kind) {
                set.insert(kind);
            }
        }
        set
    }

    /// Adds a kind.
    pub(crate) fn insert(&mut self, kind: KindId) {
        self.words[kind.index() / 64] |= 1 << (kind.index() % 64);
    }

    /// Whether a kind is in it.
    pub(crate) fn contains(&self, kind: KindId) -> bool {
        self.words[kind.index() / 64] >> (kind.index() % 64) & 1 == 1
    }

    /// Whether no kind is in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.words.iter().all(|word| *word == 0)
    }

    /// Takes in what is in both others; whether that was any news.
    pub(crate) fn take_in(&mut self, other: &KindSet, through: Option<&KindSet>) -> bool {
        let mut is_news = false;
        for (place, word) in self.words.iter_mut().enumerate() {
            let through = through.map_or(u64::MAX, |through| through.words[place]);
            let both = *word | (other.words[place] & through);
            is_news |= both != *word;
            *word = both;
        }
        is_news
    }

    /// Whether any kind is in both, and in the third if there is one.
    pub(crate) fn meets(&self, other: &KindSet, through: Option<&KindSet>) -> bool {
        let words = self.words.iter().zip(&other.words).enumerate();
        let mut both = words.map(|(place, (own, other))| {
            own & other & through.map_or(u64::MAX, |set| set.words[place])
        });
        both.any(|word| word != 0)
    }

    /// The kinds in it, in order.
    pub(crate) fn iter(&self) -> impl Iterator<Item = KindId> {
        let count = self.words.len() * 64;
        (0..count)
            .map(KindId::from_index)
            .filter(|kind| self.contains(*kind))
    }
}

/// The kinds of which an item may match a selector, and those of which one may not.
pub(crate) fn parted(network: &Network, selector: &Selector) -> (KindSet, KindSet) {
    let kinds = network.kinds().len();
    let may = |kind| may_hold(network, &selector.takes, kind);
    (
        KindSet::of(kinds, |kind| may(kind).0),
        KindSet::of(kinds, |kind| may(kind).1),
    )
}

/// Whether a condition may hold for an item of this kind, and whether it may not.
fn may_hold(network: &Network, predicate: &Predicate, kind: KindId) -> (bool, bool) {
    let surely = |holds: bool| (holds, !holds);
    let is_box = network.kind(kind).is_box;
    let each = |list: &[Predicate]| -> Vec<(bool, bool)> {
        let each = list.iter();
        each.map(|one| may_hold(network, one, kind)).collect()
    };
    match predicate {
        Predicate::Kinds(list) => surely(list.contains(&kind)),
        Predicate::Box => surely(is_box),
        Predicate::BoxOf(_) | Predicate::BoxFull | Predicate::BoxEmpty => (is_box, true),
        Predicate::Single => surely(network.kind(kind).stack_limit == StackLimit::One),
        Predicate::All(list) => {
            let each = each(list);
            (
                each.iter().all(|(may, _)| *may),
                each.iter().any(|(_, may_not)| *may_not),
            )
        }
        Predicate::Any(list) => {
            let each = each(list);
            (
                each.iter().any(|(may, _)| *may),
                each.iter().all(|(_, may_not)| *may_not),
            )
        }
        Predicate::Not(one) => {
            let (may, may_not) = may_hold(network, one, kind);
            (may_not, may)
        }
    }
}
