//! Work and lock cover, added up by hand from section 8 of the tick rules.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{ComparatorMode, Dropper, Outlet, Part, Rear, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{CostWeights, Declarations, Goal, Section};
use hallwright_report::figures::{Name, Of};
use hallwright_report::units::Share;

use crate::support::{capped, chest, deliver, filling, lever, run_with};

#[test]
fn work_is_mean_peak_and_idle() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let store = chest(&mut builder, "chest", 27);
    let hopper = builder.add("hopper", capped(Some(store), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        width_blocks: Some(2),
        goals: vec![
            Goal::WorkPerTickAtMost(7.5),
            Goal::WorkPerTickAtMost(7.0),
            Goal::HoppersPerBlockAtMost(0.5),
        ],
        ..Declarations::default()
    };
    let found = run_with(
        &network,
        &declarations,
        30,
        vec![(5, deliver(hopper, barley, 1))],
    );
    // Ticks 0 to 4: an empty hopper tries in vain, 10 + 1 for its cap. From the delivery its
    // cooldown of 8 runs: 7 turns at 1. In tick 12 it pushes: 10 + 27 slots + 1. Again 7 turns at 1,
    // then from tick 20 on 11 each: 55 + 7 + 38 + 7 + 110.
    let cost = &found.cost;
    assert_eq!((cost.work_units, cost.work_ticks), (217, 30));
    assert_eq!((cost.peak_work_units, cost.peak_at), (38, Tick(12)));
    // The last item event is in tick 12; with the cooldown of 8 over, ticks 21 to 29 are idle.
    assert_eq!((cost.still_work_units, cost.still_ticks), (99, 9));
    // 217 / 30 = 7.23 units a tick; one hopper on two blocks.
    assert!(found.verdicts[0].is_met());
    assert!(!found.verdicts[1].is_met());
    assert!(found.verdicts[2].is_met());
}

#[test]
fn turns_updates_and_loose_stacks_take_time_by_their_weights() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let store = chest(&mut builder, "chest", 27);
    let hopper = builder.add("hopper", capped(Some(store), None));
    let lock = lever(&mut builder, "lock");
    builder.add("locked", capped(None, Some(lock)));
    let comparator = |rear, side| {
        Part::Signal(Signal::Comparator {
            rear,
            side,
            mode: ComparatorMode::default(),
        })
    };
    builder.add("eye", comparator(Rear::Inventory(store), Some(lock)));
    builder.add("second eye", comparator(Rear::Inventory(hopper), None));
    let mouth = builder.add("mouth", Part::Mouth);
    let network = builder.build().expect("sound");
    let entries = || {
        vec![
            (
                0,
                Action::MoveLever {
                    lever: lock,
                    on: true,
                },
            ),
            (5, deliver(hopper, barley, 1)),
            (25, deliver(mouth, barley, 3)),
        ]
    };
    let declarations = Declarations {
        costs: Some(CostWeights {
            hopper_turn_picoseconds: 1_000_000,
            comparator_update_picoseconds: 10_000_000,
            loose_stack_picoseconds: 100_000_000,
            base_picoseconds: 1_000_000_000,
        }),
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 30, entries());
    let load = found.cost.load.expect("costs are declared");
    // The hopper tries in ticks 0 to 4, in tick 12, and from tick 20 to 29; the locked one never does.
    assert_eq!(load.counts.hopper_turns, 5 + 1 + 10);
    // The lever's change reaches one comparator; the item comes into the hopper, out of it, and into the chest,
    // which raises the level of the comparator that reads it, and nobody reads that.
    assert_eq!(load.counts.comparator_updates, 1 + 1 + 1 + 1);
    // Three items of one kind are one stack, there at the end of ticks 25 to 29.
    assert_eq!((load.counts.loose_stack_ticks, load.counts.ticks), (5, 30));
    // In microseconds: 16 turns, 4 updates of 10, 5 stacks of 100, 30 ticks of 1,000.
    let microseconds = 16 + 4 * 10 + 5 * 100 + 30 * 1_000;
    assert_eq!(load.picoseconds, microseconds * 1_000_000);
    // The worst 20 ticks are the last, 10 to 29: 11 turns, the push of tick 12 with two updates, all stacks.
    let worst = 11 + 2 * 10 + 5 * 100 + 20 * 1_000;
    assert_eq!(
        (load.worst_picoseconds, load.worst_ticks),
        (worst * 1_000_000, 20)
    );
    assert_eq!(load.worst_from, Tick(10));
    let mean = Name::TICK_TIME
        .worst(&found, &Of::Whole)
        .expect("it is measured");
    // 30,556 us in 30 ticks.
    let milliseconds = mean.value().expect("a number");
    assert!(
        (milliseconds - 30.556 / 30.0).abs() < 1e-12,
        "{milliseconds}"
    );
    // Without weights nothing is counted.
    let without = run_with(&network, &Declarations::default(), 30, entries());
    assert_eq!(without.cost.load, None);
    assert!(Name::TICK_TIME.worst(&without, &Of::Whole).is_none());
    assert_eq!(without.cost.work_units, found.cost.work_units);
}

