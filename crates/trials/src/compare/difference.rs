//! The difference between two designs, run against run of the same case.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::range::Value;

/// How much of the time the mean of many such comparisons lies in the interval.
const CONFIDENCE: f64 = 0.95;

/// The paired differences of a figure: a design's value less the first design's, in the same case.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Difference {
    /// How many pairs of runs measured it.
    pub pairs: u64,
    /// In how many of them both measured the same; both never coming to it is the same.
    pub equal: u64,
    /// In how many of them one came to it and the other never did; these have no number.
    pub one_sided: u64,
    /// The least difference; `None` if no pair has two numbers.
    pub least: Option<f64>,
    /// The one in the middle; of an even number, the greater of the two in the middle.
    pub median: Option<f64>,
    /// The greatest.
    pub most: Option<f64>,
    /// What can be said of other seeds, where several were run and every pair has two numbers.
    pub interval: Option<Interval>,
}

/// The mean difference and the 95 % interval of it, by Student's t over the seeds.
///
/// The runs of one seed share what arrives, so they are no independent draws: each seed counts once,
/// with the mean over its orders and stop ticks.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Interval {
    /// How many seeds.
    pub seeds: u64,
    /// The mean over the seeds.
    pub mean: f64,
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Difference {
    /// Whether all pairs measured the same.
    #[must_use]
    pub fn is_equal(&self) -> bool {
        self.equal == self.pairs
    }

    /// What it comes to, in words.
    #[must_use]
    pub fn verdict(&self) -> &'static str {
        match self.interval {
            _ if self.is_equal() => "equal in all runs",
            Some(interval) if !interval.shows_difference() => "no difference shown",
            _ => "differs",
        }
    }
}

