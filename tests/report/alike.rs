//! Runs that share their beginning find what each by itself finds: random networks with everything declared of
//! them at random, stopped at many ticks.

use std::ops::ControlFlow;

use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::{Declarations, Goal, Mark, Stop};
use hallwright_report::{Decided, RunInput, Wanted, are_alike, decide_alike, run, run_alike};
use rand::RngExt as _;

use crate::drawn::Drawn;
use crate::halfway::first_difference;

/// So many networks are tried; `ALIKE_NETWORKS` asks for more.
const NETWORKS: u64 = 12;

/// The stops moved so that the first is at this tick.
fn moved(declared: &Declarations, at: u64) -> Declarations {
    let first = declared.stops[0].at;
    let stops = declared.stops.iter().map(|stop| Stop {
        at: Tick(at) + (stop.at - first),
        ..stop.clone()
    });
    Declarations {
        stops: stops.collect(),
        ..declared.clone()
    }
}

/// Tries the network of a seed, stopped at some ticks; gives at how many.
fn tried(seed: u64) -> u64 {
    let Some(mut drawn) = Drawn::of(seed) else {
        return 0;
    };
    // One of them asks for what a judgement leaves out otherwise.
    drawn.declared.goals = vec![
        Goal::LeftBehindAtMost(0),
        Goal::LostAtMost(0),
        Goal::WorkPerTickAtMost(1.0),
        Goal::GoingRoundAtMost(0),
    ];
    let length_ticks = drawn.run_ticks;
    // Among them the first tick, and two that the run does not come to.
    let mut ticks = vec![0, 1, length_ticks - 1, length_ticks, length_ticks + 5];
    ticks.extend((0..6).map(|_| drawn.random.random_range(0..length_ticks)));
    ticks.sort_unstable();
    let stopped: Vec<Declarations> = ticks.iter().map(|at| moved(&drawn.declared, *at)).collect();
    let inputs = stopped.iter().map(|declared| drawn.input(declared));
    let inputs: Vec<RunInput<'_>> = inputs.collect();
    let mut shared = Vec::new();
    run_alike(&inputs, Wanted::Everything, &mut |found| {
        shared.push(format!("{found:#?}"));
        ControlFlow::Continue(())
    });
    let mut judged = Vec::new();
    run_alike(&inputs, Wanted::Judgement, &mut |found| {
        judged.push(found);
        ControlFlow::Continue(())
    });
    assert_eq!(shared.len(), inputs.len());
    for (((input, shared), judged), at) in inputs.iter().zip(shared).zip(judged).zip(ticks) {
        let found = run(input, &mut |_| {});
        assert_eq!(
            found.verdicts, judged.verdicts,
            "seed {seed}, stopped at {at}"
        );
        assert_eq!(found.stops, judged.stops, "seed {seed}, stopped at {at}");
        let whole = format!("{found:#?}");
        assert!(
            whole == shared,
            "seed {seed}, stopped at {at}: {}",
            first_difference(&whole, &shared)
        );
    }
    inputs.len() as u64
}

#[test]
fn random_networks_stopped_together_and_each_by_itself_are_alike() {
    let networks = std::env::var("ALIKE_NETWORKS").ok();
    let networks = networks.map_or(NETWORKS, |text| text.parse().expect("a number"));
    let tried: u64 = (0..networks).map(tried).sum();
    println!("{tried} stops of {networks} networks");
    assert!(tried > 3 * networks, "only {tried} stops");
}

/// Goals that a run may miss for good before its end, all but the last with bounds between nothing and more than most
/// runs come to.
fn drawn_goals(drawn: &mut Drawn) -> Vec<Goal> {
    let sections = drawn.declared.sections.len();
    let has_desk = !drawn.declared.desks.is_empty();
    let longest_ticks = drawn.run_ticks;
    let mut draw = |below: u64| drawn.random.random_range(0..below);
    let marks = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet, Mark::Resumed];
    let mut goals = vec![
        Goal::LostAtMost(draw(20)),
        Goal::RefusedAtMost(draw(40)),
        Goal::StopsNotSafeAtMost(draw(2)),
    ];
    for mark in marks {
        let section = draw(sections as u64 + 1).checked_sub(1);
        goals.push(Goal::MarkWithin {
            mark,
            section: section.and_then(|section| usize::try_from(section).ok()),
            ticks: draw(longest_ticks),
        });
    }
    if has_desk {
        goals.push(Goal::RequestWithin {
            desk: 0,
            ticks: draw(longest_ticks),
            with_stops: draw(2) == 0,
        });
    }
    goals
}