#[test]
fn a_run_shorter_than_a_second_is_its_own_worst_second() {
    let mut builder = NetworkBuilder::new(Rules::default());
    builder.add("idle", capped(None, None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        costs: Some(CostWeights {
            hopper_turn_picoseconds: 3,
            ..CostWeights::default()
        }),
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 7, Vec::new());
    let load = found.cost.load.expect("costs are declared");
    assert_eq!((load.picoseconds, load.worst_picoseconds), (21, 21));
    assert_eq!((load.worst_ticks, load.worst_from), (7, Tick(0)));
}

#[test]
fn lock_cover_counts_the_ticks_in_which_the_call_is_off() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let call = lever(&mut builder, "call");
    let lock = lever(&mut builder, "lock");
    let first = builder.add("first", capped(None, Some(lock)));
    let second = builder.add("second", capped(None, Some(lock)));
    let network = builder.build().expect("sound");
    let section = |name: &str, call| Section {
        name: name.to_owned(),
        line: Vec::new(),
        queue: Vec::new(),
        locked: vec![first, second],
        call,
        returns: Vec::new(),
        width_blocks: None,
    };
    let cover_goal = |section, share| Goal::LockCoverAtLeast { section, share };
    let declarations = Declarations {
        sections: vec![section("called", Some(call)), section("always", None)],
        goals: vec![cover_goal(Some(0), 0.75), cover_goal(None, 0.8)],
        ..Declarations::default()
    };
    let turn = |lever, on| Action::MoveLever { lever, on };
    let entries = vec![
        (20, turn(lock, true)),
        (40, turn(call, true)),
        (60, turn(call, false)),
    ];
    let found = run_with(&network, &declarations, 100, entries);
    // The call is off in ticks 0 to 39 and 60 to 99, locked in 20 to 39 and 60 to 99: 60 of 80
    // ticks, for two hoppers. Without a call: 80 of 100 ticks.
    let share = |part, whole| Share { part, whole };
    assert_eq!(found.sections[0].lock_cover, share(120, 160));
    assert_eq!(found.sections[1].lock_cover, share(160, 200));
    assert_eq!(found.cost.lock_cover, share(280, 360));
    assert!(found.verdicts[0].is_met());
    // 280 / 360 = 77.8 %.
    assert!(!found.verdicts[1].is_met());
}

#[test]
fn a_lock_cover_that_no_idle_tick_bears_out_meets_no_goal() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let call = builder.add("call", Part::Signal(Signal::Lever { starts_on: true }));
    let lock = builder.add("lock", Part::Signal(Signal::Lever { starts_on: true }));
    let locked = builder.add("locked", capped(None, Some(lock)));
    let network = builder.build().expect("sound");
    let section = |name: &str, call| Section {
        name: name.to_owned(),
        line: Vec::new(),
        queue: Vec::new(),
        locked: vec![locked],
        call,
        returns: Vec::new(),
        width_blocks: None,
    };
    let cover_goal = |section| Goal::LockCoverAtLeast {
        section,
        share: 1.0,
    };
    let declarations = Declarations {
        sections: vec![section("busy", Some(call)), section("idle", None)],
        goals: vec![cover_goal(Some(0)), cover_goal(Some(1)), cover_goal(None)],
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 50, Vec::new());
    // The hopper is locked all the time. That counts where there is no call, but a call that stays on
    // hides a lock that would never come on again.
    let met: Vec<bool> = found.goals().map(|one| one.is_met()).collect();
    assert_eq!(met, [false, true, false]);
    let why = found.verdicts[2].remark.as_deref();
    assert_eq!(why, Some("the call of \"busy\" was never off"));
}

#[test]
fn droppers_click_throw_and_hand_on() {
    // A clock fires both droppers every 20 ticks, for the first time 4 ticks after tick 10.
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let clock = Signal::Clock {
        period_ticks: 20,
        high_ticks: 4,
        phase_ticks: 10,
    };
    let clock = builder.add("clock", Part::Signal(clock));
    let store = chest(&mut builder, "chest", 27);
    let mouth = builder.add("mouth", Part::Mouth);
    for (name, outlet, count) in [
        ("thrower", Outlet::Loose(mouth), 2),
        ("lift", Outlet::Into(store), 3),
    ] {
        let dropper = Dropper {
            trigger: Some(clock),
            outlet,
        };
        let dropper = builder.add(name, Part::Dropper(dropper));
        builder.fill(dropper, filling(0, barley, count));
    }
    let network = builder.build().expect("sound");
    let found = run_with(&network, &Declarations::default(), 100, Vec::new());
    // Firings in ticks 14, 34, 54, 74 and 94: of five each, the thrower throws two and clicks three
    // times, the lift hands on three and clicks twice.
    let cost = &found.cost;
    assert_eq!((cost.clicks, cost.throws, cost.handed_on), (5, 2, 3));
    assert_eq!(found.whereabouts.loose_items, 2);
}
