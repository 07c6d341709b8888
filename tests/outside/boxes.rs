//! What boxes hold (common practice, no source): 1,728 items each, 423,360 in 245 of them.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{
    Bench, Container, Dropper, Hopper, Intake, Lift, Outlet, Part, Signal,
};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};

const ITEMS_IN_A_FULL_BOX: usize = 1728;
const BOXES: u16 = 245;
const ITEMS_IN_ALL_BOXES: u64 = 423_360;

fn filling(slot: u16, kind: KindId, count: u8) -> Filling {
    Filling {
        slot,
        kind,
        count,
        contents: Vec::new(),
    }
}

/// A dispenser sets an empty box on a bench, where a hopper fills it from a chest with more than
/// enough. Gives the network, its barley and the bench.
fn loading_bench() -> (Network, KindId, PartId) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("grain box");
    let chest = builder.add("chest", Part::Container(Container { slots: 54 }));
    for slot in 0..54 {
        builder.fill(chest, filling(slot, barley, 64));
    }
    let floor = builder.add("floor", Part::Mouth);
    let bench = builder.add(
        "bench",
        Part::Bench(Bench {
            lift: Lift::Full,
            after_ticks: 0,
            output: floor,
        }),
    );
    builder.add(
        "loader",
        Part::Hopper(Hopper {
            target: Some(bench),
            intake: Intake::Above(chest),
            lock: None,
        }),
    );
    let start = Signal::Clock {
        period_ticks: 1_000_000,
        high_ticks: 1,
        phase_ticks: 1,
    };
    let start = builder.add("start", Part::Signal(start));
    let dispenser = builder.add(
        "dispenser",
        Part::Dropper(Dropper {
            trigger: Some(start),
            outlet: Outlet::Bench(bench),
        }),
    );
    builder.fill(dispenser, filling(0, crate_kind, 1));
    let network = builder.build().expect("a loading bench is sound");
    (network, barley, bench)
}

#[test]
fn a_box_is_full_with_1728_items() {
    let (network, barley, bench) = loading_bench();
    let setup = Setup::default();
    let mut engine = Engine::new(&network, &setup);
    let mut trace = Trace::default();
    // Each item takes 8 ticks; what is left over shows that loading ends by itself.
    engine.run_until(Tick(8 * 2000), &mut trace);
    let events = trace.events.iter().map(|(_, event)| event);
    let loaded = |event: &&Event| matches!(event, Event::ItemMoved { to, .. } if *to == bench);
    assert_eq!(events.clone().filter(loaded).count(), ITEMS_IN_A_FULL_BOX);
    let lifted = events.clone().find_map(|event| match event {
        Event::BoxLifted { item, .. } => item.box_id,
        _ => None,
    });
    let box_id = lifted.expect("the full box was lifted");
    let held: usize = engine
        .view()
        .box_slots(box_id)
        .flatten()
        .filter(|stack| stack.item.kind == barley)
        .map(|stack| usize::from(stack.count))
        .sum();
    assert_eq!(held, ITEMS_IN_A_FULL_BOX);
}

#[test]
fn full_boxes_245_of_them_hold_423_360_items() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let grain_box = builder.box_kind("grain box");
    let store = builder.add("store", Part::Container(Container { slots: BOXES }));
    let network = builder.build().expect("a store alone is sound");
    let delivery = Action::Deliver {
        place: store,
        kind: grain_box,
        count: BOXES.into(),
        contents: (0..27).map(|slot| filling(slot, barley, 64)).collect(),
        terms: Terms::default(),
    };
    let setup = Setup {
        seed: 0,
        orders: Orders::default(),
        timeline: Timeline::new(vec![(Tick(0), delivery)]),
    };
    let mut engine = Engine::new(&network, &setup);
    engine.step(&mut ());
    let view = engine.view();
    assert_eq!(view.delivered(barley), ITEMS_IN_ALL_BOXES);
    let boxes = view.slots(store).into_iter().flatten().flatten();
    let held: u64 = boxes
        .filter_map(|stack| stack.item.box_id)
        .flat_map(|box_id| view.box_slots(box_id).flatten())
        .map(|stack| u64::from(stack.count))
        .sum();
    assert_eq!(held, ITEMS_IN_ALL_BOXES);
}
