//! The worst minute of a flow: only time counts in which goods wait one link before it.
//!
//! A hopper below a chest pulls in ticks 0, 8, 16, …: 150 items in any 1,200 ticks.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Flow, Goal, Restart, Stop};
use hallwright_report::findings::Findings;
use hallwright_report::units::Rate;

use crate::support::{chest, deliver, filling, lever, run_with};

/// A chest, a hopper below it that is counted, and a store of so many slots.
struct Hall {
    builder: NetworkBuilder,
    barley: KindId,
    flax: KindId,
    source: PartId,
    line: PartId,
    shut: PartId,
}

fn hall(slots: u16) -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let source = chest(&mut builder, "source", 27);
    let store = chest(&mut builder, "store", slots);
    let shut = lever(&mut builder, "shut");
    let line = builder.add(
        "line",
        Part::Hopper(Hopper {
            target: Some(store),
            intake: Intake::Above(source),
            lock: Some(shut),
        }),
    );
    Hall {
        builder,
        barley,
        flax,
        source,
        line,
        shut,
    }
}

impl Hall {
    /// Runs it with these goals of throughput: the bound, and whether the best is judged.
    fn run(
        self,
        goals: &[(f64, bool)],
        run_ticks: u64,
        entries: Vec<(u64, Action)>,
        declared: Declarations,
    ) -> Findings {
        let network = self.builder.build().expect("the hall is sound");
        let goal = |(items_per_second, best): &(f64, bool)| Goal::ThroughputAtLeast {
            flow: 0,
            items_per_second: *items_per_second,
            best: *best,
        };
        let declared = Declarations {
            flows: vec![Flow {
                name: "in".to_owned(),
                into: vec![self.line],
                kinds: Vec::new(),
            }],
            goals: goals.iter().map(goal).collect(),
            ..declared
        };
        run_with(&network, &declared, run_ticks, entries)
    }
}

fn met(found: &Findings) -> Vec<bool> {
    let verdicts = found.goals();
    verdicts.map(|verdict| verdict.is_met()).collect()
}

#[test]
fn a_flow_that_jams_misses_what_its_best_minute_meets() {
    let hall = hall(3);
    let entries = vec![(0, deliver(hall.source, hall.barley, 1_000))];
    let goals = [(2.4, false), (2.4, true)];
    let found = hall.run(&goals, 6_000, entries, Declarations::default());
    // The store takes 3 x 64 = 192 items and the hopper 5 x 64 = 320 more: 512 are pulled, the last in
    // tick 8 x 511 = 4,088. The other 488 wait to the end.
    let flow = &found.flows[0];
    assert_eq!(flow.items, 512);
    let worst = flow.worst.expect("goods waited");
    let none = Rate {
        items: 0,
        ticks: 1_200,
    };
    assert_eq!((worst.rate, worst.from), (none, Tick(4_089)));
    assert!(worst.is_full);
    assert_eq!(flow.steadiest.per_second(20), 2.5);
    assert_eq!(met(&found), [false, true]);
    let verdict = &found.verdicts[0];
    assert_eq!(verdict.subject, "worst minute of \"in\"");
    assert_eq!(verdict.went_wrong_at, Some(Tick(4_089)));
}

#[test]
fn an_even_flow_is_as_fast_at_worst_as_at_best() {
    let hall = hall(27);
    let entries = vec![(0, deliver(hall.source, hall.barley, 1_000))];
    let goals = [(2.5, false), (2.51, false)];
    let found = hall.run(&goals, 6_000, entries, Declarations::default());
    let worst = found.flows[0].worst.expect("goods waited");
    assert_eq!((worst.rate.items, worst.rate.ticks), (150, 1_200));
    assert_eq!(met(&found), [true, false]);
}

#[test]
fn a_flow_that_takes_all_as_it_comes_is_judged_by_its_best() {
    let hall = hall(27);
    // One item every 16 ticks, which is taken in the tick in which it comes.
    let one = |number: u64| (16 * number, deliver(hall.source, hall.barley, 1));
    let entries = (0..300).map(one).collect();
    let goals = [(1.25, false), (1.26, false)];
    let found = hall.run(&goals, 5_000, entries, Declarations::default());
    assert_eq!(found.flows[0].worst, None);
    assert_eq!(met(&found), [true, false]);
    for verdict in found.goals() {
        let why = "goods never waited long enough for a worst minute";
        assert_eq!(verdict.remark.as_deref(), Some(why));
    }
}

