//! Who must be visited in phase 4 of which tick.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use crate::tick::Tick;

/// How many ticks are near: enough for the cooldowns of the default rules.
pub(in crate::engine) const NEAR_TICKS: usize = 16;

/// A turn of the hopper or selector on a seat. Turns come by rank in the update order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(in crate::engine) struct Turn(u64);

impl Turn {
    pub(in crate::engine) fn new(rank: u32, seat: usize) -> Self {
        Self(u64::from(rank) << 32 | seat as u64)
    }

    pub(in crate::engine) fn rank(self) -> u32 {
        (self.0 >> 32) as u32
    }

    pub(in crate::engine) fn seat(self) -> usize {
        self.0 as u32 as usize
    }
}

/// For each near tick the turns that must be given, in the order in which they were marked; and a
/// sorted list for what lies further ahead.
///
/// Hoppers that act in one tick are marked again one after the other for another tick, so the marks
/// of a tick are most often in order when it comes, and need no sorting. A turn in which there is
/// nothing to do is harmless, though not a second one in a tick; a missing one is not.
#[derive(Clone, Debug, Default)]
pub(in crate::engine) struct TurnWheel {
    near: [Vec<Turn>; NEAR_TICKS],
    /// The marks of the tick under way, in order.
    turns: Vec<Turn>,
    /// How many of them have been taken.
    taken: usize,
    /// What was marked for the tick under way since it began.
    late: BinaryHeap<Reverse<Turn>>,
    /// Which of those was taken last in this tick.
    last_late: Option<Turn>,
    /// Whether the turns of a tick are under way.
    is_under_way: bool,
    far: BTreeSet<(Tick, Turn)>,
}

/// Wheels are equal if they give the same turns: how often and in which order a turn was marked does
/// not matter.
impl PartialEq for TurnWheel {
    fn eq(&self, other: &Self) -> bool {
        let set = |turns: &[Turn]| turns.iter().copied().collect::<BTreeSet<Turn>>();
        let under_way = |wheel: &Self| {
            let ahead = wheel.turns.iter().skip(wheel.taken);
            let late = wheel.late.iter().map(|Reverse(turn)| turn);
            ahead.chain(late).copied().collect::<BTreeSet<Turn>>()
        };
        let near = self.near.iter().zip(&other.near);
        self.is_under_way == other.is_under_way
            && under_way(self) == under_way(other)
            && near
                .into_iter()
                .all(|(one, other)| one == other || set(one) == set(other))
            && self.far == other.far
    }
}

impl TurnWheel {
    fn place(tick: Tick) -> usize {
        tick.0 as usize % NEAR_TICKS
    }

    /// Marks a turn for a tick, which must not lie before `now`; once the turns of a tick have begun,
    /// for that tick only those that are still ahead.
    #[inline(always)]
    pub(in crate::engine) fn mark(&mut self, now: Tick, tick: Tick, turn: Turn) {
        debug_assert!(tick >= now, "a mark in the past would never be visited");
        if tick == now && self.is_under_way {
            self.late.push(Reverse(turn));
        } else if tick - now < NEAR_TICKS as u64 {
            self.mark_near(tick, turn);
        } else {
            self.far.insert((tick, turn));
        }
    }

    /// Marks a turn in a tick after `now` and less than 16 ahead.
    #[inline]
    pub(in crate::engine) fn mark_near(&mut self, tick: Tick, turn: Turn) {
        self.near[Self::place(tick)].push(turn);
    }

    /// Begins the turns of a tick.
    pub(in crate::engine) fn begin(&mut self, now: Tick) {
        while let Some(&(tick, turn)) = self.far.first() {
            if tick > now {
                break;
            }
            self.far.pop_first();
            self.mark_near(now, turn);
        }
        self.turns.clear();
        self.taken = 0;
        std::mem::swap(&mut self.turns, &mut self.near[Self::place(now)]);
        self.last_late = None;
        if !are_in_order(&self.turns) {
            // A few runs, each in order: what the stable sort is good at.
            self.turns.sort();
            self.turns.dedup();
        }
        self.is_under_way = true;
    }

    /// Takes out the first turn marked for the tick under way, each once however often it was marked.
    #[inline]
    pub(in crate::engine) fn take_next(&mut self) -> Option<Turn> {
        if !self.late.is_empty()
            && let Some(late) = self.take_late()
        {
            return Some(late);
        }
        let turn = *self.turns.get(self.taken)?;
        self.taken += 1;
        Some(turn)
    }

    /// The turns from the one that was taken last, up to `count`, if it is the first of so many.
    #[inline]
    pub(in crate::engine) fn next_of_each(&self, count: usize) -> Option<&[Turn]> {
        let first = self.taken.checked_sub(1)?;
        let is_first = first.is_multiple_of(count);
        is_first.then(|| &self.turns[first..self.turns.len().min(first + count)])
    }

