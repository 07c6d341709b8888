//! Who must be visited in phase 4 of which tick.

use std::collections::BTreeSet;

use crate::tick::Tick;

/// How many ticks are near: enough for the cooldowns of the default rules.
const NEAR_TICKS: usize = 16;
/// How many ranks have their marks together.
const GROUP: usize = 32;

/// For each near tick, the ranks in the update order that must be visited; and a sorted list for
/// what lies further ahead.
///
/// The ranks of a tick are a set of bits, with a summary above, so that finding the next one takes a
/// few steps however sparse the set is. Visiting a rank that has nothing to do is harmless; missing
/// one is not.
#[derive(Clone, Debug)]
pub(super) struct TurnWheel {
    groups: Vec<Group>,
    /// For each near tick a bit a group: whether any of its ranks may be marked.
    summary: Vec<u64>,
    summary_words_per_tick: usize,
    /// A bit for each near tick: whether any rank may be marked.
    marked_ticks: u16,
    far: BTreeSet<(Tick, u32)>,
}

/// The marks of some neighbouring ranks, for each near tick a bit a rank. They fill one cache line,
/// for a rank that acts is marked again and again.
#[derive(Clone, Copy, Default, Debug)]
#[repr(align(64))]
struct Group([u32; NEAR_TICKS]);

impl TurnWheel {
    /// A wheel for this many ranks.
    pub(super) fn new(ranks: usize) -> Self {
        let groups = ranks.div_ceil(GROUP);
        let summary_words_per_tick = groups.div_ceil(64);
        Self {
            groups: vec![Group::default(); groups],
            summary: vec![0; summary_words_per_tick * NEAR_TICKS],
            summary_words_per_tick,
            marked_ticks: 0,
            far: BTreeSet::new(),
        }
    }

    fn place(tick: Tick) -> usize {
        tick.0 as usize % NEAR_TICKS
    }

    /// Marks a rank for a tick, which must not lie before `now`.
    #[inline]
    pub(super) fn mark(&mut self, now: Tick, tick: Tick, rank: u32) {
        debug_assert!(tick >= now, "a mark in the past would never be visited");
        if tick - now < NEAR_TICKS as u64 {
            self.mark_near(tick, rank);
        } else {
            self.far.insert((tick, rank));
        }
    }

    /// The same for a tick less than 16 ahead.
    #[inline]
    pub(super) fn mark_near(&mut self, tick: Tick, rank: u32) {
        let place = Self::place(tick);
        let group = rank as usize / GROUP;
        self.groups[group].0[place] |= 1 << (rank as usize % GROUP);
        self.summary[place * self.summary_words_per_tick + group / 64] |= 1 << (group % 64);
        self.marked_ticks |= 1 << place;
    }

    /// Moves what was far and is due now into reach. To be called at the start of phase 4.
    pub(super) fn bring_near(&mut self, now: Tick) {
        while let Some(&(tick, rank)) = self.far.first() {
            if tick > now {
                break;
            }
            self.far.pop_first();
            self.mark_near(now, rank);
        }
    }

    /// Takes out the lowest rank marked for this tick that is at least `from`.
    #[inline]
    pub(super) fn take_next(&mut self, now: Tick, from: u32) -> Option<u32> {
        let place = Self::place(now);
        let group = from as usize / GROUP;
        let word = &mut self.groups.get_mut(group)?.0[place];
        let ahead = *word & (!0 << (from as usize % GROUP));
        if ahead == 0 {
            return self.take_from_later_group(place, group + 1);
        }
        let lowest = ahead & ahead.wrapping_neg();
        *word ^= lowest;
        Some((group * GROUP) as u32 + lowest.trailing_zeros())
    }

