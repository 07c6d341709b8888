//! How fast a fed hopper line passes things on: 2.5 a second, items and boxes alike (common
//! practice, no source).

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;

/// The line is fed and flows evenly after this.
const WARM_UP_TICKS: u64 = 200;
/// The measured time: 40 seconds of 20 ticks.
const MEASURED_TICKS: u64 = 800;
/// 40 seconds at 2.5 a second.
const EXPECTED: usize = 100;

/// How many things reach the chest at the end of a line of five hoppers while it is measured.
fn arrivals(
    make_kind: impl Fn(&mut NetworkBuilder) -> KindId,
    per_slot: u8,
    order: &Order,
) -> usize {
    let mut builder = NetworkBuilder::new(Rules::default());
    let kind = make_kind(&mut builder);
    let slots = 200;
    let source = builder.add("source", Part::Container(Container { slots }));
    for slot in 0..slots {
        let filling = Filling {
            slot,
            kind,
            count: per_slot,
            contents: Vec::new(),
        };
        builder.fill(source, filling);
    }
    let line: Vec<PartId> = (0..5)
        .map(|number| builder.declare(&format!("hopper {number}")))
        .collect();
    let chest = builder.add("chest", Part::Container(Container { slots }));
    for (number, id) in line.iter().enumerate() {
        let is_first = number == 0;
        let hopper = Hopper {
            target: Some(line.get(number + 1).copied().unwrap_or(chest)),
            intake: if is_first {
                Intake::Above(source)
            } else {
                Intake::Cap
            },
            lock: None,
        };
        builder.define(*id, Part::Hopper(hopper));
    }
    let network = builder.build().expect("a line of hoppers is sound");
    let setup = Setup {
        orders: Orders::of_update(order.clone()),
        ..Setup::default()
    };
    let mut engine = Engine::new(&network, &setup);
    engine.run_until(Tick(WARM_UP_TICKS), &mut ());
    let mut trace = Trace::default();
    engine.run_until(Tick(WARM_UP_TICKS + MEASURED_TICKS), &mut trace);
    let arrives = |event: &Event| matches!(event, Event::ItemMoved { to, .. } if *to == chest);
    let events = trace.events.iter();
    events.filter(|(_, event)| arrives(event)).count()
}

fn orders() -> [Order; 3] {
    let shuffled = Order::Shuffled(1);
    [Order::Declared, Order::Reversed, shuffled]
}

#[test]
fn a_fed_line_passes_two_and_a_half_items_a_second() {
    for order in orders() {
        let barley = |builder: &mut NetworkBuilder| builder.kind("barley", StackLimit::SixtyFour);
        assert_eq!(arrivals(barley, 64, &order), EXPECTED, "{order:?}");
    }
}

#[test]
fn a_fed_line_passes_two_and_a_half_boxes_a_second() {
    for order in orders() {
        let boxes = |builder: &mut NetworkBuilder| builder.box_kind("box");
        assert_eq!(arrivals(boxes, 1, &order), EXPECTED, "{order:?}");
    }
}
