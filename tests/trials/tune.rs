//! A search gives designs up early, and still says what a full enumeration would.

use std::ops::Range;
use std::sync::Mutex;

use hallwright_trials::Unmade;
use hallwright_trials::compare::Value;
use hallwright_trials::tune::{
    Bench, Candidate, Costs, Fate, GoalFigure, RunFigures, Searched, search,
};

/// What a run of ten hoppers costs that does so much work a tick and stops in so many ticks.
fn costs(work: f64, stop_ticks: f64) -> Costs {
    let [hoppers, work, stop] = [10.0, work, stop_ticks].map(Value::Number);
    Costs([hoppers, work, Value::Nothing, stop, Value::Nothing])
}

/// The runs of every design, made up: for each run, by how much each goal is exceeded (`None`:
/// it never came to it). A goal is met if it is exceeded by nothing.
struct MadeUp {
    runs: Vec<Vec<Vec<Option<i32>>>>,
    /// Which run of which design breaks an invariant.
    broken: Option<(usize, usize)>,
    /// How many runs can be made before it is cut short.
    most_runs: usize,
    made: Mutex<Vec<(usize, usize)>>,
}

impl MadeUp {
    fn figures(&self, design: usize, run: usize) -> RunFigures {
        let goals = self.runs[design][run].iter().enumerate();
        let goals = goals.map(|(goal, excess)| GoalFigure {
            subject: format!("goal {goal}"),
            is_met: excess.is_some_and(|excess| excess <= 0),
            words: String::new(),
            measured: excess.map(f64::from),
            bound: Some(0.0),
            is_at_least: false,
            unit: "items".to_owned(),
            excess_share: excess.map(f64::from),
        });
        RunFigures {
            goals: goals.collect(),
            // The work is the number of the run.
            costs: costs(run as f64, 100.0 - run as f64),
        }
    }
}

impl Bench for MadeUp {
    type Ready = usize;

    fn open(&self, design: usize) -> usize {
        design
    }

    fn runs(&self, ready: &usize, runs: Range<usize>) -> Vec<Result<RunFigures, Unmade>> {
        let mut made = self.made.lock().expect("no run panics");
        let mut make = |run| {
            if made.len() >= self.most_runs {
                return Err(Unmade::CutShort);
            }
            made.push((*ready, run));
            match self.broken {
                Some(broken) if broken == (*ready, run) => Err(nowhere()),
                _ => Ok(self.figures(*ready, run)),
            }
        };
        runs.map(&mut make).collect()
    }

    fn skipped(&self, _runs: usize) {}
}

fn nowhere() -> Unmade {
    Unmade::Broke("7 items are nowhere".to_owned())
}

fn made_up(runs: Vec<Vec<Vec<Option<i32>>>>) -> MadeUp {
    MadeUp {
        runs,
        broken: None,
        most_runs: usize::MAX,
        made: Mutex::default(),
    }
}

fn searched(bench: &MadeUp) -> Searched {
    let candidates = bench.runs.iter().enumerate();
    let candidates: Vec<Candidate> = candidates
        .map(|(design, runs)| Candidate {
            design,
            runs: runs.len(),
        })
        .collect();
    search(&candidates, bench)
}

/// Numbers that look random, the same every time.
struct Draw(u64);

impl Draw {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}

/// Up to 8 designs of up to 24 runs with up to 3 goals; misses are rare, so that many runs pass
/// before one.
fn drawn(draw: &mut Draw) -> MadeUp {
    let goals = 1 + draw.below(3);
    let rarity = 2 + draw.below(20);
    let designs = 1 + draw.below(8);
    let design = |draw: &mut Draw| {
        let runs = 1 + draw.below(24);
        let run = |draw: &mut Draw| {
            let goal = |draw: &mut Draw| match draw.below(rarity) {
                0 if draw.below(5) == 0 => None,
                0 => Some(1 + i32::try_from(draw.below(4)).unwrap_or(0)),
                _ => Some(-i32::try_from(draw.below(4)).unwrap_or(0)),
            };
            (0..goals).map(|_| goal(draw)).collect()
        };
        (0..runs).map(|_| run(draw)).collect()
    };
    made_up((0..designs).map(|_| design(draw)).collect())
}

/// The worst of one goal in all runs of a design; what never came is worse than any.
fn worst(runs: &[Vec<Option<i32>>], goal: usize) -> i32 {
    let excess = runs.iter().map(|run| run[goal].unwrap_or(i32::MAX));
    excess.max().expect("there are runs")
}

/// The first of those with the least key.
fn first_least<K: Ord>(count: usize, key: impl Fn(usize) -> K) -> usize {
    // Of equals, `min_by_key` keeps the first.
    (0..count)
        .min_by_key(|place| key(*place))
        .expect("there are some")
}

