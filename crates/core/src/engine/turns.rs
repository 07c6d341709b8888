//! Who must be visited in phase 4 of which tick.

use std::collections::BTreeSet;

use crate::tick::Tick;

/// For each tick of the near future, the ranks in the update order that must be visited; and a
/// sorted list for what lies further ahead.
///
/// The ranks of a tick are a set of bits, with levels of summary bits above, so that finding the next
/// one takes a few steps however sparse the set is. Visiting a rank that has nothing to do is
/// harmless; missing one is not.
#[derive(Clone, Debug)]
pub(super) struct TurnWheel {
    /// `levels[0]` has a bit a rank; each bit of `levels[n + 1]` says whether a word of `levels[n]`
    /// has any bit. The topmost has one word a tick.
    levels: Vec<Level>,
    /// How many ticks are near: a power of two.
    near_ticks: usize,
    far: BTreeSet<(Tick, u32)>,
}

/// One level of the bits of all near ticks, those of one tick after those of another.
#[derive(Clone, Debug)]
struct Level {
    words: Vec<u64>,
    words_per_tick: usize,
}

impl TurnWheel {
    /// A wheel for this many ranks that holds marks up to `reach_ticks` ahead without sorting.
    pub(super) fn new(ranks: usize, reach_ticks: u32) -> Self {
        let near_ticks = (reach_ticks as usize + 2).next_power_of_two();
        let mut levels = Vec::new();
        let mut words_per_tick = ranks.max(1);
        loop {
            words_per_tick = words_per_tick.div_ceil(64);
            levels.push(Level {
                words: vec![0; words_per_tick * near_ticks],
                words_per_tick,
            });
            if words_per_tick == 1 {
                return Self {
                    levels,
                    near_ticks,
                    far: BTreeSet::new(),
                };
            }
        }
    }

    fn place(&self, tick: Tick) -> usize {
        tick.0 as usize & (self.near_ticks - 1)
    }

    /// Marks a rank for a tick, which must not lie before `now`.
    pub(super) fn mark(&mut self, now: Tick, tick: Tick, rank: u32) {
        debug_assert!(tick >= now, "a mark in the past would never be visited");
        if tick - now < self.near_ticks as u64 {
            self.insert(self.place(tick), rank);
        } else {
            self.far.insert((tick, rank));
        }
    }

    fn insert(&mut self, place: usize, rank: u32) {
        let mut index = rank as usize;
        for level in &mut self.levels {
            let word = &mut level.words[place * level.words_per_tick + index / 64];
            let was_empty = *word == 0;
            *word |= 1 << (index % 64);
            if !was_empty {
                return;
            }
            index /= 64;
        }
    }

    /// Moves what was far and is due now into reach. To be called at the start of phase 4.
    pub(super) fn bring_near(&mut self, now: Tick) {
        while let Some(&(tick, rank)) = self.far.first() {
            if tick > now {
                break;
            }
            self.far.pop_first();
            self.insert(self.place(now), rank);
        }
    }

    /// Takes out the lowest rank marked for this tick that is at least `from`.
    pub(super) fn take_next(&mut self, now: Tick, from: u32) -> Option<u32> {
        let place = self.place(now);
        let ranks = &mut self.levels[0];
        let at = place * ranks.words_per_tick + from as usize / 64;
        // Most often the next one is in the same word, and leaves others there.
        if from as usize / 64 < ranks.words_per_tick {
            let word = &mut ranks.words[at];
            let ahead = *word & (!0 << (from % 64));
            let lowest = ahead & ahead.wrapping_neg();
            if lowest != 0 && *word != lowest {
                *word ^= lowest;
                return Some((from & !63) + lowest.trailing_zeros());
            }
        }
        self.take_from_levels(place, from as usize)
    }

    fn take_from_levels(&mut self, place: usize, from: usize) -> Option<u32> {
        let rank = self.first_from(place, from)?;
        let mut index = rank;
        for level in &mut self.levels {
            let word = &mut level.words[place * level.words_per_tick + index / 64];
            *word &= !(1 << (index % 64));
            if *word != 0 {
                break;
            }
            index /= 64;
        }
        Some(rank as u32)
    }

    fn first_from(&self, place: usize, from: usize) -> Option<usize> {
        let mut index = from;
        for (height, level) in self.levels.iter().enumerate() {
            if index / 64 >= level.words_per_tick {
                return None;
            }
            let word =
                level.words[place * level.words_per_tick + index / 64] & (!0 << (index % 64));
            if word != 0 {
                let mut found = index / 64 * 64 + word.trailing_zeros() as usize;
                for lower in self.levels[..height].iter().rev() {
                    let word = lower.words[place * lower.words_per_tick + found];
                    found = found * 64 + word.trailing_zeros() as usize;
                }
                return Some(found);
            }
            index = index / 64 + 1;
        }
        None
    }

    fn is_empty(&self, place: usize) -> bool {
        self.levels.last().is_none_or(|top| top.words[place] == 0)
    }

    /// The first tick from `now` on for which a rank is marked.
    pub(super) fn next_due(&self, now: Tick) -> Option<Tick> {
        let near = (0..self.near_ticks as u64)
            .map(|ahead| now + ahead)
            .find(|tick| !self.is_empty(self.place(*tick)));
        let far = self.far.first().map(|(tick, _)| *tick);
        near.into_iter().chain(far).min()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ranks_of_a_tick_come_in_order_whatever_the_order_they_were_marked_in() {
        let mut wheel = TurnWheel::new(300_000, 8);
        let mut ranks: Vec<u32> = (0..200).map(|n| (n * 7919) % 300_000).collect();
        for &rank in &ranks {
            wheel.mark(Tick(3), Tick(5), rank);
        }
        ranks.sort_unstable();
        assert_eq!(wheel.next_due(Tick(3)), Some(Tick(5)));
        let mut taken = Vec::new();
        while let Some(rank) = wheel.take_next(Tick(5), 0) {
            taken.push(rank);
        }
        assert_eq!(taken, ranks);
        assert_eq!(wheel.next_due(Tick(3)), None);
    }

    #[test]
    fn a_search_starts_where_it_is_told() {
        let mut wheel = TurnWheel::new(5000, 8);
        for rank in [3, 63, 64, 4999] {
            wheel.mark(Tick(0), Tick(0), rank);
        }
        assert_eq!(wheel.take_next(Tick(0), 4), Some(63));
        assert_eq!(wheel.take_next(Tick(0), 65), Some(4999));
        assert_eq!(wheel.take_next(Tick(0), 5000), None);
        assert_eq!(wheel.take_next(Tick(0), 0), Some(3));
        assert_eq!(wheel.take_next(Tick(0), 4), Some(64));
        assert_eq!(wheel.next_due(Tick(0)), None);
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