    /// Takes out the first of the late turns, if it comes before all others and has not been taken yet.
    #[inline(never)]
    fn take_late(&mut self) -> Option<Turn> {
        while let Some(&Reverse(late)) = self.late.peek() {
            let next = self.turns.get(self.taken);
            if next.is_some_and(|next| *next <= late) {
                return None;
            }
            self.late.pop();
            let last = self.taken.checked_sub(1).map(|last| self.turns[last]);
            if last != Some(late) && self.last_late != Some(late) {
                self.last_late = Some(late);
                return Some(late);
            }
        }
        None
    }

    /// Ends the turns of the tick, when every mark of it has been taken.
    pub(in crate::engine) fn finish(&mut self) {
        self.is_under_way = false;
    }

    /// The first tick from `now` on for which a turn is marked.
    pub(in crate::engine) fn next_due(&self, now: Tick) -> Option<Tick> {
        let near = (0..NEAR_TICKS as u64)
            .map(|ahead| now + ahead)
            .find(|tick| !self.near[Self::place(*tick)].is_empty());
        let far = self.far.first().map(|(tick, _)| *tick);
        near.into_iter().chain(far).min()
    }
}

/// Whether each comes before the next. They most often do, so that leaving early would gain nothing.
fn are_in_order(turns: &[Turn]) -> bool {
    let next = turns.iter().skip(1);
    let pairs = turns.iter().zip(next);
    pairs.fold(true, |are_in_order, (turn, next)| {
        are_in_order & (turn < next)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A turn of a rank, whose seat does not matter.
    fn turn(rank: u32) -> Turn {
        Turn::new(rank, 7)
    }

    /// Takes all turns of a tick; notifies their ranks.
    fn take_all(wheel: &mut TurnWheel, now: Tick) -> Vec<u32> {
        wheel.begin(now);
        let mut taken = Vec::new();
        while let Some(turn) = wheel.take_next() {
            taken.push(turn);
        }
        wheel.finish();
        taken.into_iter().map(Turn::rank).collect()
    }

    #[test]
    fn the_ranks_of_a_tick_come_in_order_whatever_the_order_they_were_marked_in() {
        let mut wheel = TurnWheel::default();
        let mut ranks: Vec<u32> = (0..200).map(|n| (n * 7919) % 300_000).collect();
        for &rank in ranks.iter().chain(&ranks) {
            wheel.mark(Tick(3), Tick(5), turn(rank));
        }
        ranks.sort_unstable();
        assert_eq!(wheel.next_due(Tick(3)), Some(Tick(5)));
        assert_eq!(take_all(&mut wheel, Tick(5)), ranks);
        assert_eq!(wheel.next_due(Tick(6)), None);
    }

    #[test]
    fn a_rank_that_is_marked_while_the_tick_runs_has_its_turn_once() {
        let mut wheel = TurnWheel::default();
        for rank in [3, 63, 4999] {
            wheel.mark(Tick(0), Tick(0), turn(rank));
        }
        wheel.begin(Tick(0));
        assert_eq!(wheel.take_next(), Some(turn(3)));
        for rank in [64, 63, 4, 5000] {
            wheel.mark(Tick(0), Tick(0), turn(rank));
        }
        wheel.mark(Tick(0), Tick(1), turn(3));
        for expected in [4, 63, 64, 4999, 5000] {
            assert_eq!(wheel.take_next(), Some(turn(expected)));
        }
        assert_eq!(wheel.take_next(), None);
        wheel.finish();
        assert_eq!(wheel.next_due(Tick(1)), Some(Tick(1)));
        assert_eq!(take_all(&mut wheel, Tick(1)), [3]);
    }

    #[test]
    fn the_next_turns_are_shown_from_the_one_that_was_taken_last_each_once() {
        let mut wheel = TurnWheel::default();
        for rank in 0..10 {
            wheel.mark(Tick(0), Tick(1), turn(rank));
        }
        wheel.begin(Tick(1));
        let mut shown = Vec::new();
        while wheel.take_next().is_some() {
            let next = wheel.next_of_each(4).unwrap_or_default();
            shown.push(next.iter().map(|turn| turn.rank()).collect::<Vec<u32>>());
        }
        let first = [vec![0, 1, 2, 3], vec![4, 5, 6, 7], vec![8, 9]];
        assert!(shown.iter().step_by(4).eq(&first), "{shown:?}");
        assert_eq!(shown.concat().len(), 10);
    }

    #[test]
    fn far_marks_come_near_in_time() {
        let mut wheel = TurnWheel::default();
        wheel.mark(Tick(0), Tick(1000), turn(3));
        wheel.mark(Tick(0), Tick(4), turn(5));
        assert_eq!(wheel.next_due(Tick(0)), Some(Tick(4)));
        assert_eq!(take_all(&mut wheel, Tick(4)), [5]);
        assert_eq!(wheel.next_due(Tick(5)), Some(Tick(1000)));
        assert_eq!(take_all(&mut wheel, Tick(1000)), [3]);
        assert_eq!(wheel.next_due(Tick(1001)), None);
    }
}
