//! Leaving a hall: what breaks when its regions fall asleep one after another, worked out by hand.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Lamp, Region, Restart, Stop};
use hallwright_report::RunInput;
use hallwright_trials::leave::{
    Breakage, BrokenWay, LeaveFindings, Leaving, Pattern, When, leave, patterns,
};
use hallwright_trials::{Machine, StopRange};

/// Near: a lever, and a repeater that hands its change on 4 ticks later. Far: a toggle, which flips each
/// time that the repeater comes on, and so counts how often the hall was switched on. The lever goes off in
/// tick 100 and comes on again in tick 300; a lamp is on while the repeater is off.
struct Hall {
    network: Network,
    regions: Vec<Region>,
    declarations: Declarations,
}

fn hall() -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    let run = builder.add("run", Part::Signal(Signal::Lever { starts_on: true }));
    let late = Signal::Repeater {
        input: run,
        delay_ticks: 4,
        lock: None,
    };
    let late = builder.add("late", Part::Signal(late));
    let rest = builder.add("rest", Part::Signal(Signal::Inverter { input: late }));
    let flip = builder.add("flip", Part::Signal(Signal::Toggle { input: rest }));
    let chest = builder.add("chest", Part::Container(Container { slots: 1 }));
    let network = builder.build().expect("it is sound");
    let lever = |on| vec![Action::MoveLever { lever: run, on }];
    let restart = Restart {
        after_ticks: 200,
        actions: lever(true),
    };
    let declarations = Declarations {
        lamps: vec![Lamp {
            name: "closing".to_owned(),
            signal: rest,
            watches: Vec::new(),
        }],
        stops: vec![Stop {
            at: Tick(100),
            actions: lever(false),
            restart: Some(restart),
        }],
        ..Declarations::default()
    };
    Hall {
        regions: vec![
            region("near", vec![run, late, rest]),
            region("far", vec![flip, chest]),
        ],
        network,
        declarations,
    }
}

fn region(name: &str, parts: Vec<PartId>) -> Region {
    Region {
        name: name.to_owned(),
        parts,
    }
}

fn left(hall: &Hall, from: u64, to: u64) -> LeaveFindings {
    let base = RunInput {
        network: &hall.network,
        timeline: &Timeline::default(),
        seed: 0,
        orders: Orders::default(),
        run_ticks: 600,
        declarations: &hall.declarations,
    };
    let range = StopRange {
        from: Tick(from),
        to: Tick(to),
        step_ticks: 1,
    };
    let leaving = Leaving {
        apart_ticks: 20,
        pause_ticks: 20,
    };
    let machine = Machine::new(None, |_| {}).expect("threads start");
    let ways = patterns(1, hall.regions.len(), 30);
    leave(&base, &hall.regions, leaving, &ways, range, &machine)
}

#[test]
fn what_changes_while_the_far_end_sleeps_is_lost_on_it() {
    let hall = hall();
    let found = left(&hall, 95, 112);
    // The lever goes off in tick 100, the repeater in tick 104, the inverter comes on in tick 106, and that
    // is the edge on which the toggle schedules its flip. Whoever leaves before the end of that tick and lets
    // the far end sleep first takes it from the toggle.
    assert_eq!(found.well_from(), Some(Tick(106)), "{found:?}");
    let last = found.last_broken().expect("something broke before");
    assert_eq!(last.tick, Tick(105));
    let BrokenWay { way, what, .. } = &last.broken[0];
    assert!(!way.near_first);
    let flip = Breakage::Signal {
        name: "flip".to_owned(),
        level: 0,
        undisturbed: 15,
    };
    assert_eq!(
        what,
        &[(When::AtRest, flip.clone()), (When::SwitchedOn, flip)]
    );
    // At tick 105 the lamp was not on yet: it told no lie.
    assert_eq!(found.false_lights(0), []);
    assert!(found.ticks.iter().all(|left| left.failed.is_empty()));
}

