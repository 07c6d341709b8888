//! The slices of one sort, and what lies in each.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::Catalogue;

/// The slices of one sort.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Line {
    /// The goods of each slice, as numbers in the catalogue; the slice nearest the input first. One
    /// without goods is a free place between the others. Goods that need several slices are in each of
    /// them, and those stand next to one another.
    pub slices: Vec<Vec<usize>>,
    /// How many stacks of each of its goods lie in a slice, in the same order.
    pub stacks: Vec<Vec<u64>>,
    /// So many slices there must be at least.
    pub lower_bound: usize,
    /// So many there would be if families counted for nothing.
    pub without_families: usize,
    /// Whether the line continues one that is built: then its free places are the reserve that is left.
    pub is_kept: bool,
}

impl Line {
    /// A line with these slices, for goods in slices with so much room.
    #[must_use]
    pub fn new(catalogue: &Catalogue, slices: Vec<Vec<usize>>, room_stacks: u64) -> Self {
        let stacks = stacks(catalogue, &slices, room_stacks);
        Self {
            slices,
            stacks,
            ..Self::default()
        }
    }

    /// How many slices are in use.
    #[must_use]
    pub fn used(&self) -> usize {
        self.slices.iter().filter(|goods| !goods.is_empty()).count()
    }

    /// How many slices in use more than the lower bound.
    #[must_use]
    pub fn distance(&self) -> usize {
        self.used().saturating_sub(self.lower_bound)
    }

    /// How many kinds there are.
    #[must_use]
    pub fn kinds(&self) -> usize {
        self.slices.iter().flatten().collect::<BTreeSet<_>>().len()
    }

    /// How many slices are built if so many are wished to be free.
    #[must_use]
    pub fn built(&self, reserve: u64) -> u64 {
        let laid = self.slices.len() as u64;
        if self.is_kept {
            laid
        } else {
            laid.max(self.used() as u64 + reserve)
        }
    }

    /// How many stacks of goods are meant to lie in a slice: its first slices are full of it, the rest
    /// is in its last one. None if they do not belong there.
    #[must_use]
    pub fn stacks_in(&self, slice: usize, good: usize) -> u64 {
        let at = self.slices[slice].iter().position(|number| *number == good);
        at.map_or(0, |at| self.stacks[slice][at])
    }

    /// How many stacks are meant to lie in a slice.
    #[must_use]
    pub fn stacks_of(&self, slice: usize) -> u64 {
        self.stacks[slice].iter().sum()
    }

    /// Whether a slice is the first of its goods: there they come to first.
    #[must_use]
    pub fn is_first(&self, slice: usize, good: usize) -> bool {
        slice == 0 || !self.slices[slice - 1].contains(&good)
    }

    /// Whether goods that find a slice full come to another slice of their kind.
    #[must_use]
    pub fn goes_on(&self, slice: usize) -> bool {
        let next = self.slices.get(slice + 1);
        next.is_some_and(|next| next.iter().any(|good| self.slices[slice].contains(good)))
    }

    /// The slices of goods, which stand next to one another.
    #[must_use]
    pub fn slices_of(&self, good: usize) -> std::ops::Range<usize> {
        let mut with = (0..self.slices.len()).filter(|slice| self.slices[*slice].contains(&good));
        let first = with.next().unwrap_or(0);
        let count = usize::from(!self.slices.is_empty() && self.slices[first].contains(&good));
        first..first + count + with.count()
    }
}

/// How many stacks of each of its goods lie in a slice. What has one slice lies there; what has several
/// fills up one after the other, and whatever is left is in the last, even if that is too much for it. The
/// order of filters in a slice makes no difference.
pub(super) fn stacks(
    catalogue: &Catalogue,
    slices: &[Vec<usize>],
    room_stacks: u64,
) -> Vec<Vec<u64>> {
    // What is left of goods, and in how many slices more.
    let mut left: BTreeMap<usize, (u64, usize)> = BTreeMap::new();
    for good in slices.iter().flatten() {
        let needed = catalogue.goods[*good].stacks();
        left.entry(*good).or_insert((needed, 0)).1 += 1;
    }
    let each = slices.iter().map(|goods| {
        let mut order: Vec<usize> = (0..goods.len()).collect();
        // First what has to lie here, since no slice of it follows.
        order.sort_by_key(|at| {
            let follow = left[&goods[*at]].1 - 1;
            (follow, catalogue.goods[goods[*at]].name.as_str())
        });
        let mut room = room_stacks;
        let mut stacks = vec![0; goods.len()];
        for at in order {
            if let Some((needed, slices)) = left.get_mut(&goods[at]) {
                *slices -= 1;
                let here = if *slices == 0 {
                    *needed
                } else {
                    (*needed).min(room)
                };
                *needed -= here;
                room = room.saturating_sub(here);
                stacks[at] = here;
            }
        }
        stacks
    });
    each.collect()
}
