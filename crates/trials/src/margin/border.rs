//! The search for the border: up to which value all is well, and the first at which it is not.

use std::collections::BTreeMap;

/// Slower by so many times at most.
pub const MOST_TIMES: u64 = 16;
/// So many values below the last good one are looked at one by one.
const ONE_BY_ONE: u64 = 4;

/// In how many runs a value is tried.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Depth {
    /// In the run of the scenario as it stands.
    One,
    /// In all runs that a check makes.
    All,
}

/// What a search found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Border {
    /// The value at present.
    pub now: u64,
    /// The greatest value tried up to which none that was tried was bad; it was good in all runs.
    pub good: u64,
    /// The least value that was tried and bad; `None` if none was.
    pub bad: Option<u64>,
    /// Every value that was tried, in how many runs, and whether it was good in them.
    pub tried: BTreeMap<u64, (Depth, bool)>,
}

impl Border {
    /// The values above the first bad one that were tried in the same runs and were good: slower need not be worse.
    #[must_use]
    pub fn good_again(&self) -> Vec<u64> {
        let Some((bad, depth)) = self.bad.map(|bad| (bad, self.tried[&bad].0)) else {
            return Vec::new();
        };
        let above = self.tried.range(bad + 1..);
        let good = above.filter(|(_, (in_runs, good))| *good && *in_runs >= depth);
        good.map(|(value, _)| *value).collect()
    }

    /// Doubles from a value that is good in all runs, up to [`MOST_TIMES`], halves what lies between, looks at values
    /// below the last good one, and confirms that in all runs. `unit` is what is doubled if the value is less.
    pub fn search(now: u64, unit: u64, is_good: impl FnMut(u64, Depth) -> bool) -> Self {
        let mut search = Search {
            is_good,
            border: Self {
                now,
                good: now,
                bad: None,
                tried: BTreeMap::new(),
            },
        };
        search.double(now.max(unit));
        search.halve(Depth::One);
        while search.look_below() {
            search.halve(Depth::One);
        }
        search.confirm();
        search.border
    }
}

struct Search<F> {
    is_good: F,
    border: Border,
}

impl<F: FnMut(u64, Depth) -> bool> Search<F> {
    /// Tries a value, and keeps what it came to.
    fn takes(&mut self, value: u64, depth: Depth) -> bool {
        let good = (self.is_good)(value, depth);
        self.border.tried.insert(value, (depth, good));
        good
    }

    fn double(&mut self, from: u64) {
        let mut times = 2;
        while times <= MOST_TIMES && self.border.bad.is_none() {
            let value = (from * times).min(u32::MAX.into());
            match self.takes(value, Depth::One) {
                true => self.border.good = value,
                false => self.border.bad = Some(value),
            }
            times *= 2;
        }
    }

    /// Until the last good and the first bad one are neighbours.
    fn halve(&mut self, depth: Depth) {
        while let Some(bad) = self.border.bad.filter(|bad| *bad > self.border.good + 1) {
            let middle = self.border.good.midpoint(bad);
            match self.takes(middle, depth) {
                true => self.border.good = middle,
                false => self.border.bad = Some(middle),
            }
        }
    }

    /// Tries values below the last good one: those next to it, and one in the middle of each two tried. Whether
    /// one was bad, so that the border lies lower.
    fn look_below(&mut self) -> bool {
        let (now, good) = (self.border.now, self.border.good);
        let mut values: Vec<u64> = (good.saturating_sub(ONE_BY_ONE)..good).collect();
        let mut tried = vec![now];
        tried.extend(self.border.tried.range(..=good).map(|(value, _)| *value));
        values.extend(tried.windows(2).map(|two| two[0].midpoint(two[1])));
        values.sort_unstable();
        let tried = &self.border.tried;
        values.retain(|value| *value > now && *value < good && !tried.contains_key(value));
        values.dedup();
        let Some(bad) = values
            .into_iter()
            .find(|value| !self.takes(*value, Depth::One))
        else {
            return false;
        };
        let below = self.border.tried.range(..bad);
        let mut last_good = below
            .filter(|(_, (_, good))| *good)
            .map(|(value, _)| *value);
        self.border.good = last_good.next_back().unwrap_or(now);
        self.border.bad = Some(bad);
        true
    }

    /// Tries the last good one in all runs, and where it is bad in one, halves anew from the start in all runs.
    fn confirm(&mut self) {
        let Border { now, good, .. } = self.border;
        if good > now && !self.takes(good, Depth::All) {
            self.border.good = now;
            self.border.bad = Some(good);
            self.halve(Depth::All);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(now: u64, is_good: impl FnMut(u64, Depth) -> bool) -> (u64, Option<u64>) {
        let border = Border::search(now, 1, is_good);
        (border.good, border.bad)
    }

    #[test]
    fn the_last_good_and_the_first_bad_are_neighbours() {
        for last in 8..128 {
            let border = found(8, |value, _| value <= last);
            assert_eq!(border, (last, Some(last + 1)));
        }
    }

    #[test]
    fn beyond_sixteen_times_nothing_is_tried() {
        assert_eq!(found(8, |_, _| true), (128, None));
        assert_eq!(found(0, |_, _| true), (16, None), "of nothing, of a unit");
        assert_eq!(found(0, |_, _| false), (0, Some(1)));
    }

    #[test]
    fn what_is_bad_in_some_runs_only_is_bad() {
        let border = Border::search(8, 1, |value, depth| match depth {
            Depth::One => value <= 40,
            Depth::All => value <= 13,
        });
        assert_eq!((border.good, border.bad), (13, Some(14)));
        assert_eq!(border.tried[&13], (Depth::All, true));
        assert_eq!(border.good_again(), Vec::<u64>::new());
    }

    #[test]
    fn a_bad_value_among_good_ones_is_the_border() {
        // From 8: 16 and 32 are good, 64 is not. Halving ends at 50, by way of 48; then 49 is looked at.
        let border = Border::search(8, 1, |value, _| value <= 50 && value != 49);
        assert_eq!((border.good, border.bad), (48, Some(49)));
        assert_eq!(border.good_again(), [50]);
        let border = Border::search(8, 1, |value, _| value != 12);
        assert_eq!((border.good, border.bad), (11, Some(12)));
        assert!(border.good_again().contains(&16), "{border:?}");
    }

    #[test]
    fn the_last_good_one_was_tried_in_all_runs() {
        for last in 9..130 {
            let border = Border::search(8, 1, |value, _| value <= last);
            assert_eq!(border.tried[&border.good], (Depth::All, true));
        }
    }
}
