//! An arrival that is over at once lets a hopper act on what is offered to it later in the same phase.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::{Phase, Tick};
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_reference::ReferenceEngine;

/// Arrivals take 1 tick, 0 from a hopper that has had no more turns. `second` takes a flail in tick 0,
/// hands it on in tick 8 and waits until tick 16. `first` is unlocked in tick 10; of the flail offered at
/// the yard it makes a push, and `second`, wholly empty, may act at once: on the flail at the pond, which
/// came loose later and so has its turn later in the phase.
struct Pair {
    network: Network,
    setup: Setup,
    first: PartId,
    second: PartId,
    chest: PartId,
}

fn pair() -> Pair {
    let rules = Rules {
        arrival_ticks: 1,
        ..Rules::default()
    };
    let mut builder = NetworkBuilder::new(rules);
    let grain = builder.kind("grain", StackLimit::SixtyFour);
    let flail = builder.kind("flail", StackLimit::One);
    let halt = builder.add("halt", Part::Signal(Signal::Lever { starts_on: true }));
    let yard = builder.add("yard", Part::Mouth);
    let pond = builder.add("pond", Part::Mouth);
    let chest = builder.add("chest", Part::Container(Container { slots: 27 }));
    let hopper = |target, mouth, lock| {
        Part::Hopper(Hopper {
            target: Some(target),
            intake: Intake::Mouth(mouth),
            lock,
        })
    };
    let second = builder.add("second", hopper(chest, pond, None));
    let first = builder.add("first", hopper(second, yard, Some(halt)));
    let filling = Filling {
        slot: 0,
        kind: grain,
        count: 1,
        contents: Vec::new(),
    };
    builder.fill(first, filling);
    let network = builder.build().expect("a sound network");
    let loose = |place| Action::Deliver {
        place,
        kind: flail,
        count: 1,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    let timeline = Timeline::new(vec![
        (Tick(0), loose(pond)),
        (Tick(8), loose(yard)),
        (Tick(9), loose(pond)),
        (
            Tick(10),
            Action::MoveLever {
                lever: halt,
                on: false,
            },
        ),
    ]);
    let setup = Setup {
        timeline,
        ..Setup::default()
    };
    Pair {
        network,
        setup,
        first,
        second,
        chest,
    }
}

#[test]
fn a_hopper_whose_arrival_is_over_at_once_acts_on_later_stacks_of_the_phase() {
    let Pair {
        network,
        setup,
        first,
        second,
        chest,
    } = pair();
    let mut engine = Engine::new(&network, &setup);
    let mut reference = ReferenceEngine::new(&network, &setup);
    for tick in 0..30 {
        let mut trace = Trace::default();
        engine.step(&mut trace);
        assert_eq!(trace.events, reference.step(), "tick {tick}");
        assert_eq!(engine.view().digest(), reference.digest(), "tick {tick}");
        if tick == 10 {
            let events = trace.events.iter();
            let moved: Vec<_> = events
                .filter(|(moment, _)| moment.phase == Phase::Loose)
                .map(|(_, event)| match *event {
                    Event::ItemMoved { from, to, .. } => (from, to),
                    Event::Collected { hopper, .. } => (hopper, hopper),
                    other => panic!("{other:?}"),
                })
                .collect();
            let expected = [
                (first, second),
                (first, first),
                (second, chest),
                (second, second),
            ];
            assert_eq!(moved, expected, "pushes and collections of tick 10");
        }
    }
}