#[test]
fn goods_that_wait_for_less_than_a_minute_are_looked_at_in_shorter_windows() {
    let hall = hall(27);
    // Pulled in ticks 0, 8, … 792: 100 items, the last of which ends the wait.
    let entries = vec![(0, deliver(hall.source, hall.barley, 100))];
    let found = hall.run(&[(2.5, false)], 2_000, entries, Declarations::default());
    let worst = found.flows[0].worst.expect("goods waited");
    // A quarter of 792 ticks is 198: the first count at least so much later comes after 200.
    let even = Rate {
        items: 25,
        ticks: 200,
    };
    assert_eq!((worst.rate, worst.is_full), (even, false));
    assert_eq!(met(&found), [true]);
    let remark = found.verdicts[0].remark.as_deref();
    let over = "over 10.0 s: goods never waited for a whole minute";
    assert_eq!(remark, Some(over));
}

#[test]
fn no_window_reaches_into_a_stop() {
    let run = |is_stop: bool| {
        let hall = hall(27);
        let shut = |on| Action::MoveLever {
            lever: hall.shut,
            on,
        };
        let mut entries = vec![(0, deliver(hall.source, hall.barley, 1_000))];
        let mut declared = Declarations::default();
        if is_stop {
            declared.stops = vec![Stop {
                at: Tick(1_600),
                actions: vec![shut(true)],
                restart: Some(Restart {
                    after_ticks: 2_000,
                    actions: vec![shut(false)],
                }),
            }];
        } else {
            entries.extend([(1_600, shut(true)), (3_600, shut(false))]);
        }
        let found = hall.run(&[], 5_000, entries, declared);
        found.flows[0].worst.expect("goods waited").rate.items
    };
    assert_eq!(run(true), 150);
    // The same lock without a stop is the hall's own affair.
    assert_eq!(run(false), 0);
}

#[test]
fn what_a_sieve_never_takes_does_not_wait_for_it() {
    let run = |comes: fn(&Hall) -> KindId| {
        let mut hall = hall(27);
        for slot in 0..5 {
            let filling = filling(slot, hall.barley, 64);
            hall.builder.fill(hall.line, filling);
        }
        let shut = Action::MoveLever {
            lever: hall.shut,
            on: true,
        };
        let entries = vec![(0, shut), (0, deliver(hall.source, comes(&hall), 500))];
        let declared = Declarations {
            sieves: vec![hall.line],
            ..Declarations::default()
        };
        let found = hall.run(&[], 2_000, entries, declared);
        found.flows[0].worst.map(|worst| worst.rate.items)
    };
    assert_eq!(run(|hall| hall.flax), None);
    assert_eq!(run(|hall| hall.barley), Some(0));
}

#[test]
fn what_a_sieve_keeps_for_itself_is_not_waiting() {
    let run = |more: u32| {
        let mut hall = hall(27);
        // A sieve of 41 and 4 beside the line, which pushes into it when it is unlocked: here never.
        let sieve = hall.builder.add(
            "sieve",
            Part::Hopper(Hopper {
                target: Some(hall.line),
                intake: Intake::Cap,
                lock: Some(hall.shut),
            }),
        );
        hall.builder.fill(sieve, filling(0, hall.barley, 41));
        for slot in 1..5 {
            hall.builder.fill(sieve, filling(slot, hall.flax, 1));
        }
        let shut = Action::MoveLever {
            lever: hall.shut,
            on: true,
        };
        let mut entries = vec![(0, shut)];
        if more > 0 {
            entries.push((0, deliver(sieve, hall.barley, more)));
        }
        let declared = Declarations {
            sieves: vec![sieve],
            ..Declarations::default()
        };
        let found = hall.run(&[], 2_000, entries, declared);
        found.flows[0].worst.map(|worst| worst.rate.items)
    };
    assert_eq!(run(0), None);
    assert_eq!(run(1), Some(0));
}
