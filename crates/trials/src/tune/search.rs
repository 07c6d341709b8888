//! The search itself: which designs meet all goals and, where none does, how near they come.
//!
//! What is found follows from the runs alone. How many cores there are, and which runs were known
//! before, only says how long it takes.

use std::ops::Range;

use rayon::prelude::*;

use super::choose::Costs;
use super::explored::Explored;
use super::figures::{GoalFigure, RunFigures};
use crate::machine::Unmade;

/// So many runs of one design are made at once, after the first. One that misses a goal mostly
/// does so in its first run.
const RUNS_AT_ONCE: usize = 8;

/// A design that compiles.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Its number among all designs.
    pub design: usize,
    /// How many runs it takes.
    pub runs: usize,
}

/// Makes the runs of designs.
pub trait Bench: Sync {
    /// A design that is ready to run.
    type Ready: Sync;

    /// Makes a design ready.
    fn open(&self, design: usize) -> Self::Ready;

    /// Makes some of a design's runs: what each came to, or why nothing did.
    fn runs(&self, ready: &Self::Ready, runs: Range<usize>) -> Vec<Result<RunFigures, Unmade>>;

    /// So many more runs of a design will not be needed, at least for now.
    fn skipped(&self, runs: usize);
}

/// What became of a candidate.
#[derive(Clone, PartialEq, Debug)]
pub enum Fate {
    /// It meets every goal in every run, at these costs.
    Meets(Costs),
    /// It misses a goal.
    Misses(Miss),
    /// A run broke an invariant: its number, and what it said.
    Broken(usize, String),
    /// It met every goal in so many runs, and the search was cut short before all were made.
    Untried(usize),
}

/// The first run of a design that misses a goal.
#[derive(Clone, PartialEq, Debug)]
pub struct Miss {
    /// Its number among the runs of the design.
    pub run: usize,
    /// Every goal missed in it, by its place among all goals.
    pub goals: Vec<(usize, GoalFigure)>,
}

/// A goal that kept designs out.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstacle {
    /// The goal, by its place among all goals.
    pub goal: usize,
    /// How many designs missed it in their first run with a miss.
    pub kept_out: usize,
    /// The design that came nearest to it, met it or not.
    pub nearest: Near,
}

/// How near a design came: its worst run for a goal.
#[derive(Clone, PartialEq, Debug)]
pub struct Near {
    /// The candidate, by its place among them.
    pub candidate: usize,
    /// The run in which the goal came off worst, by its number.
    pub run: usize,
    /// The goal in it.
    pub figure: GoalFigure,
}

/// What a search found.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Searched {
    /// What became of each candidate, in their order.
    pub fates: Vec<Fate>,
    /// If none meets all goals: those that kept any out, in the order of declaration.
    pub obstacles: Vec<Obstacle>,
    /// If none meets all goals: the candidate that misses the fewest, and of those the one whose
    /// worst miss is the least share of its bound; each goal that it misses, in its worst run.
    pub nearest: Vec<(usize, Near)>,
    /// Whether it was cut short: some runs were not made, so that some fates, or the nearest, are not known.
    pub is_cut_short: bool,
}

/// Looks through all candidates.
pub fn search<B: Bench>(candidates: &[Candidate], bench: &B) -> Searched {
    let mut explored: Vec<Explored> = candidates
        .par_iter()
        .map(|candidate| screen(candidate, bench))
        .collect();
    let meets = |(candidate, explored): (&Candidate, &Explored)| {
        explored.made == candidate.runs && explored.first_miss.is_none()
    };
    let is_found = candidates.iter().zip(&explored).any(meets);
    let mut searched = Searched::default();
    let is_cut_short = |explored: &[Explored]| explored.iter().any(|one| one.is_cut_short);
    if !is_found && !is_cut_short(&explored) {
        let obstacles = obstacles(candidates, &mut explored, bench);
        let nearest = nearest_of_all(candidates, &mut explored, bench);
        // Either all of it is known, or nothing is said.
        if !is_cut_short(&explored) {
            (searched.obstacles, searched.nearest) = (obstacles, nearest);
        }
    }
    searched.is_cut_short = is_cut_short(&explored);
    let fates = candidates.iter().zip(explored);
    searched.fates = fates.map(|(one, explored)| fate(one, explored)).collect();
    searched
}

