//! Which of several designs is the cheapest, and which no other beats.

use std::cmp::Ordering;

use hallwright_report::figures::{Name, Of, When};
use hallwright_report::findings::Findings;
use serde::{Deserialize, Serialize};

use crate::compare::Value;

/// What a design costs, a value for each of [`Measure::ALL`]: of figures that differ from run to run,
/// the worst.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
pub struct Costs(pub [Value; Measure::ALL.len()]);

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
    /// How many hours it takes to build, where somebody says how fast that goes.
    BuildHours,
}

impl Measure {
    /// All of them. Where designs are equal in what was asked for, the next in this order decides.
    pub const ALL: [Self; 5] = [
        Self::Hoppers,
        Self::Work,
        Self::Width,
        Self::Stop,
        Self::BuildHours,
    ];

    /// Its name.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Hoppers => "hoppers",
            Self::Work => "work",
            Self::Width => "width",
            Self::Stop => "stop",
            Self::BuildHours => "build hours",
        }
    }

    /// The figure that it is. Where no section is declared, a stop is over when all is quiet.
    #[must_use]
    pub fn figure(self, has_sections: bool) -> Name {
        match self {
            Self::Hoppers => Name::HOPPERS,
            Self::Work => Name::MEAN_WORK,
            Self::Width => Name::WIDTH,
            Self::Stop if has_sections => Name::SAFE_TO_CLOSE,
            Self::Stop => Name::QUIET,
            Self::BuildHours => Name::BUILD_HOURS,
        }
    }
}

impl Costs {
    /// What one run costs.
    pub(super) fn of(found: &Findings) -> Self {
        let has_sections = !found.sections.is_empty();
        let is_timed = found.cost.build.is_declared;
        Self(Measure::ALL.map(|measure| {
            // Without a word about it, the time to build decides nothing.
            if measure == Measure::BuildHours && !is_timed {
                return Value::Nothing;
            }
            let name = measure.figure(has_sections);
            Value::of(name.worst(found, &Of::Whole))
        }))
    }

    /// One of them.
    #[must_use]
    pub fn value(&self, measure: Measure) -> Value {
        self.0[measure as usize]
    }

    /// The worse of the two in each measure.
    pub(super) fn worst(self, other: Self) -> Self {
        Self(Measure::ALL.map(|measure| {
            let is_worse = other.compare(&self, measure).is_gt();
            let worse = if is_worse { other } else { self };
            worse.value(measure)
        }))
    }

    /// Compares one measure: the better is cheaper. What should have been declared and is not, is
    /// dearer than any; what a run has none of, costs nothing.
    #[must_use]
    pub fn compare(&self, other: &Self, measure: Measure) -> Ordering {
        // By which mark a stop is over makes no difference to which is better.
        let name = measure.figure(true);
        let rank = |value| match value {
            Value::Nothing if name.when() == When::Before => 2,
            Value::Nothing => 0,
            Value::Number(_) => 1,
            Value::Never => 2,
        };
        let (own, other) = (self.value(measure), other.value(measure));
        let ranks = rank(own).cmp(&rank(other));
        ranks.then(own.better(other, name.more_is_better()))
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

    fn costs(hoppers: u32, work: (u32, u32), width: u32, stop: u32) -> Costs {
        let work = f64::from(work.0) / f64::from(work.1);
        let [hoppers, width, stop] = [hoppers, width, stop].map(f64::from);
        let [hoppers, work, width, stop] = [hoppers, work, width, stop].map(Value::Number);
        Costs([hoppers, work, width, stop, Value::Nothing])
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
        let known = costs(1, (1, 1), u32::MAX, u32::MAX);
        let Costs([hoppers, work, ..]) = known;
        let unknown = Costs([hoppers, work, Value::Nothing, Value::Never, Value::Nothing]);
        assert!(known.beats(&unknown));
    }

    #[test]
    fn what_takes_less_time_to_build_is_cheaper_where_that_is_asked() {
        let timed = |hours: f64| {
            let Costs([hoppers, work, width, stop, _]) = costs(9, (1, 1), 5, 70);
            Costs([hoppers, work, width, stop, Value::Number(hours)])
        };
        let designs = [timed(0.5), timed(0.25)];
        assert_eq!(cheapest(&designs, Measure::BuildHours), Some(1));
        assert_eq!(cheapest(&designs, Measure::Hoppers), Some(1));
        assert_eq!(undominated(&designs), [1]);
    }

    #[test]
    fn without_a_stop_there_is_nothing_to_wait_for() {
        let at_once = costs(1, (1, 1), 1, 0);
        let Costs([hoppers, work, width, ..]) = at_once;
        let without = Costs([hoppers, work, width, Value::Nothing, Value::Nothing]);
        assert!(without.beats(&at_once));
        assert_eq!(without.worst(at_once), at_once);
    }
}
