//! What the runs of one design have come to so far.

use super::choose::Costs;
use super::figures::{GoalFigure, RunFigures};
use super::search::Miss;
use crate::machine::Unmade;

/// The runs of one design, from the first on.
#[derive(Clone, Debug, Default)]
pub(super) struct Explored {
    /// How many were made: these are the first of its runs.
    pub(super) made: usize,
    /// Every goal in the run in which it came off worst: the number of the run and the goal.
    pub(super) worst: Vec<(usize, GoalFigure)>,
    /// The first run that missed a goal, and all goals missed in it.
    pub(super) first_miss: Option<Miss>,
    /// The run that broke an invariant, and what it said.
    pub(super) broken: Option<(usize, String)>,
    /// What it costs, at worst.
    pub(super) costs: Option<Costs>,
    /// Whether the next of its runs was to be made, and was not because the search was cut short.
    pub(super) is_cut_short: bool,
}

impl Explored {
    /// Adds the next runs, up to the first that was not made.
    pub(super) fn add(&mut self, results: Vec<Result<RunFigures, Unmade>>) {
        for result in results {
            let run = self.made;
            match result {
                Err(Unmade::CutShort) => {
                    self.is_cut_short = true;
                    return;
                }
                Err(Unmade::Broke(message)) => {
                    self.broken.get_or_insert((run, message));
                }
                Ok(figures) => self.add_run(run, figures),
            }
            self.made += 1;
        }
    }

    fn add_run(&mut self, run: usize, figures: RunFigures) {
        let costs = figures.costs;
        self.costs = Some(self.costs.map_or(costs, |worst| worst.worst(costs)));
        let missed = figures.goals.iter().enumerate();
        let missed: Vec<(usize, GoalFigure)> = missed
            .filter(|(_, goal)| !goal.is_met)
            .map(|(place, goal)| (place, goal.clone()))
            .collect();
        if !missed.is_empty() && self.first_miss.is_none() {
            self.first_miss = Some(Miss { run, goals: missed });
        }
        if self.worst.is_empty() {
            self.worst = figures.goals.into_iter().map(|goal| (run, goal)).collect();
            return;
        }
        for (worst, goal) in self.worst.iter_mut().zip(figures.goals) {
            // Of equals the first, which is nearest to the scenario as it stands.
            let distance = |goal: &GoalFigure| (!goal.is_met, goal.excess());
            if distance(&goal) > distance(&worst.1) {
                *worst = (run, goal);
            }
        }
    }

    /// Whether no goal was missed and nothing broke so far.
    pub(super) fn is_sound(&self) -> bool {
        self.first_miss.is_none() && self.broken.is_none()
    }

    /// How many goals were missed, and by what share of its bound the one that was missed by most.
    /// More runs can only make it more.
    pub(super) fn distance(&self) -> (usize, f64) {
        let missed = self.worst.iter().filter(|(_, goal)| !goal.is_met);
        let most = missed.clone().map(|(_, goal)| goal.excess());
        (missed.count(), most.fold(0.0, f64::max))
    }

    /// How far one goal was from being met: whether it was missed, and by what share of its bound.
    pub(super) fn distance_of(&self, goal: usize) -> (usize, f64) {
        let goal = &self.worst[goal].1;
        (usize::from(!goal.is_met), goal.excess())
    }
}
