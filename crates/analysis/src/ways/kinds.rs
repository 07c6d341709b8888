//! Which kinds can go where: selectors part them by what they take.

use fixedbitset::FixedBitSet;
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Selector;
use hallwright_core::predicate::Predicate;
use petgraph::Direction;

use super::{Way, WayKind, Ways};

/// A set of kinds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindSet(FixedBitSet);

impl KindSet {
    /// No kind of so many.
    #[must_use]
    pub fn none(kinds: usize) -> Self {
        Self(FixedBitSet::with_capacity(kinds))
    }

    /// All kinds, of so many, that satisfy a condition.
    pub fn of(kinds: usize, holds: impl Fn(KindId) -> bool) -> Self {
        let mut set = Self::none(kinds);
        for kind in (0..kinds).map(KindId::from_index) {
            set.0.set(kind.index(), holds(kind));
        }
        set
    }

    /// Adds a kind.
    ///
    /// # Panics
    ///
    /// If it is none of the kinds that the set was made for.
    pub fn insert(&mut self, kind: KindId) {
        self.0.insert(kind.index());
    }

    /// Whether a kind is in it.
    #[must_use]
    pub fn contains(&self, kind: KindId) -> bool {
        self.0.contains(kind.index())
    }

    /// Whether no kind is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_clear()
    }

    /// The kinds in it, in order.
    pub fn iter(&self) -> impl Iterator<Item = KindId> {
        self.0.ones().map(KindId::from_index)
    }

    /// Whether any kind in it is in the other as well; of no other, whether any is in it.
    #[must_use]
    pub fn meets(&self, other: Option<&KindSet>) -> bool {
        match other {
            Some(other) => !self.0.is_disjoint(&other.0),
            None => !self.is_empty(),
        }
    }

    /// Takes in what is in both others, if there is a second one; whether that was any news.
    pub fn take_in(&mut self, other: &KindSet, through: Option<&KindSet>) -> bool {
        if other.0.is_subset(&self.0) {
            return false;
        }
        let mut news = other.0.clone();
        if let Some(through) = through {
            news.intersect_with(&through.0);
        }
        let is_news = !news.is_subset(&self.0);
        self.0.union_with(&news);
        is_news
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
    let (mut matches, mut rest) = (KindSet::none(kinds), KindSet::none(kinds));
    for kind in (0..kinds).map(KindId::from_index) {
        let (may, may_not) = may_hold(network, &selector.takes, kind);
        matches.0.set(kind.index(), may);
        rest.0.set(kind.index(), may_not);
    }
    (matches, rest)
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
