//! What rests at one mouth: what is stacked merges, what is not lies there one by one, however much there is.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_reference::ReferenceEngine;

/// How many of each kind come, one a tick.
const ITEMS: usize = 40;

#[test]
fn only_what_is_stacked_merges_where_much_rests() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let grain = builder.kind("grain", StackLimit::SixtyFour);
    let flail = builder.kind("flail", StackLimit::One);
    let halt = builder.add("halt", Part::Signal(Signal::Lever { starts_on: true }));
    let yard = builder.add("yard", Part::Mouth);
    let hopper = Hopper {
        target: None,
        intake: Intake::Mouth(yard),
        lock: Some(halt),
    };
    builder.add("hopper", Part::Hopper(hopper));
    let network = builder.build().expect("a sound network");
    let loose = |kind| Action::Deliver {
        place: yard,
        kind,
        count: 1,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    let each_tick = |tick| [(Tick(tick), loose(flail)), (Tick(tick), loose(grain))];
    let setup = Setup {
        timeline: Timeline::new((0..ITEMS as u64).flat_map(each_tick).collect()),
        ..Setup::default()
    };
    let mut engine = Engine::new(&network, &setup);
    let mut reference = ReferenceEngine::new(&network, &setup);
    let mut merged = Vec::new();
    for tick in 0..100 {
        let mut trace = Trace::default();
        engine.step(&mut trace);
        assert_eq!(trace.events, reference.step(), "tick {tick}");
        merged.extend(trace.events.iter().filter_map(|(_, event)| match event {
            Event::Merged { kind, .. } => Some(*kind),
            _ => None,
        }));
    }
    assert_eq!(engine.view().digest(), reference.digest());
    assert_eq!(merged, vec![grain; ITEMS - 1]);
    let view = engine.view();
    let counts = view
        .loose_stacks()
        .map(|stack| (stack.item.kind, stack.count));
    let counts: Vec<_> = counts.collect();
    let of = |kind| counts.iter().filter(move |(other, _)| *other == kind);
    assert_eq!(of(grain).collect::<Vec<_>>(), [&(grain, ITEMS as u8)]);
    assert_eq!(of(flail).collect::<Vec<_>>(), vec![&(flail, 1); ITEMS]);
}
