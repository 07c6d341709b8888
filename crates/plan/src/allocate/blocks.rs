//! Goods packed into slices, and slices that must stand next to one another.

use std::collections::BTreeMap;

use hallwright_scenario::Diagnostic;

use super::main_family;
use super::packing::{Item, Limits, fill, first_fit_decreasing, lower_bound};
use super::places::slice_of;
use crate::catalogue::Catalogue;
use crate::hall::{Families, Hall, Slice, Sort};
use crate::ids;

/// Slices next to one another: those of goods that need several, or a single one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Block {
    /// The goods of each.
    pub slices: Vec<Vec<usize>>,
    /// Where the first must stand, counted without what is left out.
    pub first: Option<usize>,
    /// The side on which all of them must stand.
    pub side: Option<u64>,
}

impl Block {
    /// The same, on any side.
    #[must_use]
    pub fn without_side(&self) -> Self {
        Self {
            side: None,
            ..self.clone()
        }
    }
}

/// The goods of one sort of slices.
#[derive(Clone, Copy)]
pub struct Packer<'c> {
    catalogue: &'c Catalogue,
    hall: &'c Hall,
    sort: Sort,
    limits: Limits,
}

/// A slice that is being filled.
struct Bin {
    goods: Vec<usize>,
    held: Item,
    /// The slice, counted without what is left out.
    at: Option<usize>,
    side: Option<u64>,
}

impl<'c> Packer<'c> {
    /// For slices like this one.
    #[must_use]
    pub fn new(catalogue: &'c Catalogue, hall: &'c Hall, sort: Sort, slice: &Slice) -> Self {
        let limits = Limits {
            room: slice.room_stacks,
            count: slice.kinds,
        };
        Self {
            catalogue,
            hall,
            sort,
            limits,
        }
    }

    /// So many slices there must be at least, and so many there would be if families counted for
    /// nothing.
    #[must_use]
    pub fn bounds(&self, goods: &[usize]) -> (usize, usize) {
        let full: usize = goods.iter().map(|good| self.full_slices(*good)).sum();
        let rests: Vec<Item> = goods.iter().map(|good| self.rest(*good)).collect();
        let mixed = full + first_fit_decreasing(&rests, self.limits).len();
        let whole = Item {
            size: self.limits.room,
            ..Item::single(0)
        };
        let all: Vec<Item> = rests
            .into_iter()
            .chain(std::iter::repeat_n(whole, full))
            .collect();
        (lower_bound(&all, self.limits), mixed)
    }

    /// Packs goods: what is wished into a slice or onto a side, and then the rest, which fills those up,
    /// too. Wishes that contradict one another are reported.
    pub fn pack(&self, goods: &[usize], problems: &mut Vec<Diagnostic>) -> Vec<Block> {
        let wish = |good: &usize| self.catalogue.goods[*good].wish;
        let (pinned, free): (Vec<usize>, Vec<usize>) =
            goods.iter().partition(|good| wish(good).slice.is_some());
        let mut bins = self.pinned(&pinned, problems);
        let (sided, free): (Vec<usize>, Vec<usize>) =
            free.iter().partition(|good| wish(good).side.is_some());
        for side in 1..=2 {
            let own = sided.iter().filter(|good| wish(good).side == Some(side));
            let own: Vec<usize> = own.copied().collect();
            let mut new = Vec::new();
            self.add(&own, &mut new);
            for bin in &mut new {
                bin.side = Some(side);
            }
            bins.extend(new);
        }
        self.add(&free, &mut bins);
        bins.into_iter().map(|bin| self.block(bin)).collect()
    }

    /// How many slices goods fill before their last.
    fn full_slices(&self, good: usize) -> usize {
        let stacks = self.catalogue.goods[good].stacks();
        usize::try_from(stacks.div_ceil(self.limits.room) - 1).unwrap_or(usize::MAX)
    }

    /// What goods need in their last slice.
    fn rest(&self, good: usize) -> Item {
        let full = self.full_slices(good);
        Item {
            is_rest: full > 0,
            ..Item::single(self.catalogue.goods[good].stacks() - full as u64 * self.limits.room)
        }
    }

    /// A slice with all that stand before it.
    fn block(&self, bin: Bin) -> Block {
        let large = bin
            .goods
            .iter()
            .copied()
            .find(|good| self.full_slices(*good) > 0);
        let full = large.map_or(0, |good| self.full_slices(good));
        let mut slices: Vec<Vec<usize>> = large
            .into_iter()
            .flat_map(|good| std::iter::repeat_n(vec![good], full))
            .collect();
        let mut goods = bin.goods;
        // Within a slice, goods stand in the order of the catalogue.
        goods.sort_unstable();
        slices.push(goods);
        Block {
            slices,
            first: bin.at.map(|at| at - full),
            side: bin.side,
        }
    }