/// Makes the runs of one design until a goal is missed, an invariant breaks or the search is cut short.
fn screen<B: Bench>(candidate: &Candidate, bench: &B) -> Explored {
    let ready = bench.open(candidate.design);
    let mut explored = Explored::default();
    while explored.made < candidate.runs && explored.is_sound() && !explored.is_cut_short {
        let at_once = if explored.made == 0 { 1 } else { RUNS_AT_ONCE };
        let end = (explored.made + at_once).min(candidate.runs);
        explored.add(bench.runs(&ready, explored.made..end));
    }
    bench.skipped(candidate.runs - explored.made);
    explored
}

fn fate(candidate: &Candidate, explored: Explored) -> Fate {
    match (explored.broken, explored.first_miss) {
        (Some((run, message)), _) => Fate::Broken(run, message),
        (None, Some(miss)) => Fate::Misses(miss),
        (None, None) if explored.made < candidate.runs => Fate::Untried(explored.made),
        (None, None) => Fate::Meets(explored.costs.unwrap_or_default()),
    }
}

/// The goals that kept designs out, each with the design that came nearest to it.
fn obstacles<B: Bench>(
    candidates: &[Candidate],
    explored: &mut [Explored],
    bench: &B,
) -> Vec<Obstacle> {
    let goals = explored.iter().map(|one| one.worst.len()).max();
    let mut obstacles = Vec::new();
    for goal in 0..goals.unwrap_or(0) {
        let misses = |one: &&Explored| {
            let miss = one.first_miss.as_ref().filter(|_| one.broken.is_none());
            miss.is_some_and(|miss| miss.goals.iter().any(|(missed, _)| *missed == goal))
        };
        let kept_out = explored.iter().filter(misses).count();
        if kept_out == 0 {
            continue;
        }
        let distance = |one: &Explored| one.distance_of(goal);
        let Some(candidate) = nearest(candidates, explored, bench, distance) else {
            continue;
        };
        obstacles.push(Obstacle {
            goal,
            kept_out,
            nearest: near(candidate, &explored[candidate], goal),
        });
    }
    obstacles
}

fn near(candidate: usize, explored: &Explored, goal: usize) -> Near {
    let (run, figure) = explored.worst[goal].clone();
    Near {
        candidate,
        run,
        figure,
    }
}

/// The candidate that comes nearest to meeting all goals, with each that it misses.
fn nearest_of_all<B: Bench>(
    candidates: &[Candidate],
    explored: &mut [Explored],
    bench: &B,
) -> Vec<(usize, Near)> {
    let Some(candidate) = nearest(candidates, explored, bench, Explored::distance) else {
        return Vec::new();
    };
    let goals = explored[candidate].worst.iter().enumerate();
    let missed = goals.filter(|(_, (_, figure))| !figure.is_met);
    missed
        .map(|(goal, _)| (goal, near(candidate, &explored[candidate], goal)))
        .collect()
}

/// The candidate at the least distance, once all its runs are made; of equals the first. `distance`
/// of some runs is never more than that of all: whoever is nearest after all of its runs, while no
/// other was nearer after some, is the nearest. `None` if that was cut short, too.
fn nearest<B: Bench>(
    candidates: &[Candidate],
    explored: &mut [Explored],
    bench: &B,
    distance: impl Fn(&Explored) -> (usize, f64),
) -> Option<usize> {
    loop {
        let sound = (0..candidates.len()).filter(|place| {
            let one = &explored[*place];
            one.broken.is_none() && one.made > 0
        });
        let nearest = sound.min_by(|one, two| {
            let (one, two) = (distance(&explored[*one]), distance(&explored[*two]));
            one.0.cmp(&two.0).then(one.1.total_cmp(&two.1))
        })?;
        let (candidate, one) = (&candidates[nearest], &mut explored[nearest]);
        if one.made == candidate.runs {
            return Some(nearest);
        }
        if one.is_cut_short {
            return None;
        }
        let ready = bench.open(candidate.design);
        one.add(bench.runs(&ready, one.made..candidate.runs));
    }
}
