//! Which kinds can go where: selectors part them by what they take.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Selector;
use hallwright_core::predicate::Predicate;
use petgraph::Direction;

use super::{Way, WayKind, Ways};

/// A set of kinds. Each node of a network has one, and most networks handle few kinds: up to 64 need no allocation.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindSet {
    /// The first 64 kinds, a bit for each.
    first: u64,
    /// All others, by 64.
    further: Box<[u64]>,
}

/// So many kinds are in a word.
const WORD: usize = u64::BITS as usize;

impl KindSet {
    /// No kind of so many.
    #[must_use]
    pub fn none(kinds: usize) -> Self {
        let further = kinds.div_ceil(WORD).saturating_sub(1);
        Self {
            first: 0,
            further: vec![0; further].into(),
        }
    }

    /// All kinds, of so many, that satisfy a condition.
    pub fn of(kinds: usize, holds: impl Fn(KindId) -> bool) -> Self {
        let mut set = Self::none(kinds);
        let all = (0..kinds).map(KindId::from_index);
        all.filter(|kind| holds(*kind))
            .for_each(|kind| set.insert(kind));
        set
    }

    /// Adds a kind.
    ///
    /// # Panics
    ///
    /// If it is far beyond the kinds that the set was made for.
    pub fn insert(&mut self, kind: KindId) {
        let (word, bit) = (kind.index() / WORD, kind.index() % WORD);
        let word = match word.checked_sub(1) {
            None => &mut self.first,
            Some(further) => &mut self.further[further],
        };
        *word |= 1 << bit;
    }

    /// Whether a kind is in it.
    #[must_use]
    pub fn contains(&self, kind: KindId) -> bool {
        let (word, bit) = (kind.index() / WORD, kind.index() % WORD);
        let word = match word.checked_sub(1) {
            None => Some(&self.first),
            Some(further) => self.further.get(further),
        };
        word.is_some_and(|word| word & (1 << bit) != 0)
    }

    /// Whether no kind is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.words().all(|word| word == 0)
    }

    /// The kinds in it, in order.
    pub fn iter(&self) -> impl Iterator<Item = KindId> {
        self.words().enumerate().flat_map(|(number, mut left)| {
            std::iter::from_fn(move || {
                let bit = (left != 0).then(|| left.trailing_zeros() as usize)?;
                left &= left - 1;
                Some(KindId::from_index(number * WORD + bit))
            })
        })
    }

    /// Whether any kind in it is in the other as well; of no other, whether any is in it.
    #[must_use]
    pub fn meets(&self, other: Option<&KindSet>) -> bool {
        match other {
            Some(other) => self
                .words()
                .zip(other.words())
                .any(|(one, two)| one & two != 0),
            None => !self.is_empty(),
        }
    }

    /// Takes in what is in both others, if there is a second one; whether that was any news. All three are of equally
    /// many kinds.
    pub fn take_in(&mut self, other: &KindSet, through: Option<&KindSet>) -> bool {
        let mut is_news = false;
        let mut take = |own: &mut u64, other: u64, through: u64| {
            is_news |= other & through & !*own != 0;
            *own |= other & through;
        };
        let first = through.map_or(u64::MAX, |through| through.first);
        take(&mut self.first, other.first, first);
        for (number, own) in self.further.iter_mut().enumerate() {
            let through = through.map_or(u64::MAX, |through| through.further[number]);
            take(own, other.further[number], through);
        }
        is_news
    }

    fn words(&self) -> impl Iterator<Item = u64> {
        std::iter::once(self.first).chain(self.further.iter().copied())
    }
}

/// The ways of a network with the kinds that each can carry.
#[derive(Clone, Debug)]
pub struct KindWays {
    ways: Ways,
    /// For each way, the kinds that can go along it; `None` for all.
    carried: Vec<Option<KindSet>>,
    kinds: usize,
}

impl KindWays {
    /// Those of a network.
    #[must_use]
    pub fn new(network: &Network) -> Self {
        let ways = Ways::new(network);
        let mut carried = vec![None; ways.count()];
        for (id, part) in network.parts() {
            let Some(selector) = part.selector() else {
                continue;
            };
            let (matches, rest) = parted(network, selector);
            for way in ways.at(id.index(), Direction::Outgoing) {
                if way.by != Some(id) {
                    continue;
                }
                if way.kind == WayKind::Match {
                    carried[way.number] = Some(matches.clone());
                } else if way.kind == WayKind::Rest {
                    carried[way.number] = Some(rest.clone());
                }
            }
        }
        Self {
            ways,
            carried,
            kinds: network.kinds().len(),
        }
    }

