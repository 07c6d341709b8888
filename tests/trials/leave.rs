//! Leaving a hall: what breaks when its regions fall asleep one after another, worked out by hand.

use hallwright_core::declare::{Declarations, Lamp, Region, Restart, Stop};
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{Container, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_report::RunInput;
use hallwright_trials::leave::{Breakage, LeaveFindings, Leaving, When, leave, patterns};
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
    let region = |name: &str, parts: Vec<PartId>| Region {
        name: name.to_owned(),
        parts,
    };
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
    let (way, broken) = &last.broken[0];
    assert!(!way.near_first);
    let flip = Breakage::Signal {
        name: "flip".to_owned(),
        level: 0,
        undisturbed: 15,
    };
    assert_eq!(
        broken,
        &[(When::AtRest, flip.clone()), (When::SwitchedOn, flip)]
    );
    // At tick 105 the lamp was not on yet: it told no lie.
    assert_eq!(found.false_lights(0), []);
    assert!(found.ticks.iter().all(|left| left.failed.is_empty()));
}
