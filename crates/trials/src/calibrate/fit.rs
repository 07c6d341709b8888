//! The weights that fit some halls best.

use std::cmp::Ordering;

use hallwright_declared::declarations::CostWeights;

use super::Weighed;
use super::solve::{Solution, least_squares};

/// A hall that was measured.
#[derive(Clone, PartialEq, Debug)]
pub struct Hall {
    /// Its name.
    pub name: String,
    /// Hopper turns, comparator updates and loose stacks in a tick, on average.
    pub counts: [f64; 3],
    /// Milliseconds that a tick took, on average.
    pub measured_ms: f64,
    /// Whether the counts come from a run of a scenario.
    pub was_run: bool,
}

impl Hall {
    /// How much of something there is in a tick.
    #[must_use]
    pub fn count(&self, of: Weighed) -> f64 {
        match of {
            Weighed::HopperTurn => self.counts[0],
            Weighed::ComparatorUpdate => self.counts[1],
            Weighed::LooseStack => self.counts[2],
            Weighed::Base => 1.0,
        }
    }
}

/// Why there is nothing to fit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unfit {
    /// Fewer than two halls.
    TooFew,
    /// All halls have the same counts.
    AllAlike,
}

/// Why a weight is 0.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum WhyZero {
    /// No hall has any of it.
    NoneOfIt,
    /// There are as many other weights as halls.
    TooFewHalls,
    /// In these halls it goes along with others so that nothing tells them apart.
    NotApart,
    /// With it, some weight would be below 0, or it makes the fit no better.
    BelowZero,
}

/// A weight.
#[derive(Clone, PartialEq, Debug)]
pub struct FittedWeight {
    /// Of what.
    pub of: Weighed,
    /// In milliseconds.
    pub ms: f64,
    /// Why it is 0, if it is.
    pub why_zero: Option<WhyZero>,
}

/// A hall, and what the weights make of it.
#[derive(Clone, PartialEq, Debug)]
pub struct FittedHall {
    /// The hall.
    pub hall: Hall,
    /// What a tick takes by the weights, in milliseconds.
    pub fitted_ms: f64,
}

impl FittedHall {
    /// By how much the weights say more than was measured, in milliseconds.
    #[must_use]
    pub fn off_ms(&self) -> f64 {
        self.fitted_ms - self.hall.measured_ms
    }

    /// The same as a share of what was measured; `None` if that was 0.
    #[must_use]
    pub fn off_share(&self) -> Option<f64> {
        (self.hall.measured_ms > 0.0).then(|| self.off_ms() / self.hall.measured_ms)
    }
}

/// Weights that fit some halls best.
#[derive(Clone, PartialEq, Debug)]
pub struct Fit {
    /// Each weight, in the order of [`Weighed::ALL`].
    pub weights: Vec<FittedWeight>,
    /// Each hall.
    pub halls: Vec<FittedHall>,
    /// How many weights these halls tell at most.
    pub rank: usize,
}

impl Fit {
    /// The root of the mean squared difference, in milliseconds.
    #[must_use]
    pub fn root_mean_square_ms(&self) -> f64 {
        let squares: f64 = self.halls.iter().map(|hall| hall.off_ms().powi(2)).sum();
        (squares / self.halls.len() as f64).sqrt()
    }

    /// How much of the halls' difference from their mean the weights explain: 1 for all of it. `None` where
    /// every hall takes the same.
    #[must_use]
    pub fn explained_share(&self) -> Option<f64> {
        let measured = self.halls.iter().map(|hall| hall.hall.measured_ms);
        let mean = measured.clone().sum::<f64>() / self.halls.len() as f64;
        let spread: f64 = measured.map(|ms| (ms - mean).powi(2)).sum();
        let squares: f64 = self.halls.iter().map(|hall| hall.off_ms().powi(2)).sum();
        (spread > 0.0).then(|| 1.0 - squares / spread)
    }

    /// Whether there are as many weights as halls: then a fit without differences says nothing of how good
    /// the weights are.
    #[must_use]
    pub fn is_bound_to_fit(&self) -> bool {
        let used = self.weights.iter().filter(|weight| weight.ms > 0.0);
        used.count() >= self.halls.len()
    }

    /// The weights as a scenario has them, each rounded to a picosecond.
    #[must_use]
    pub fn cost_weights(&self) -> CostWeights {
        let of = |wanted: Weighed| {
            let mut weights = self.weights.iter();
            let found = weights.find(|weight| weight.of == wanted);
            let picoseconds = found.map_or(0.0, |weight| (weight.ms * 1e9).round());
            // Rounded, and never below 0.
            (picoseconds as u64).min(CostWeights::MOST_PICOSECONDS)
        };
        CostWeights {
            hopper_turn_picoseconds: of(Weighed::HopperTurn),
            comparator_update_picoseconds: of(Weighed::ComparatorUpdate),
            loose_stack_picoseconds: of(Weighed::LooseStack),
            base_picoseconds: of(Weighed::Base),
        }
    }
}