    /// The slices that goods are wished into.
    fn pinned(&self, goods: &[usize], problems: &mut Vec<Diagnostic>) -> Vec<Bin> {
        let mut bins: BTreeMap<usize, Bin> = BTreeMap::new();
        // Slices that are full of one kind.
        let mut full: BTreeMap<usize, usize> = BTreeMap::new();
        for good in goods.iter().copied() {
            let wished = &self.catalogue.goods[good];
            let number = wished.wish.slice.unwrap_or(1);
            let Some(first) = slice_of(self.hall, self.sort, number) else {
                let name = self.sort.name();
                let message = format!("slice {number} of `{name}` is left out of the hall");
                let problem = Diagnostic::error(ids::BAD_WISH, wished.wish_span, message);
                let help = "wish for another slice, or leave out others".to_owned();
                problems.push(problem.help(help));
                continue;
            };
            let last = first + self.full_slices(good);
            let rest = self.rest(good);
            let held = bins.get(&last).map_or(Item::NOTHING, |bin| bin.held);
            let both = held.with(rest, self.limits);
            let in_the_way = (first..=last)
                .find_map(|slice| full.get(&slice).copied())
                .or_else(|| {
                    let own = if both.is_some() {
                        first..last
                    } else {
                        first..last + 1
                    };
                    bins.range(own)
                        .find_map(|(_, bin)| bin.goods.first().copied())
                });
            if let Some(other) = in_the_way {
                problems.push(self.contradiction(good, other));
                continue;
            }
            full.extend((first..last).map(|slice| (slice, good)));
            let bin = bins.entry(last).or_insert_with(|| Bin {
                goods: Vec::new(),
                held: Item::NOTHING,
                at: Some(last),
                side: None,
            });
            bin.goods.push(good);
            bin.held = both.unwrap_or(held);
            bin.side = bin.side.or(wished.wish.side);
        }
        for bin in bins.values_mut() {
            // Nothing else may come to stand before it.
            bin.held.is_rest = true;
        }
        bins.into_values().collect()
    }

    /// Two kinds that are wished into one slice, which has no room for both.
    fn contradiction(&self, good: usize, other: usize) -> Diagnostic {
        let (good, other) = (&self.catalogue.goods[good], &self.catalogue.goods[other]);
        let message = format!(
            "`{}` has no room in slice {} of `{}`: `{}` is wished there, too",
            good.name,
            good.wish.slice.unwrap_or(1),
            self.sort.name(),
            other.name
        );
        let problem = Diagnostic::error(ids::BAD_WISH, good.wish_span, message);
        let help = format!(
            "a slice has room for {} stacks and {} kinds: wish for another, or leave out its number",
            self.limits.room, self.limits.count
        );
        problem
            .context(other.wish_span, "the other wish")
            .help(help)
    }

    /// Packs more goods into slices that may be there already, family by family.
    fn add(&self, goods: &[usize], bins: &mut Vec<Bin>) {
        let mut pieces: Vec<Vec<usize>> = Vec::new();
        if self.hall.families == Families::Mixed {
            pieces.extend(goods.iter().map(|good| vec![*good]));
        } else {
            self.add_families(goods, bins, &mut pieces);
        }
        // What is left of the slices: no family takes more slices than it needs alone, and goods
        // without a family fill up.
        let every: Vec<usize> = (0..bins.len()).collect();
        for piece in self.add_pieces(&pieces, bins, &every) {
            let held = self.held(&piece);
            bins.push(Bin {
                goods: piece,
                held,
                at: None,
                side: None,
            });
        }
    }

    /// Packs each family by itself, into slices of its own that are there, and into pieces.
    fn add_families(&self, goods: &[usize], bins: &mut [Bin], pieces: &mut Vec<Vec<usize>>) {
        let mut families: BTreeMap<&str, Vec<Vec<usize>>> = BTreeMap::new();
        for good in goods {
            match self.catalogue.goods[*good].family.as_str() {
                "" => pieces.push(vec![*good]),
                family => families.entry(family).or_default().push(vec![*good]),
            }
        }
        for (family, members) in families {
            let is_own = |bin: &Bin| main_family(self.catalogue, &bin.goods) == Some(family);
            let own: Vec<usize> = (0..bins.len()).filter(|at| is_own(&bins[*at])).collect();
            pieces.extend(self.add_pieces(&members, bins, &own));
        }
    }

    /// Puts pieces into some of the slices that are there; returns what fills new ones.
    fn add_pieces(
        &self,
        pieces: &[Vec<usize>],
        bins: &mut [Bin],
        open: &[usize],
    ) -> Vec<Vec<usize>> {
        let held: Vec<Item> = open.iter().map(|at| bins[*at].held).collect();
        let items: Vec<Item> = pieces.iter().map(|piece| self.held(piece)).collect();
        let lists = fill(&held, &items, self.limits);
        let mut lists = lists.into_iter().map(|list| -> Vec<usize> {
            list.into_iter().flat_map(|at| pieces[at].clone()).collect()
        });
        for (at, more) in open.iter().zip(lists.by_ref()) {
            let bin = &mut bins[*at];
            bin.held = bin
                .held
                .with(self.held(&more), self.limits)
                .unwrap_or(bin.held);
            bin.goods.extend(more);
        }
        lists.collect()
    }

    /// What goods need in a slice that they share.
    fn held(&self, goods: &[usize]) -> Item {
        goods.iter().fold(Item::NOTHING, |sum, good| {
            let rest = self.rest(*good);
            Item {
                size: sum.size + rest.size,
                count: sum.count + 1,
                is_rest: sum.is_rest || rest.is_rest,
            }
        })
    }
}
