//! First-fit decreasing, and how few bins there must be at least.

/// What a bin may hold.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limits {
    /// The sum of sizes.
    pub room: u64,
    /// The number of things.
    pub count: usize,
}

/// Something to be packed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Item {
    /// Its size; no bin can take more than its room.
    pub size: u64,
    /// For how many things it counts.
    pub count: usize,
    /// Whether it is the rest of something that fills bins of its own: a bin takes one such rest, so that
    /// its other bins can stand beside it.
    pub is_rest: bool,
}

impl Item {
    /// One thing of a size.
    #[must_use]
    pub fn single(size: u64) -> Self {
        Self {
            size,
            count: 1,
            is_rest: false,
        }
    }

    /// Nothing: an empty bin.
    pub const NOTHING: Self = Self {
        size: 0,
        count: 0,
        is_rest: false,
    };

    /// Both together, if a bin may hold that.
    #[must_use]
    pub fn with(self, other: Self, limits: Limits) -> Option<Self> {
        let both = Self {
            size: self.size + other.size,
            count: self.count + other.count,
            is_rest: self.is_rest || other.is_rest,
        };
        let fits = both.size <= limits.room && both.count <= limits.count;
        (fits && !(self.is_rest && other.is_rest)).then_some(both)
    }
}

/// Packs things into bins by first-fit decreasing: the largest first, those of one size in their
/// order, each into the first bin with room. Returns the numbers of the things in each bin.
///
/// # Complexity
///
/// Time: *O(things × bins)*. What is larger than a bin gets one of its own.
#[must_use]
pub fn first_fit_decreasing(items: &[Item], limits: Limits) -> Vec<Vec<usize>> {
    fill(&[], items, limits)
}

/// As [`first_fit_decreasing`], where some bins hold something already: what comes into those is returned
/// first, in their order.
#[must_use]
pub fn fill(opened: &[Item], items: &[Item], limits: Limits) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_key(|number| std::cmp::Reverse(items[*number].size));
    let mut bins: Vec<(Item, Vec<usize>)> = opened.iter().map(|held| (*held, Vec::new())).collect();
    for number in order {
        let item = items[number];
        let found = bins
            .iter_mut()
            .find_map(|(held, numbers)| Some((held.with(item, limits)?, held, numbers)));
        match found {
            Some((both, held, numbers)) => {
                *held = both;
                numbers.push(number);
            }
            None => bins.push((item, vec![number])),
        }
    }
    bins.into_iter().map(|(_, numbers)| numbers).collect()
}

/// How few bins can do: as many as the sum of sizes fills, and as many as the number of things
/// needs.
#[must_use]
pub fn lower_bound(items: &[Item], limits: Limits) -> usize {
    let size: u64 = items.iter().map(|item| item.size).sum();
    let count: usize = items.iter().map(|item| item.count).sum();
    let by_room = usize::try_from(size.div_ceil(limits.room.max(1))).unwrap_or(usize::MAX);
    by_room.max(count.div_ceil(limits.count.max(1)))
}