/// A hopper near by hands slate from one chest on into another one far away, an item every 8 ticks. The lever
/// goes off in tick 100, and 52 ticks later the hopper is locked.
fn slate_hall() -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    let slate = builder.kind("slate", StackLimit::SixtyFour);
    let run = builder.add("run", Part::Signal(Signal::Lever { starts_on: true }));
    let off = builder.add("off", Part::Signal(Signal::Inverter { input: run }));
    let lock = Signal::DelayLine {
        input: off,
        delay_ticks: 50,
    };
    let lock = builder.add("lock", Part::Signal(lock));
    let source = builder.add("source", Part::Container(Container { slots: 1 }));
    let chest = builder.add("chest", Part::Container(Container { slots: 1 }));
    let head = Part::Hopper(Hopper {
        target: Some(chest),
        intake: Intake::Above(source),
        lock: Some(lock),
    });
    let head = builder.add("head", head);
    builder.fill(
        source,
        Filling {
            slot: 0,
            kind: slate,
            count: 64,
            contents: Vec::new(),
        },
    );
    let stop = Stop {
        at: Tick(100),
        actions: vec![Action::MoveLever {
            lever: run,
            on: false,
        }],
        restart: Some(Restart {
            after_ticks: 400,
            actions: vec![Action::MoveLever {
                lever: run,
                on: true,
            }],
        }),
    };
    Hall {
        regions: vec![
            region("near", vec![run, off, lock, source, head]),
            region("far", vec![chest]),
        ],
        network: builder.build().expect("it is sound"),
        declarations: Declarations {
            stops: vec![stop],
            ..Declarations::default()
        },
    }
}

#[test]
fn what_the_far_end_did_not_take_is_found_before_the_hall_is_switched_on() {
    let hall = slate_hall();
    let found = left(&hall, 110, 110);
    let all = &found.ticks[0];
    assert!(all.failed.is_empty(), "{found:?}");
    // The hopper hands on in ticks 8, 16 … 144, 18 items, and would again in tick 152, when it is locked. With
    // the far end asleep first, from tick 111, that of tick 104 is the last for now. The near end sleeps from
    // tick 131 until the world is opened in tick 151: the turns of ticks 136 and 144 come 20 ticks later, and
    // so does the lock, before that of tick 172. The three in between are still in the hopper.
    let plain = |near_first: bool| {
        let of = |way: &Pattern| way.near_first == near_first && way.late_ticks == [0, 0];
        let broken = all.broken.iter().filter(|broken| of(&broken.way));
        broken.map(|broken| &broken.what).collect::<Vec<_>>()
    };
    let inventory = |name: &str, more: &[u64], fewer: &[u64]| {
        let named = |items: &[u64]| {
            items
                .iter()
                .map(|items| ("slate".to_owned(), *items))
                .collect()
        };
        (
            When::AtRest,
            Breakage::Inventory {
                name: name.to_owned(),
                more: named(more),
                fewer: named(fewer),
            },
        )
    };
    let three_short = vec![inventory("chest", &[], &[3]), inventory("head", &[3], &[])];
    assert!(!plain(false).is_empty());
    for broken in plain(false) {
        assert_eq!(broken, &three_short, "{all:?}");
    }
    // With the near end asleep first, every turn of the hopper and the lock come 40 ticks later.
    assert_eq!(plain(true), Vec::<&Vec<_>>::new());
    // A far end that is late is not there for some turns of the hopper, whichever fell asleep first.
    let late = all.broken.iter().filter(|broken| broken.way.near_first);
    assert!(late.clone().count() > 0);
    assert!(late.clone().all(|broken| broken.way.late_ticks[1] > 0));
}

#[test]
fn a_hall_at_rest_is_as_before_whichever_way_it_is_left() {
    let found = left(&slate_hall(), 152, 160);
    assert_eq!(found.well_from(), Some(Tick(152)), "{found:?}");
    assert!(found.last_broken().is_none());
}

#[test]
fn parts_in_no_region_are_named_for_they_never_slept() {
    let mut hall = slate_hall();
    assert_eq!(left(&hall, 152, 152).in_no_region, Vec::<String>::new());
    hall.regions[0].parts.pop();
    assert_eq!(left(&hall, 152, 152).in_no_region, ["head"]);
}