/// Decides the runs of the network of a seed, each with one goal alone allowed to be missed; gives how many ended
/// early, by that goal.
fn decided(seed: u64, ended: &mut [u64; 8]) {
    let Some(mut drawn) = Drawn::of(seed) else {
        return;
    };
    let goals = drawn_goals(&mut drawn);
    let length_ticks = drawn.run_ticks;
    let mut ticks: Vec<u64> = (0..4)
        .map(|_| drawn.random.random_range(0..length_ticks))
        .collect();
    ticks.sort_unstable();
    for (place, goal) in goals.iter().enumerate() {
        drawn.declared.goals = only(goal);
        let stopped: Vec<Declarations> =
            ticks.iter().map(|at| moved(&drawn.declared, *at)).collect();
        let inputs = stopped.iter().map(|declared| drawn.input(declared));
        let inputs: Vec<RunInput<'_>> = inputs.collect();
        let mut left = inputs.iter();
        decide_alike(&inputs, &mut |decided| {
            let input = left.next().expect("no more is decided than asked");
            let whole = run(input, &mut |_| {});
            match decided {
                Decided::AtTheEnd(found) => assert_eq!(found.verdicts, whole.verdicts),
                Decided::Missed { at, verdict } => {
                    let missed = &whole.verdicts[verdict];
                    assert!(!missed.is_met(), "seed {seed}, at {at:?}: {missed:#?}");
                    assert_eq!(missed.goal, Some(0), "seed {seed}: all else is allowed");
                    assert!(at.0 < input.run_ticks);
                    ended[place] += 1;
                }
            }
            ControlFlow::Continue(())
        });
        assert!(left.next().is_none(), "each is decided");
    }
}

/// One goal, and others that allow all else that may be certain before the end.
fn only(goal: &Goal) -> Vec<Goal> {
    let most = u64::MAX / 2;
    let mut goals = vec![goal.clone()];
    let asks = |other: &Goal| std::mem::discriminant(goal) == std::mem::discriminant(other);
    let others = [
        Goal::LostAtMost(most),
        Goal::RefusedAtMost(most),
        Goal::StopsNotSafeAtMost(most),
    ];
    goals.extend(others.into_iter().filter(|other| !asks(other)));
    goals
}

#[test]
fn a_run_that_ends_early_misses_what_the_whole_run_misses() {
    let networks = std::env::var("ALIKE_NETWORKS").ok();
    let networks = networks.map_or(NETWORKS, |text| text.parse().expect("a number"));
    let mut ended = [0; 8];
    for seed in 0..networks {
        decided(seed, &mut ended);
    }
    println!("ended early by each goal: {ended:?}");
    assert!(ended.iter().all(|count| *count > 0), "{ended:?}");
}

#[test]
fn runs_that_are_measured_at_other_ticks_share_nothing() {
    let network = hallwright_core::network::NetworkBuilder::new(Default::default());
    let network = network.build().expect("nothing at all is sound");
    let (timeline, declarations) = Default::default();
    let of = |run_ticks, seed| RunInput {
        network: &network,
        timeline: &timeline,
        seed,
        orders: Default::default(),
        run_ticks,
        declarations: &declarations,
    };
    // Curves have 200 points.
    assert!(are_alike(&of(801, 7), &of(1_000, 7)));
    assert!(!are_alike(&of(1_000, 7), &of(1_001, 7)));
    assert!(!are_alike(&of(1_000, 7), &of(1_000, 8)));
    let of_others = Timeline::default();
    let other_timeline = RunInput {
        timeline: &of_others,
        ..of(1_000, 7)
    };
    assert!(!are_alike(&of(1_000, 7), &other_timeline));
}
