//! Which goods can come where, and how many there ever are.

use hallwright_analysis::incoming::incoming;
use hallwright_analysis::ways::{KindSet, KindWays};
use hallwright_core::id::{KindId, PartId};

use super::Design;

/// So many pairs of a part and a kind are looked at; a larger design is left alone, for a warning is
/// not worth its memory.
const MOST_PAIRS: usize = 400_000_000;

/// Which goods can come where. What a sieve holds at the start is taken to stay there.
pub(super) struct Comes {
    /// The ways of the goods.
    pub(super) ways: KindWays,
    /// For each node of the ways, the kinds that can come there or are there from the start.
    present: Vec<KindSet>,
}

impl Comes {
    /// Follows every kind from wherever it is at the start or comes in; `None` if the design is too
    /// large.
    pub(super) fn new(design: &Design<'_>, ways: KindWays) -> Option<Self> {
        let network = design.network;
        let kinds = network.kinds().len();
        if kinds.saturating_mul(network.part_count()) > MOST_PAIRS {
            return None;
        }
        let boxes = ways.ways().boxes();
        let mut present = vec![KindSet::none(kinds); ways.ways().node_count()];
        let is_sieve = |part: PartId| design.is_sieve(part);
        for comes in incoming(network, is_sieve, design.actions.iter().copied()) {
            present[comes.part.index()].insert(comes.kind);
            for inner in comes.contents {
                present[boxes].insert(inner.kind);
            }
        }
        Some(Self {
            present: ways.spread(present),
            ways,
        })
    }

    /// The kinds that can come to a part, or are there from the start.
    pub(super) fn at(&self, part: PartId) -> &KindSet {
        &self.present[part.index()]
    }
}

/// How many items of each kind there are in all, those in boxes and those delivered too.
pub(super) fn items_of_each_kind(design: &Design<'_>) -> Vec<u64> {
    let mut items = vec![0_u64; design.network.kinds().len()];
    let mut put = |kind: KindId, count: u64| {
        let sum = &mut items[kind.index()];
        *sum = sum.saturating_add(count);
    };
    for comes in incoming(design.network, |_| false, design.actions.iter().copied()) {
        put(comes.kind, comes.count);
        for inner in comes.contents {
            put(inner.kind, comes.count.saturating_mul(inner.count.into()));
        }
    }
    items
}
