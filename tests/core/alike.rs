//! Two states of a run are alike if, and only if, the run goes on alike from both.

use hallwright_core::engine::Engine;
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};

const BARLEY: KindId = KindId::from_index(0);

/// Ten barley in a chest that a hopper empties into another, two mouths that nothing takes from, and a lever.
struct Hall {
    network: Network,
    mouths: [PartId; 2],
    lever: PartId,
}

fn hall() -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    builder.kind("barley", StackLimit::SixtyFour);
    let [from, to] =
        ["from", "to"].map(|name| builder.add(name, Part::Container(Container { slots: 1 })));
    let filling = Filling {
        slot: 0,
        kind: BARLEY,
        count: 10,
        contents: Vec::new(),
    };
    builder.fill(from, filling);
    let hopper = Hopper {
        target: Some(to),
        intake: Intake::Above(from),
        lock: None,
    };
    builder.add("hopper", Part::Hopper(hopper));
    let mouths = ["yard", "quay"].map(|name| builder.add(name, Part::Mouth));
    let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
    Hall {
        network: builder.build().expect("the hall is sound"),
        mouths,
        lever,
    }
}

/// The state before a tick, in a run in which one thing is done.
fn state(hall: &Hall, done: Option<(u64, Action)>, before: u64) -> Vec<u64> {
    let done = done.into_iter().map(|(at, action)| (Tick(at), action));
    let setup = Setup {
        timeline: Timeline::new(done.collect()),
        ..Setup::default()
    };
    let mut engine = Engine::new(&hall.network, &setup);
    engine.run_unwatched(Tick(before));
    engine.view().relative_state()
}

#[test]
fn what_parts_hold_makes_two_states_unlike_and_the_time_does_not() {
    let hall = hall();
    let of = |before| state(&hall, None, before);
    // The hopper acts in every eighth tick.
    assert_ne!(of(20), of(28));
    // The last item is pushed in tick 80.
    assert_eq!(of(100), of(108));
}

#[test]
fn where_something_loose_lies_and_for_how_long_makes_two_states_unlike() {
    let hall = hall();
    let of = |mouth: usize, at| {
        let delivery = Action::Deliver {
            place: hall.mouths[mouth],
            kind: BARLEY,
            count: 1,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        state(&hall, Some((at, delivery)), 200)
    };
    assert_eq!(of(0, 150), of(0, 150));
    assert_ne!(of(0, 150), of(1, 150));
    assert_ne!(of(0, 150), of(0, 160));
}

#[test]
fn how_long_a_signal_is_still_stuck_counts_and_not_since_when() {
    let hall = hall();
    let of = |at, stuck_ticks, before| {
        let stick = Action::Stick {
            signals: vec![hall.lever],
            on: true,
            stuck_ticks,
        };
        state(&hall, Some((at, stick)), before)
    };
    assert_eq!(of(150, 60, 200), of(250, 60, 300));
    assert_eq!(of(150, 60, 200), of(160, 50, 200));
    assert_ne!(of(150, 60, 200), of(150, 70, 200));
}
