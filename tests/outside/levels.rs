//! What a comparator reads from a hopper.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::Orders;
use hallwright_core::part::{ComparatorMode, Hopper, Intake, Part, Rear, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};

/// The fewest items of limit 64 that a hopper of 5 slots shows each level from 1 to 15 with (common
/// practice, from memory, no source).
const FEWEST_ITEMS: [u64; 15] = [
    1, 23, 46, 69, 92, 115, 138, 160, 183, 206, 229, 252, 275, 298, 320,
];

/// Ticks from one delivery to the next: longer than the comparator's delay.
const BETWEEN_TICKS: u64 = 4;

#[test]
fn a_hopper_shows_each_level_from_the_number_of_items_that_builders_know() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let hopper = builder.add(
        "hopper",
        Part::Hopper(Hopper {
            target: None,
            intake: Intake::Cap,
            lock: None,
        }),
    );
    let comparator = builder.add(
        "comparator",
        Part::Signal(Signal::Comparator {
            rear: Rear::Inventory(hopper),
            side: None,
            mode: ComparatorMode::Compare,
        }),
    );
    let network = builder.build().expect("a comparator may read a hopper");
    let delivery = Action::Deliver {
        place: hopper,
        kind: barley,
        count: 1,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    // The n-th item comes at tick BETWEEN_TICKS * n.
    let timeline = (1..=320).map(|n| (Tick(BETWEEN_TICKS * n), delivery.clone()));
    let setup = Setup {
        seed: 0,
        orders: Orders::default(),
        timeline: Timeline::new(timeline.collect()),
    };
    let mut trace = Trace::default();
    let mut engine = Engine::new(&network, &setup);
    engine.run_until(Tick(BETWEEN_TICKS * 322), &mut trace);
    let rises: Vec<(u8, u64)> = trace
        .events
        .iter()
        .filter_map(|(moment, event)| match event {
            Event::SignalChanged { signal, level } if *signal == comparator => {
                Some((*level, moment.tick.0 / BETWEEN_TICKS))
            }
            _ => None,
        })
        .collect();
    let expected: Vec<(u8, u64)> = (1..).zip(FEWEST_ITEMS).collect();
    assert_eq!(rises, expected, "level and number of items");
}
