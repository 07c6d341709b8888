//! Which of several designs is the cheapest, and which no other beats.

use std::cmp::Ordering;

use super::figures::StopTime;

/// What a design costs: of figures that differ from run to run, the worst.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Costs {
    /// Its hoppers.
    pub hoppers: u64,
    /// Work units of the run with the highest mean.
    pub work_units: u64,
    /// The ticks of that run.
    pub work_ticks: u64,
    /// Its width in blocks; `None` if none is declared.
    pub width_blocks: Option<u32>,
    /// How long its worst stop takes.
    pub stop: StopTime,
}

/// What designs are compared by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Measure {
    /// Hoppers.
    Hoppers,
    /// Mean work a tick.
    Work,
    /// Width.
    Width,
    /// How long the worst stop takes.
    Stop,
}

impl Measure {
    /// All of them. Where designs are equal in what was asked for, the next in this order decides.
    pub const ALL: [Self; 4] = [Self::Hoppers, Self::Work, Self::Width, Self::Stop];

    /// Its name.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Hoppers => "hoppers",
            Self::Work => "work",
            Self::Width => "width",
            Self::Stop => "stop",
        }
    }
}

impl Costs {
    /// Compares one measure: less is cheaper. A width that is not declared is wider than any.
    #[must_use]
    pub fn compare(&self, other: &Self, measure: Measure) -> Ordering {
        let width = |costs: &Self| costs.width_blocks.map_or(u64::MAX, u64::from);
        match measure {
            Measure::Hoppers => self.hoppers.cmp(&other.hoppers),
            Measure::Work => compare_means(
                (self.work_units, self.work_ticks),
                (other.work_units, other.work_ticks),
            ),
            Measure::Width => width(self).cmp(&width(other)),
            Measure::Stop => self.stop.cmp(&other.stop),
        }
    }

    /// Whether this design is at least as cheap in every respect, and cheaper in one.
    #[must_use]
    pub fn beats(&self, other: &Self) -> bool {
        let compared = Measure::ALL.map(|measure| self.compare(other, measure));
        compared.iter().all(|order| order.is_le()) && compared.iter().any(|order| order.is_lt())
    }

    /// Whether the two cost the same in every respect.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        Measure::ALL
            .iter()
            .all(|measure| self.compare(other, *measure).is_eq())
    }
}

/// Compares sums over counts, exactly.
pub(super) fn compare_means(one: (u64, u64), two: (u64, u64)) -> Ordering {
    let product = |sum: u64, count: u64| u128::from(sum) * u128::from(count.max(1));
    product(one.0, two.1).cmp(&product(two.0, one.1))
}

/// The cheapest of some designs, by its place among them. Of those equal in `by`, the other measures
/// decide in the order of [`Measure::ALL`]; of those equal in all, the first.
#[must_use]
pub fn cheapest(designs: &[Costs], by: Measure) -> Option<usize> {
    (0..designs.len()).min_by(|one, two| {
        let measures = [by].into_iter().chain(Measure::ALL);
        let mut compared = measures.map(|measure| designs[*one].compare(&designs[*two], measure));
        compared
            .find(|order| order.is_ne())
            .unwrap_or(Ordering::Equal)
    })
}

/// The designs that no other beats, by their places among them. Designs that cost the same do not
/// beat each other.
#[must_use]
pub fn undominated(designs: &[Costs]) -> Vec<usize> {
    let is_beaten = |design: &Costs| designs.iter().any(|other| other.beats(design));
    let places = designs.iter().enumerate();
    places
        .filter(|(_, design)| !is_beaten(design))
        .map(|(place, _)| place)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn costs(hoppers: u64, work: (u64, u64), width: u32, stop: u64) -> Costs {
        Costs {
            hoppers,
            work_units: work.0,
            work_ticks: work.1,
            width_blocks: Some(width),
            stop: StopTime::After(stop),
        }
    }

    #[test]
    fn ties_are_decided_by_hoppers_work_width_and_stop_and_then_by_the_first() {
        let designs = [
            costs(9, (30, 10), 5, 70),
            // 5/2 is less than 30/10, and the same as 25/10.
            costs(9, (5, 2), 6, 70),
            costs(9, (25, 10), 5, 80),
            costs(9, (25, 10), 5, 80),
        ];
        assert_eq!(cheapest(&designs, Measure::Hoppers), Some(2));
        assert_eq!(cheapest(&designs, Measure::Stop), Some(1));
        assert_eq!(cheapest(&designs, Measure::Width), Some(2));
        assert_eq!(cheapest(&[], Measure::Work), None);
    }

    #[test]
    fn what_is_worse_in_one_respect_and_better_in_none_is_beaten() {
        let designs = [
            costs(9, (30, 10), 5, 70),
            costs(8, (30, 10), 5, 90),
            costs(9, (30, 10), 5, 71),
            costs(9, (30, 10), 5, 70),
        ];
        assert_eq!(undominated(&designs), [0, 1, 3]);
    }

    #[test]
    fn a_stop_that_never_ends_and_a_width_unknown_are_the_worst() {
        let known = costs(1, (1, 1), u32::MAX, u64::MAX);
        let unknown = Costs {
            width_blocks: None,
            stop: StopTime::Never,
            ..known
        };
        assert!(known.beats(&unknown));
    }
}
