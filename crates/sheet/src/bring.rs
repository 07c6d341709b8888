//! What to bring: blocks by sort, and goods that something holds at the start.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::slot::Filling;
use hallwright_declared::declarations::Declarations;

use crate::{PlacedPiece, Sort};

/// What to bring to build something.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Bring {
    /// How many blocks of each sort. A double chest is two blocks; what is taken at its word counts once,
    /// however large its box is. Streams, mouths, benches and docks are not among them: nothing is placed.
    pub blocks: BTreeMap<Sort, u64>,
    /// How many blocks of water are poured.
    pub water_sources: u64,
    /// The goods that are there from the start, by who holds them and by kind.
    pub goods: BTreeMap<(HeldBy, KindId), u64>,
}

/// By what goods are held at the start.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum HeldBy {
    /// A sieve: what it filters, and what fills it up.
    Sieve,
    /// Anything else; a box that holds something is among it, with what it holds under [`Self::Box`].
    Other,
    /// A box.
    Box,
}

/// Goods to bring, as lists have them.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct GoodsToBring {
    /// By what they are held.
    pub held_by: HeldBy,
    /// What.
    pub kind: KindId,
    /// Whether it is a box.
    pub is_box: bool,
    /// How many, at least 1.
    pub count: u64,
}

impl Bring {
    /// What one piece takes, wherever its blocks are.
    pub(crate) fn of_piece(
        network: &Network,
        declarations: &Declarations,
        placed: &PlacedPiece,
    ) -> Self {
        let mut bring = Self::default();
        let blocks = match placed.sort {
            sort if sort.is_taken_at_its_word() => 1,
            _ => placed.piece.blocks.len() as u64,
        };
        bring.add_blocks(placed.sort, blocks);
        bring.water_sources = placed.sources.len() as u64;
        let sieves: BTreeSet<_> = declarations.sieves.iter().copied().collect();
        let is_sieve = placed.part.is_some_and(|part| sieves.contains(&part));
        bring.add_contents(network, &placed.piece.contents, is_sieve);
        bring
    }

    /// Adds blocks, unless nothing is placed for them.
    pub(crate) fn add_blocks(&mut self, sort: Sort, blocks: u64) {
        if !sort.is_left_open() && sort != Sort::Stream && blocks > 0 {
            *self.blocks.entry(sort).or_default() += blocks;
        }
    }

    /// Adds what something holds.
    pub(crate) fn add_contents(&mut self, network: &Network, held: &[Filling], is_sieve: bool) {
        let held_by = if is_sieve {
            HeldBy::Sieve
        } else {
            HeldBy::Other
        };
        for filling in held {
            let count = u64::from(filling.count);
            *self.goods.entry((held_by, filling.kind)).or_default() += count;
            if network.kind(filling.kind).is_box {
                for inner in &filling.contents {
                    let in_all = u64::from(inner.count) * count;
                    *self.goods.entry((HeldBy::Box, inner.kind)).or_default() += in_all;
                }
            }
        }
    }

    /// Adds all of another.
    pub(crate) fn add(&mut self, other: &Self) {
        for (sort, count) in &other.blocks {
            *self.blocks.entry(*sort).or_default() += count;
        }
        self.water_sources += other.water_sources;
        for (which, count) in &other.goods {
            *self.goods.entry(*which).or_default() += count;
        }
    }

    /// The goods as a list: of sieves first, then of everything else, then of boxes.
    pub fn goods_of<'a>(
        &'a self,
        kinds: &'a [hallwright_core::goods::Kind],
    ) -> impl Iterator<Item = GoodsToBring> + 'a {
        self.goods
            .iter()
            .map(|((held_by, kind), count)| GoodsToBring {
                held_by: *held_by,
                kind: *kind,
                is_box: kinds[kind.index()].is_box,
                count: *count,
            })
    }
}