#[test]
fn a_search_says_what_a_full_enumeration_says() {
    let mut draw = Draw(7);
    let (mut without, mut spared) = (0, 0);
    for _ in 0..2_000 {
        let bench = drawn(&mut draw);
        let searched = searched(&bench);
        let runs = &bench.runs;
        let goals = runs[0][0].len();
        let misses = |design: usize, goal: usize| worst(&runs[design], goal) > 0;
        let is_found = |design: &usize| !(0..goals).any(|goal| misses(*design, goal));
        for (design, fate) in searched.fates.iter().enumerate() {
            assert_eq!(matches!(fate, Fate::Meets(_)), is_found(&design));
        }
        let all: usize = runs.iter().map(Vec::len).sum();
        let made = bench.made.lock().expect("no run panics").len();
        assert!(made <= all, "no run is made twice");
        spared += all - made;
        if (0..runs.len()).any(|design| is_found(&design)) {
            assert!(searched.obstacles.is_empty() && searched.nearest.is_empty());
            continue;
        }
        without += 1;
        for obstacle in &searched.obstacles {
            let nearest = first_least(runs.len(), |one| worst(&runs[one], obstacle.goal));
            assert_eq!(obstacle.nearest.candidate, nearest);
            let figure = obstacle.nearest.figure.excess_share;
            let expected = worst(&runs[nearest], obstacle.goal);
            assert_eq!(
                figure,
                Some(f64::from(expected)).filter(|_| expected < i32::MAX)
            );
        }
        let nearest = first_least(runs.len(), |one| {
            let missed: Vec<usize> = (0..goals).filter(|goal| misses(one, *goal)).collect();
            let most = missed.iter().map(|goal| worst(&runs[one], *goal)).max();
            (missed.len(), most)
        });
        let missed: Vec<usize> = (0..goals).filter(|goal| misses(nearest, *goal)).collect();
        let reported: Vec<usize> = searched.nearest.iter().map(|(goal, _)| *goal).collect();
        assert_eq!(reported, missed);
        assert!(
            searched
                .nearest
                .iter()
                .all(|(_, near)| near.candidate == nearest)
        );
    }
    assert!(without > 200, "{without} spaces had no solution");
    assert!(spared > 1_000, "{spared} runs were spared");
}

#[test]
fn a_design_is_given_up_and_its_first_miss_is_reported() {
    // The third run misses the second goal; the fourth would miss the first, too.
    let met = vec![Some(0), Some(-1)];
    let first = vec![
        met.clone(),
        met.clone(),
        vec![Some(0), Some(3)],
        vec![None, Some(9)],
    ];
    let bench = made_up(vec![first, vec![met.clone(); 4]]);
    let searched = searched(&bench);
    let Fate::Misses(miss) = &searched.fates[0] else {
        panic!("{:?}", searched.fates[0]);
    };
    assert_eq!(miss.run, 2);
    let goals: Vec<usize> = miss.goals.iter().map(|(goal, _)| *goal).collect();
    assert_eq!(goals, [1]);
    let Fate::Meets(costs) = &searched.fates[1] else {
        panic!("{:?}", searched.fates[1]);
    };
    // Of runs 0 to 3 the last has most work, and the first the longest stop.
    assert_eq!(*costs, self::costs(3.0, 100.0));
}

#[test]
fn after_a_first_run_with_a_miss_no_more_are_made() {
    let bench = made_up(vec![vec![vec![Some(1)]; 40], vec![vec![Some(0)]; 40]]);
    searched(&bench);
    let made = bench.made.lock().expect("no run panics");
    let of_first = made.iter().filter(|(design, _)| *design == 0);
    assert_eq!(of_first.count(), 1);
    assert_eq!(made.len(), 41);
}

#[test]
fn a_run_that_breaks_an_invariant_is_reported() {
    let mut bench = made_up(vec![vec![vec![Some(0)]; 3], vec![vec![Some(0)]; 3]]);
    bench.broken = Some((1, 2));
    let fate = searched(&bench).fates[1].clone();
    assert_eq!(fate, Fate::Broken(2, "7 items are nowhere".to_owned()));
}

#[test]
fn a_search_that_is_cut_short_claims_nothing_of_what_it_did_not_try() {
    let mut draw = Draw(7);
    let (mut untried, mut without_nearest) = (0, 0);
    for _ in 0..400 {
        let mut bench = drawn(&mut draw);
        let whole = searched(&bench);
        let all = bench.made.lock().expect("no run panics").len();
        // The last of these is not cut short.
        bench.most_runs = usize::try_from(draw.below(all as u64 + 1)).expect("it is small");
        bench.made = Mutex::default();
        let part = searched(&bench);
        assert_eq!(part.is_cut_short, bench.most_runs < all);
        if !part.is_cut_short {
            assert_eq!(part, whole);
            continue;
        }
        assert!(
            part.nearest.is_empty() && part.obstacles.is_empty(),
            "who is nearest is not known"
        );
        let fates = part.fates.iter().zip(&whole.fates).enumerate();
        for (design, (fate, known)) in fates {
            match fate {
                Fate::Untried(made) => {
                    untried += 1;
                    assert!(*made < bench.runs[design].len());
                }
                fate => assert_eq!(fate, known),
            }
        }
        let is_screened = !part
            .fates
            .iter()
            .any(|fate| matches!(fate, Fate::Untried(_)));
        without_nearest += usize::from(is_screened);
    }
    assert!(untried > 200, "{untried} designs were not tried to the end");
    assert!(
        without_nearest > 20,
        "{without_nearest} were screened to the end"
    );
}
