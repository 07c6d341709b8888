//! What one place after the other along a line is for: a slice in use, one kept free, or none.

use std::collections::BTreeSet;

use crate::allocate::Allocation;
use crate::allocate::places::is_left_out;
use crate::hall::{Hall, Sort};
use crate::written::Growth;

/// What one place along a line is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Place {
    /// The slice in use of this number, from 0.
    Used(usize),
    /// Kept free for goods to come: its line is built, its filters and chests are not.
    Free,
    /// Left out of the pattern; the line goes past.
    LeftOut,
}

/// The line of one sort.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FittedLine {
    /// The sort.
    pub sort: Sort,
    /// How many slices are in use.
    pub used: u64,
    /// How many are wished to be free.
    pub reserve: u64,
    /// Every place that is built, from the input on.
    pub places: Vec<Place>,
    /// The slices of which the first kind is the last one of the slice before: they are filled one after the other, and
    /// stand in one line.
    pub linked: BTreeSet<usize>,
}

impl FittedLine {
    /// How many places are of a sort.
    fn count(&self, is_meant: impl Fn(&Place) -> bool) -> u64 {
        self.places.iter().filter(|place| is_meant(place)).count() as u64
    }

    /// The place of a slice, from 0 at the beginning of the line.
    #[must_use]
    pub fn place_of(&self, slice: usize) -> Option<usize> {
        self.places
            .iter()
            .position(|place| *place == Place::Used(slice))
    }

    /// How many slices are free.
    #[must_use]
    pub fn free(&self) -> u64 {
        self.count(|place| *place == Place::Free)
    }

    /// How many places are left out.
    #[must_use]
    pub fn left_out(&self) -> u64 {
        self.count(|place| *place == Place::LeftOut)
    }
}

/// The lines of those sorts that the hall has, with so many tenths of the reserve.
#[must_use]
pub fn fit(allocation: &Allocation, hall: &Hall, reserve_tenths: u64) -> Vec<FittedLine> {
    let total_kinds: usize = allocation.lines.iter().map(|line| line.kinds()).sum();
    let sorts = Sort::ALL
        .into_iter()
        .filter(|sort| hall.slice(*sort).is_some());
    sorts
        .map(|sort| {
            let line = &allocation.lines[sort.index()];
            let used = line.used() as u64;
            let reserve = reserve(hall, sort, used, total_kinds);
            let built = line.built(reserve * reserve_tenths / 10);
            FittedLine {
                sort,
                used,
                reserve,
                places: places(hall, sort, &line.slices, built),
                linked: linked(&line.slices),
            }
        })
        .collect()
}

/// The slices that go on with a kind of the slice before.
fn linked(slices: &[Vec<usize>]) -> BTreeSet<usize> {
    let pairs = slices.windows(2).enumerate();
    let shares = |one: &[usize], next: &[usize]| next.iter().any(|good| one.contains(good));
    let linked = pairs.filter(|(_, pair)| shares(&pair[0], &pair[1]));
    linked.map(|(at, _)| at + 1).collect()
}

/// So many slices of a sort may be wished to be free: a hall of any number of them would fill the memory.
pub const MOST_FREE: u64 = 10_000;

/// Whether more slices of any sort are wished to be free than may be.
#[must_use]
pub fn has_too_many_free(allocation: &Allocation, hall: &Hall) -> bool {
    let kinds: usize = allocation.lines.iter().map(|line| line.kinds()).sum();
    let wished = |sort: Sort| {
        let used = allocation.lines[sort.index()].used() as u64;
        reserve(hall, sort, used, kinds)
    };
    Sort::ALL.into_iter().any(|sort| wished(sort) > MOST_FREE)
}

/// How many slices of a sort are wished to be free. One more than [`MOST_FREE`] stands for all that is too many.
#[must_use]
pub fn reserve(hall: &Hall, sort: Sort, used: u64, total_kinds: usize) -> u64 {
    // The wing of boxes grows at its end; nothing is built of it before.
    if hall
        .slice(sort)
        .is_some_and(|slice| slice.box_levels.is_some())
    {
        return 0;
    }
    let wished = match hall.growth {
        Growth::Share(share) => (used as f64 * share.value).ceil() as u64,
        Growth::Slices(slices) => slices[sort.index()],
        // New kinds divide among the sorts as those of today do, and fill slices alike.
        Growth::NewKinds(a_year, years) => {
            (a_year.value * years.value * used).div_ceil(total_kinds.max(1) as u64)
        }
    };
    wished.min(MOST_FREE + 1)
}

/// So many places of one line: what is in use, then the reserve, with what is left out in between.
#[must_use]
pub fn places(hall: &Hall, sort: Sort, slices: &[Vec<usize>], built: u64) -> Vec<Place> {
    let reserve = built.saturating_sub(slices.len() as u64);
    let of_slices = slices.iter().enumerate().map(|(number, goods)| {
        if goods.is_empty() {
            Place::Free
        } else {
            Place::Used(number)
        }
    });
    let mut wanted = of_slices.chain((0..reserve).map(|_| Place::Free));
    let mut places = Vec::new();
    let mut next = wanted.next();
    while let Some(place) = next {
        if is_left_out(hall, sort, places.len() as u64 + 1) {
            places.push(Place::LeftOut);
        } else {
            places.push(place);
            next = wanted.next();
        }
    }
    places
}