/// The weights, none below 0, that fit some halls best.
///
/// Where several choices fit equally well, the one with the fewest weights is taken, and of those the first in
/// the order of [`Weighed::ALL`].
///
/// # Errors
///
/// If the halls say nothing of any weight.
pub fn fit(halls: &[Hall]) -> Result<Fit, Unfit> {
    if halls.len() < 2 {
        return Err(Unfit::TooFew);
    }
    if halls.iter().all(|hall| hall.counts == halls[0].counts) {
        return Err(Unfit::AllAlike);
    }
    let problem = Problem::of(halls);
    let choices = problem.choices();
    let best = choices
        .iter()
        .filter(|(_, solution)| solution.weights.iter().all(|weight| *weight >= 0.0))
        .min_by(|one, other| problem.better(one, other));
    let rank = choices.iter().map(|(chosen, _)| chosen.len()).max();
    // The choice of no weight is always there.
    let (chosen, solution) = best.cloned().unwrap_or((
        Vec::new(),
        Solution {
            weights: Vec::new(),
            squares: 0.0,
        },
    ));
    let weight_of = |of: Weighed| {
        let place = chosen.iter().position(|each| *each == of);
        place.map_or(0.0, |place| solution.weights[place])
    };
    let weights = Weighed::ALL.map(|of| {
        let ms = weight_of(of);
        FittedWeight {
            of,
            ms,
            why_zero: (ms == 0.0).then(|| problem.why_zero(of, &chosen)),
        }
    });
    let fitted = halls.iter().map(|hall| FittedHall {
        hall: hall.clone(),
        fitted_ms: Weighed::ALL
            .iter()
            .map(|of| weight_of(*of) * hall.count(*of))
            .sum(),
    });
    Ok(Fit {
        weights: weights.into(),
        halls: fitted.collect(),
        rank: rank.unwrap_or(0),
    })
}

/// Some weights, and what they come to.
type Choice = (Vec<Weighed>, Solution);

/// The halls as columns.
struct Problem {
    columns: Vec<(Weighed, Vec<f64>)>,
    measured: Vec<f64>,
    /// Sums of squares that differ by no more than this are alike.
    alike: f64,
}

impl Problem {
    fn of(halls: &[Hall]) -> Self {
        let columns = Weighed::ALL.map(|of| {
            let column = halls.iter().map(|hall| hall.count(of));
            (of, column.collect())
        });
        let measured: Vec<f64> = halls.iter().map(|hall| hall.measured_ms).collect();
        let all: f64 = measured.iter().map(|ms| ms * ms).sum();
        Self {
            columns: columns.into(),
            measured,
            // Far above what rounding comes to, far below what can be measured.
            alike: all * 1e-18,
        }
    }

    /// Every choice of weights that the halls tell apart, with what solves it.
    fn choices(&self) -> Vec<Choice> {
        let all = 0..1_u32 << self.columns.len();
        let chosen = all.map(|set| {
            let columns = self.columns.iter().enumerate();
            let inside = columns.filter(|(place, _)| set >> place & 1 == 1);
            inside.map(|(_, (of, _))| *of).collect::<Vec<Weighed>>()
        });
        chosen
            .filter_map(|chosen| Some((chosen.clone(), self.solve(&chosen)?)))
            .collect()
    }

    fn solve(&self, chosen: &[Weighed]) -> Option<Solution> {
        let columns = self.columns.iter();
        let columns = columns.filter(|(of, _)| chosen.contains(of));
        let columns: Vec<Vec<f64>> = columns.map(|(_, column)| column.clone()).collect();
        least_squares(&columns, &self.measured)
    }

    fn better(&self, (one, by_one): &Choice, (other, by_other): &Choice) -> Ordering {
        let squares = if (by_one.squares - by_other.squares).abs() <= self.alike {
            Ordering::Equal
        } else {
            by_one.squares.total_cmp(&by_other.squares)
        };
        squares
            .then(one.len().cmp(&other.len()))
            .then_with(|| one.cmp(other))
    }

    /// Why a weight is 0 though others are not.
    fn why_zero(&self, of: Weighed, chosen: &[Weighed]) -> WhyZero {
        let mut columns = self.columns.iter();
        let column = columns.find(|(each, _)| *each == of);
        if column.is_some_and(|(_, column)| column.iter().all(|count| *count == 0.0)) {
            return WhyZero::NoneOfIt;
        }
        if chosen.contains(&of) {
            return WhyZero::BelowZero;
        }
        if chosen.len() >= self.measured.len() {
            return WhyZero::TooFewHalls;
        }
        let mut with = chosen.to_vec();
        with.push(of);
        match self.solve(&with) {
            None => WhyZero::NotApart,
            Some(_) => WhyZero::BelowZero,
        }
    }
}
