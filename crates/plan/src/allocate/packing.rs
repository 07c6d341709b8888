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
}

impl Item {
    /// One thing of a size.
    #[must_use]
    pub fn single(size: u64) -> Self {
        Self { size, count: 1 }
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
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_key(|number| std::cmp::Reverse(items[*number].size));
    let mut bins: Vec<(Item, Vec<usize>)> = Vec::new();
    for number in order {
        let item = items[number];
        let fits = |held: &Item| {
            held.size + item.size <= limits.room && held.count + item.count <= limits.count
        };
        match bins.iter_mut().find(|(held, _)| fits(held)) {
            Some((held, numbers)) => {
                held.size += item.size;
                held.count += item.count;
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
