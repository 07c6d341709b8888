//! Who must be visited in phase 4 of which tick.

use std::collections::BTreeSet;

use crate::tick::Tick;

/// For each tick of the near future, the ranks in the update order that must be visited; and a
/// sorted list for what lies further ahead.
///
/// Visiting a rank that has nothing to do is harmless; missing one is not.
#[derive(Clone, Debug)]
pub(super) struct TurnWheel {
    near: Vec<RankSet>,
    far: BTreeSet<(Tick, u32)>,
}

impl TurnWheel {
    /// A wheel for this many ranks that holds marks up to `reach_ticks` ahead without sorting.
    pub(super) fn new(ranks: usize, reach_ticks: u32) -> Self {
        let length = (reach_ticks as usize + 2).next_power_of_two();
        Self {
            near: vec![RankSet::new(ranks); length],
            far: BTreeSet::new(),
        }
    }

    fn place(&self, tick: Tick) -> usize {
        tick.0 as usize & (self.near.len() - 1)
    }

    /// Marks a rank for a tick, which must not lie before `now`.
    pub(super) fn mark(&mut self, now: Tick, tick: Tick, rank: u32) {
        debug_assert!(tick >= now, "a mark in the past would never be visited");
        if tick - now < self.near.len() as u64 {
            let place = self.place(tick);
            self.near[place].insert(rank);
        } else {
            self.far.insert((tick, rank));
        }
    }

    /// Moves what was far and is due now into reach. To be called at the start of phase 4.
    pub(super) fn bring_near(&mut self, now: Tick) {
        while let Some(&(tick, rank)) = self.far.first() {
            if tick > now {
                break;
            }
            self.far.pop_first();
            let place = self.place(now);
            self.near[place].insert(rank);
        }
    }

    /// Takes out the lowest rank marked for this tick that is at least `from`.
    pub(super) fn take_next(&mut self, now: Tick, from: u32) -> Option<u32> {
        let place = self.place(now);
        self.near[place].take_first_from(from)
    }

    /// The first tick from `now` on for which a rank is marked.
    pub(super) fn next_due(&self, now: Tick) -> Option<Tick> {
        let near = (0..self.near.len() as u64)
            .map(|ahead| now + ahead)
            .find(|tick| !self.near[self.place(*tick)].is_empty());
        let far = self.far.first().map(|(tick, _)| *tick);
        near.into_iter().chain(far).min()
    }
}

/// A set of ranks as bits, with levels of summary bits above, so that finding the next one takes a
/// few steps however sparse the set is.
#[derive(Clone, Debug)]
struct RankSet {
    /// `levels[0]` has a bit a rank; each bit of `levels[n + 1]` says whether a word of
    /// `levels[n]` has any bit.
    levels: Vec<Vec<u64>>,
}

impl RankSet {
    fn new(ranks: usize) -> Self {
        let mut levels = Vec::new();
        let mut words = ranks.max(1);
        loop {
            words = words.div_ceil(64);
            levels.push(vec![0; words]);
            if words == 1 {
                return Self { levels };
            }
        }
    }

    fn is_empty(&self) -> bool {
        self.levels[self.levels.len() - 1][0] == 0
    }

    fn insert(&mut self, rank: u32) {
        let mut index = rank as usize;
        for level in &mut self.levels {
            let was_empty = level[index / 64] == 0;
            level[index / 64] |= 1 << (index % 64);
            if !was_empty {
                return;
            }
            index /= 64;
        }
    }

    fn remove(&mut self, rank: usize) {
        let mut index = rank;
        for level in &mut self.levels {
            level[index / 64] &= !(1 << (index % 64));
            if level[index / 64] != 0 {
                return;
            }
            index /= 64;
        }
    }

    fn take_first_from(&mut self, from: u32) -> Option<u32> {
        let rank = self.first_from(from as usize)?;
        self.remove(rank);
        Some(rank as u32)
    }

    fn first_from(&self, from: usize) -> Option<usize> {
        let mut index = from;
        for (height, level) in self.levels.iter().enumerate() {
            let word = *level.get(index / 64)? & (!0 << (index % 64));
            if word != 0 {
                let mut found = index / 64 * 64 + word.trailing_zeros() as usize;
                for lower in self.levels[..height].iter().rev() {
                    found = found * 64 + lower[found].trailing_zeros() as usize;
                }
                return Some(found);
            }
            index = index / 64 + 1;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rank_set_gives_its_ranks_in_order_whatever_the_order_they_came_in() {
        let mut set = RankSet::new(300_000);
        let mut ranks: Vec<u32> = (0..200).map(|n| (n * 7919) % 300_000).collect();
        for &rank in &ranks {
            set.insert(rank);
        }
        ranks.sort_unstable();
        let mut taken = Vec::new();
        while let Some(rank) = set.take_first_from(0) {
            taken.push(rank);
        }
        assert_eq!(taken, ranks);
        assert!(set.is_empty());
    }

    #[test]
    fn a_search_starts_where_it_is_told() {
        let mut set = RankSet::new(5000);
        set.insert(63);
        set.insert(64);
        set.insert(4999);
        assert_eq!(set.first_from(64), Some(64));
        assert_eq!(set.first_from(65), Some(4999));
        assert_eq!(set.first_from(5000), None);
    }

    #[test]
    fn far_marks_come_near_in_time() {
        let mut wheel = TurnWheel::new(10, 8);
        wheel.mark(Tick(0), Tick(1000), 3);
        wheel.mark(Tick(0), Tick(4), 5);
        assert_eq!(wheel.next_due(Tick(0)), Some(Tick(4)));
        assert_eq!(wheel.take_next(Tick(4), 0), Some(5));
        assert_eq!(wheel.next_due(Tick(5)), Some(Tick(1000)));
        wheel.bring_near(Tick(1000));
        assert_eq!(wheel.take_next(Tick(1000), 0), Some(3));
    }
}