impl Interval {
    /// Whether the interval leaves zero out, so that a difference is shown.
    #[must_use]
    pub fn shows_difference(&self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

/// Compares the runs of a design with those of the first one. Both have a value for each case, in
/// the same order; `seeds` says of which seed each case is. `None` if no pair was measured.
#[must_use]
pub fn difference_between(first: &[Value], other: &[Value], seeds: &[u64]) -> Option<Difference> {
    let is_measured = |value: Value| value != Value::Nothing;
    let pairs: Vec<(Value, Value, u64)> = first
        .iter()
        .zip(other)
        .zip(seeds)
        .map(|((first, other), seed)| (*first, *other, *seed))
        .filter(|(first, other, _)| is_measured(*first) && is_measured(*other))
        .collect();
    let by_seed: Vec<(u64, f64)> = pairs
        .iter()
        .filter_map(|(first, other, seed)| Some((*seed, other.number()? - first.number()?)))
        .collect();
    let mut sorted: Vec<f64> = by_seed.iter().map(|(_, difference)| *difference).collect();
    sorted.sort_by(f64::total_cmp);
    let equal = pairs.iter().filter(|(first, other, _)| first == other);
    let neither = pairs
        .iter()
        .filter(|(first, other, _)| (*first, *other) == (Value::Never, Value::Never));
    let one_sided = pairs.len() - sorted.len() - neither.count();
    (!pairs.is_empty()).then(|| Difference {
        pairs: pairs.len() as u64,
        equal: equal.count() as u64,
        one_sided: one_sided as u64,
        least: sorted.first().copied(),
        median: sorted.get(sorted.len() / 2).copied(),
        most: sorted.last().copied(),
        interval: (sorted.len() == pairs.len())
            .then(|| interval_of(&means(&by_seed)))
            .flatten(),
    })
}

/// The mean of each seed, in the order in which the seeds come.
fn means(by_seed: &[(u64, f64)]) -> Vec<f64> {
    let mut sums: Vec<(u64, f64, f64)> = Vec::new();
    for (seed, difference) in by_seed {
        match sums.iter_mut().find(|(known, _, _)| known == seed) {
            Some((_, sum, count)) => {
                *sum += difference;
                *count += 1.0;
            }
            None => sums.push((*seed, *difference, 1.0)),
        }
    }
    sums.iter().map(|(_, sum, count)| sum / count).collect()
}

/// The interval of the mean of what these are drawn from; `None` of fewer than two.
fn interval_of(draws: &[f64]) -> Option<Interval> {
    if draws.len() < 2 {
        return None;
    }
    let count = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / count;
    let squares: f64 = draws.iter().map(|draw| (draw - mean).powi(2)).sum();
    let error = (squares / (count - 1.0) / count).sqrt();
    let reach = student_t(1.0 - (1.0 - CONFIDENCE) / 2.0, count - 1.0)? * error;
    Some(Interval {
        seeds: draws.len() as u64,
        mean,
        low: mean - reach,
        high: mean + reach,
    })
}

/// Below which this share of Student's t lies, with so many degrees of freedom; `None` where it has
/// none.
#[must_use]
pub fn student_t(share: f64, degrees_of_freedom: f64) -> Option<f64> {
    let distribution = StudentsT::new(0.0, 1.0, degrees_of_freedom).ok()?;
    (share > 0.0 && share < 1.0).then(|| distribution.inverse_cdf(share))
}

#[cfg(test)]
mod tests {
    use super::Value::{Never, Nothing, Number};
    use super::*;

    fn numbers(values: &[f64]) -> Vec<Value> {
        values.iter().map(|value| Number(*value)).collect()
    }

    #[test]
    fn student_t_is_that_of_the_handbook() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2, column 0.975.
        for (degrees, expected) in [
            (4.0, 2.776),
            (9.0, 2.262),
            (19.0, 2.093),
            (29.0, 2.045),
            (100.0, 1.984),
        ] {
            let found = student_t(0.975, degrees).expect("it has a value");
            assert!((found - expected).abs() < 0.0005, "{degrees}: {found}");
        }
        assert_eq!(student_t(0.975, 0.0), None);
    }

    #[test]
    fn five_seeds_give_the_interval_worked_out_by_hand() {
        // Differences 2, 4, 4, 4, 6: mean 4, squares 4 + 0 + 0 + 0 + 4 = 8, variance 8/4 = 2, standard
        // error sqrt(2/5) = 0.63246; t for 4 degrees of freedom is 2.776, so the mean lies within
        // 4 -+ 1.7557: 2.2443 to 5.7557. Zero is outside. The t of the table is rounded to 0.0005, so
        // the ends are to 0.0004.
        let first = numbers(&[10.0, 20.0, 30.0, 40.0, 50.0]);
        let other = numbers(&[12.0, 24.0, 34.0, 44.0, 56.0]);
        let found = difference_between(&first, &other, &[1, 2, 3, 4, 5]).expect("pairs");
        assert_eq!(
            (found.least, found.median, found.most),
            (Some(2.0), Some(4.0), Some(6.0))
        );
        let interval = found.interval.expect("five seeds");
        assert_eq!((interval.seeds, interval.mean), (5, 4.0));
        assert!((interval.low - 2.2443).abs() < 0.0004, "{interval:?}");
        assert!((interval.high - 5.7557).abs() < 0.0004, "{interval:?}");
        assert!(interval.shows_difference());
    }

    #[test]
    fn an_interval_that_spans_zero_shows_no_difference() {
        // Differences -3, 1, 2: mean 0, so zero is in the middle of whatever the interval is.
        let found = difference_between(
            &numbers(&[5.0, 5.0, 5.0]),
            &numbers(&[2.0, 6.0, 7.0]),
            &[1, 2, 3],
        );
        let interval = found.and_then(|found| found.interval).expect("three seeds");
        assert_eq!(interval.mean, 0.0);
        assert!(!interval.shows_difference());
    }

    #[test]
    fn runs_of_one_seed_count_once() {
        // Two stop ticks a seed. Seed 1: 1 and 3, mean 2; seed 2: 4 and 4, mean 4. Of 2 and 4 the mean
        // is 3 and the standard error sqrt(2/2) = 1, with one degree of freedom.
        let found = difference_between(
            &numbers(&[0.0; 4]),
            &numbers(&[1.0, 3.0, 4.0, 4.0]),
            &[1, 1, 2, 2],
        );
        // Of 1, 3, 4, 4 the greater of the two in the middle.
        assert_eq!(found.and_then(|found| found.median), Some(4.0));
        let interval = found.and_then(|found| found.interval).expect("two seeds");
        let t = student_t(0.975, 1.0).expect("it has a value");
        assert_eq!((interval.seeds, interval.mean), (2, 3.0));
        assert!((interval.high - 3.0 - t).abs() < 1e-9, "{interval:?}");
        // One seed says nothing of others.
        let one = difference_between(&numbers(&[0.0; 2]), &numbers(&[1.0, 3.0]), &[1, 1]);
        assert_eq!(one.and_then(|one| one.interval), None);
    }

    #[test]
    fn what_never_came_has_no_number() {
        let first = [Never, Never, Number(3.0), Nothing];
        let other = [Never, Number(5.0), Number(4.0), Number(1.0)];
        let found = difference_between(&first, &other, &[1, 2, 3, 4]).expect("pairs");
        assert_eq!((found.pairs, found.equal, found.one_sided), (3, 1, 1));
        assert_eq!((found.least, found.most), (Some(1.0), Some(1.0)));
        assert_eq!(found.interval, None);
        assert!(!found.is_equal());
        assert_eq!(difference_between(&first[3..], &other[3..], &[4]), None);
    }
}
