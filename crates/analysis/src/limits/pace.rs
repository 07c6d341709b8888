//! How many items can pass one link in so many ticks.

/// A bound on how often something happens: of any `k + 1` times in a row, the last comes at least
/// `k * gap_ticks - slack_ticks` after the first, each time for at most `each` items.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Pace {
    /// Ticks from one time to the next in the long run, at least 1.
    pub(crate) gap_ticks: u64,
    /// By how much the last of several times can be early.
    pub(crate) slack_ticks: u64,
    /// Items each time.
    pub(crate) each: u64,
}

impl Pace {
    /// One item every so many ticks; every tick if the gap is 0.
    pub(crate) fn every(gap_ticks: u64) -> Self {
        Self {
            gap_ticks: gap_ticks.max(1),
            slack_ticks: 0,
            each: 1,
        }
    }

    /// This pace with so much slack in addition.
    pub(crate) fn with_slack(self, slack_ticks: u64) -> Self {
        Self {
            slack_ticks: self.slack_ticks + slack_ticks,
            ..self
        }
    }

    /// The most items in any so many ticks in a row.
    fn most_in(self, ticks: u64) -> u64 {
        match ticks {
            0 => 0,
            _ => self.each * ((ticks - 1 + self.slack_ticks) / self.gap_ticks + 1),
        }
    }
}

/// What a link can pass.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Capacity {
    /// Nothing ever.
    Never,
    /// As much as each of these bounds lets pass; without any, there is no bound.
    Within(Vec<Pace>),
}

impl Capacity {
    /// No bound is known.
    pub(crate) const UNBOUNDED: Self = Self::Within(Vec::new());
    /// No known bound, to be lent.
    pub(crate) const LENT_UNBOUNDED: &'static Self = &Self::UNBOUNDED;

    /// The most items in any so many ticks in a row; `None` if no bound is known.
    pub(crate) fn most_in(&self, ticks: u64) -> Option<u64> {
        match self {
            Self::Never => Some(0),
            Self::Within(paces) => paces.iter().map(|pace| pace.most_in(ticks)).min(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pace_counts_what_fits_into_a_span() {
        // Ticks 0, 8 and 16 lie within 17 ticks, and only two of them within 16.
        assert_eq!(Pace::every(8).most_in(0), 0);
        assert_eq!(Pace::every(8).most_in(1), 1);
        assert_eq!(Pace::every(8).most_in(16), 2);
        assert_eq!(Pace::every(8).most_in(17), 3);
        // With a tick of slack, 0, 8 and 15 do.
        assert_eq!(Pace::every(8).with_slack(1).most_in(16), 3);
    }

    #[test]
    fn the_tightest_pace_counts() {
        let both = Capacity::Within(vec![Pace::every(7), Pace::every(8).with_slack(40)]);
        // 7: 100 / 7 + 1 = 15; 8: 140 / 8 + 1 = 18. Of 1,001 ticks: 143 and 131.
        assert_eq!(both.most_in(101), Some(15));
        assert_eq!(both.most_in(1001), Some(131));
        assert_eq!(Capacity::Never.most_in(50), Some(0));
        assert_eq!(Capacity::UNBOUNDED.most_in(50), None);
    }
}