    /// The ways.
    #[must_use]
    pub fn ways(&self) -> &Ways {
        &self.ways
    }

    /// The kinds that a way can carry; `None` for all.
    #[must_use]
    pub fn carried(&self, way: &Way) -> Option<&KindSet> {
        self.carried[way.number].as_ref()
    }

    /// Whether a way can carry a kind.
    #[must_use]
    pub fn carries(&self, way: &Way, kind: KindId) -> bool {
        self.carried(way).is_none_or(|kinds| kinds.contains(kind))
    }

    /// For each node, whether items of a kind can come there from some parts, going along no way into
    /// a node of those that are barred (as seen from the starts, which are never barred). What such
    /// items may be packed in is followed too.
    #[must_use]
    pub fn reached_by(
        &self,
        kind: KindId,
        starts: &[PartId],
        bars: impl Fn(usize) -> bool,
    ) -> Vec<bool> {
        let starts = starts.iter().copied();
        self.ways.reached(starts, Direction::Outgoing, |way| {
            self.carries(way, kind) && !bars(way.to)
        })
    }

    /// For each node, the kinds that can ever be there, given those that are there at first.
    #[must_use]
    pub fn spread(&self, mut present: Vec<KindSet>) -> Vec<KindSet> {
        let is_filled = |node: &usize| !present[*node].is_empty();
        let changed: Vec<usize> = (0..present.len()).filter(is_filled).collect();
        self.settle(&mut present, changed, Direction::Outgoing);
        present
    }

    /// For each node, the kinds that can come from there into one of the `goals` from outside of
    /// them, of those that are wanted.
    #[must_use]
    pub fn reaching(&self, goals: &[bool], wanted: &KindSet) -> Vec<KindSet> {
        let mut reach = vec![KindSet::none(self.kinds); self.ways.node_count()];
        let mut changed: Vec<usize> = Vec::new();
        for way in self.ways.iter() {
            let is_entry = goals[way.to] && !goals[way.from];
            if is_entry && reach[way.from].take_in(wanted, self.carried(way)) {
                changed.push(way.from);
            }
        }
        self.settle(&mut reach, changed, Direction::Incoming);
        reach
    }

    /// Hands the kinds of each changed node on along the ways, until nothing is news any more.
    fn settle(&self, sets: &mut [KindSet], mut changed: Vec<usize>, direction: Direction) {
        while let Some(node) = changed.pop() {
            let here = sets[node].clone();
            for way in self.ways.at(node, direction) {
                let end = way.end(direction);
                if sets[end].take_in(&here, self.carried(way)) {
                    changed.push(end);
                }
            }
        }
    }
}

/// The kinds of which an item may match a selector, and those of which one may not.
fn parted(network: &Network, selector: &Selector) -> (KindSet, KindSet) {
    let kinds = network.kinds().len();
    let holds = |kind: KindId| may_hold(network, &selector.takes, kind);
    (
        KindSet::of(kinds, |kind| holds(kind).0),
        KindSet::of(kinds, |kind| holds(kind).1),
    )
}

/// Whether a condition may hold for an item of this kind, and whether it may not.
fn may_hold(network: &Network, predicate: &Predicate, kind: KindId) -> (bool, bool) {
    let surely = |holds: bool| (holds, !holds);
    let is_box = network.kind(kind).is_box;
    let of = |one: &Predicate| may_hold(network, one, kind);
    match predicate {
        Predicate::Kinds(list) => surely(list.contains(&kind)),
        Predicate::Box => surely(is_box),
        Predicate::BoxOf(_) | Predicate::BoxFull | Predicate::BoxEmpty => (is_box, true),
        Predicate::Single => surely(network.kind(kind).stack_limit == StackLimit::One),
        Predicate::All(list) => list
            .iter()
            .map(of)
            .fold((true, false), |all, one| (all.0 && one.0, all.1 || one.1)),
        Predicate::Any(list) => list
            .iter()
            .map(of)
            .fold((false, true), |any, one| (any.0 || one.0, any.1 && one.1)),
        Predicate::Not(one) => {
            let (may, may_not) = of(one);
            (may_not, may)
        }
    }
}