    fn take_from_later_group(&mut self, place: usize, from: usize) -> Option<u32> {
        let words = place * self.summary_words_per_tick..(place + 1) * self.summary_words_per_tick;
        let summary = &self.summary[words];
        let mut place_of_word = from / 64;
        let mut ahead = summary.get(place_of_word)? & (!0 << (from % 64));
        loop {
            while ahead == 0 {
                place_of_word += 1;
                ahead = *summary.get(place_of_word)?;
            }
            let group = place_of_word * 64 + ahead.trailing_zeros() as usize;
            let word = &mut self.groups[group].0[place];
            if *word != 0 {
                let lowest = *word & word.wrapping_neg();
                *word ^= lowest;
                return Some((group * GROUP) as u32 + lowest.trailing_zeros());
            }
            ahead &= ahead - 1;
        }
    }

    /// To be called when every mark of a tick has been taken.
    pub(super) fn finish(&mut self, now: Tick) {
        let place = Self::place(now);
        let words = place * self.summary_words_per_tick..(place + 1) * self.summary_words_per_tick;
        self.summary[words].fill(0);
        self.marked_ticks &= !(1 << place);
    }

    /// The first tick from `now` on for which a rank is marked.
    pub(super) fn next_due(&self, now: Tick) -> Option<Tick> {
        let from_now = self.marked_ticks.rotate_right(Self::place(now) as u32);
        let near = (from_now != 0).then(|| now + u64::from(from_now.trailing_zeros()));
        let far = self.far.first().map(|(tick, _)| *tick);
        near.into_iter().chain(far).min()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ranks_of_a_tick_come_in_order_whatever_the_order_they_were_marked_in() {
        let mut wheel = TurnWheel::new(300_000);
        let mut ranks: Vec<u32> = (0..200).map(|n| (n * 7919) % 300_000).collect();
        for &rank in &ranks {
            wheel.mark(Tick(3), Tick(5), rank);
        }
        ranks.sort_unstable();
        assert_eq!(wheel.next_due(Tick(3)), Some(Tick(5)));
        let mut taken = Vec::new();
        let mut from = 0;
        while let Some(rank) = wheel.take_next(Tick(5), from) {
            taken.push(rank);
            from = rank + 1;
        }
        wheel.finish(Tick(5));
        assert_eq!(taken, ranks);
        assert_eq!(wheel.next_due(Tick(3)), None);
    }

    #[test]
    fn a_rank_that_is_marked_while_the_tick_runs_has_its_turn_if_it_is_still_ahead() {
        let mut wheel = TurnWheel::new(5000);
        for rank in [3, 63, 4999] {
            wheel.mark(Tick(0), Tick(0), rank);
        }
        assert_eq!(wheel.take_next(Tick(0), 0), Some(3));
        wheel.mark(Tick(0), Tick(0), 4);
        wheel.mark(Tick(0), Tick(0), 64);
        wheel.mark(Tick(0), Tick(1), 3);
        assert_eq!(wheel.take_next(Tick(0), 4), Some(4));
        assert_eq!(wheel.take_next(Tick(0), 5), Some(63));
        assert_eq!(wheel.take_next(Tick(0), 64), Some(64));
        assert_eq!(wheel.take_next(Tick(0), 65), Some(4999));
        assert_eq!(wheel.take_next(Tick(0), 5000), None);
        wheel.finish(Tick(0));
        assert_eq!(wheel.next_due(Tick(1)), Some(Tick(1)));
        assert_eq!(wheel.take_next(Tick(1), 0), Some(3));
    }

    #[test]
    fn far_marks_come_near_in_time() {
        let mut wheel = TurnWheel::new(10);
        wheel.mark(Tick(0), Tick(1000), 3);
        wheel.mark(Tick(0), Tick(4), 5);
        assert_eq!(wheel.next_due(Tick(0)), Some(Tick(4)));
        assert_eq!(wheel.take_next(Tick(4), 0), Some(5));
        wheel.finish(Tick(4));
        assert_eq!(wheel.next_due(Tick(5)), Some(Tick(1000)));
        wheel.bring_near(Tick(1000));
        assert_eq!(wheel.take_next(Tick(1000), 0), Some(3));
    }

    #[test]
    fn a_network_without_ranks_has_nothing_due() {
        let mut wheel = TurnWheel::new(0);
        assert_eq!(wheel.take_next(Tick(0), 0), None);
        wheel.finish(Tick(0));
        assert_eq!(wheel.next_due(Tick(0)), None);
    }
}
