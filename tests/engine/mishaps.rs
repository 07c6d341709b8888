//! Mishaps, worked out by hand: in the reference engine, in the engine itself step by step, leaping, and
//! going on from a saved state.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{
    Bench, ComparatorMode, Container, Dropper, Hopper, Intake, Lift, Outlet, Part, Rear, Signal,
};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_reference::ReferenceEngine;

const RUN_TICKS: u64 = 40;

/// What happened in which tick.
type Happened = Vec<(u64, Event)>;

/// Runs a network in every way, and gives what happened.
fn run(network: &Network, orders: Orders, entries: &[(u64, Action)]) -> Happened {
    let entries = entries.iter().cloned();
    let setup = Setup {
        orders,
        timeline: Timeline::new(entries.map(|(tick, what)| (Tick(tick), what)).collect()),
        ..Setup::default()
    };
    let mut reference = ReferenceEngine::new(network, &setup);
    let mut stepping = Engine::new(network, &setup);
    let mut trace = Trace::default();
    let mut expected = Vec::new();
    for tick in 0..RUN_TICKS {
        expected.extend(reference.step());
        stepping.step(&mut trace);
        assert_eq!(stepping.view().digest(), reference.digest(), "tick {tick}");
        // Going on from a saved state is the same.
        let mut resumed = Engine::resume(network, &setup, &stepping.save());
        resumed.run_until(Tick(RUN_TICKS), &mut ());
        let mut onward = Engine::resume(network, &setup, &stepping.save());
        while onward.tick() < Tick(RUN_TICKS) {
            onward.step(&mut ());
        }
        assert!(resumed.save() == onward.save(), "from tick {tick} on");
    }
    assert_eq!(trace.events, expected);
    let mut leaping = Engine::new(network, &setup);
    let mut leaps = Trace::default();
    leaping.run_until(Tick(RUN_TICKS), &mut leaps);
    assert_eq!(leaps.events, expected);
    assert!(leaping.save() == stepping.save());
    let view = stepping.view();
    for kind in (0..network.kinds().len()).map(KindId::from_index) {
        assert_eq!(view.sent(kind), reference.sent(kind));
        assert_eq!(view.refused(kind), reference.refused(kind));
        assert_eq!(view.delivered(kind), reference.delivered(kind));
        assert_eq!(view.withdrawn(kind), reference.withdrawn(kind));
        assert_eq!(
            view.sent(kind) - view.refused(kind),
            view.delivered(kind),
            "nothing waits at the end"
        );
    }
    let events = expected.into_iter();
    events
        .map(|(moment, event)| (moment.tick.0, event))
        .collect()
}

/// The changes of signals in a run, in the default orders.
fn levels(network: &Network, entries: &[(u64, Action)]) -> Vec<(u64, String, u8)> {
    levels_in(network, Orders::default(), entries)
}

fn levels_in(
    network: &Network,
    orders: Orders,
    entries: &[(u64, Action)],
) -> Vec<(u64, String, u8)> {
    let happened = run(network, orders, entries).into_iter();
    let changes = happened.filter_map(|(tick, event)| match event {
        Event::SignalChanged { signal, level } => {
            Some((tick, network.name(signal).to_owned(), level))
        }
        _ => None,
    });
    changes.collect()
}

fn rows(rows: &[(u64, &str, u8)]) -> Vec<(u64, String, u8)> {
    let rows = rows.iter();
    rows.map(|(tick, name, level)| (*tick, (*name).to_owned(), *level))
        .collect()
}

fn stick(signals: &[PartId], on: bool, stuck_ticks: u32) -> Action {
    Action::Stick {
        signals: signals.to_vec(),
        on,
        stuck_ticks,
    }
}

fn lever(lever: PartId, on: bool) -> Action {
    Action::MoveLever { lever, on }
}

fn add(builder: &mut NetworkBuilder, name: &str, signal: Signal) -> PartId {
    builder.add(name, Part::Signal(signal))
}

const OFF: Signal = Signal::Lever { starts_on: false };

#[test]
fn those_who_read_a_stuck_signal_see_it_and_the_part_goes_on_behind_it() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let gate = add(&mut builder, "gate", OFF);
    let line = Signal::Wire {
        inputs: vec![(gate, 0)],
    };
    let line = add(&mut builder, "line", line);
    add(&mut builder, "no", Signal::Inverter { input: line });
    let network = builder.build().expect("it is sound");
    let entries = [
        (3, stick(&[line], true, 5)),
        // Nobody sees what the wire makes of this.
        (4, lever(gate, true)),
        (6, lever(gate, false)),
    ];
    let expected = [
        (3, "line", 15),
        (4, "gate", 15),
        (5, "no", 0),
        (6, "gate", 0),
        (8, "line", 0),
        (10, "no", 15),
    ];
    assert_eq!(levels(&network, &entries), rows(&expected));
    // It comes free as it is by itself, which nobody need notice.
    let entries = [(3, stick(&[line], true, 5)), (4, lever(gate, true))];
    let expected = [(3, "line", 15), (4, "gate", 15), (5, "no", 0)];
    assert_eq!(levels(&network, &entries), rows(&expected));
}

#[test]
fn a_stuck_part_goes_by_its_own_level() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let gate = add(&mut builder, "gate", OFF);
    let late = Signal::Repeater {
        input: gate,
        delay_ticks: 4,
        lock: None,
    };
    let late = add(&mut builder, "late", late);
    let button = add(&mut builder, "button", Signal::Button { hold_ticks: 4 });
    let flip = add(&mut builder, "flip", Signal::Toggle { input: gate });
    let watches = hallwright_core::part::Watched::Signal(gate);
    let eye = add(&mut builder, "eye", Signal::Observer { watches });
    let network = builder.build().expect("it is sound");
    // Off by itself, it is to turn on in tick 6, and on by itself it is to turn off in tick 12.
    let entries = [
        (1, stick(&[late], true, 9)),
        (2, lever(gate, true)),
        (8, lever(gate, false)),
    ];
    let of = |name: &str| {
        let changes = levels(&network, &entries).into_iter();
        changes
            .filter(|(_, signal, _)| signal == name)
            .map(|(tick, _, level)| (tick, level))
            .collect::<Vec<_>>()
    };
    assert_eq!(of("late"), [(1, 15), (12, 0)]);
    // A button stuck on can be pressed once; a toggle stuck on flips from off; an observer stuck on sees a
    // change, and its pulse, from tick 8 to tick 10, is over when it comes free.
    let entries = [
        (2, stick(&[button, flip, eye], true, 10)),
        (3, Action::Press { button }),
        (4, Action::Press { button }),
        (6, lever(gate, true)),
    ];
    let expected = [
        (2, "eye", 15),
        (2, "button", 15),
        (2, "flip", 15),
        (6, "gate", 15),
        (10, "late", 15),
        (12, "eye", 0),
        (12, "button", 0),
    ];
    assert_eq!(levels(&network, &entries), rows(&expected));
}

#[test]
fn when_the_power_goes_signals_follow_one_another_in_signal_order() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let gate = add(&mut builder, "gate", Signal::Lever { starts_on: true });
    let line = Signal::Wire {
        inputs: vec![(gate, 0)],
    };
    let line = add(&mut builder, "line", line);
    let beat = Signal::Clock {
        period_ticks: 8,
        high_ticks: 4,
        phase_ticks: 0,
    };
    let beat = add(&mut builder, "beat", beat);
    let network = builder.build().expect("it is sound");
    let entries = [(2, stick(&[line, beat, gate], false, 11))];
    let expected = [
        (2, "gate", 0),
        (2, "line", 0),
        (2, "beat", 0),
        // The clock is off by itself from tick 12 on.
        (13, "gate", 15),
        (13, "line", 15),
        (16, "beat", 15),
    ];
    let first = |changes: Vec<(u64, String, u8)>| changes[..6].to_vec();
    assert_eq!(first(levels(&network, &entries)), rows(&expected));
    let reversed = Orders {
        signal: Order::Reversed,
        ..Orders::default()
    };
    let expected = [
        (2, "beat", 0),
        (2, "line", 0),
        (2, "gate", 0),
        // The wire comes free while its input is off.
        (13, "gate", 15),
        (13, "line", 15),
        (16, "beat", 15),
    ];
    let changes = levels_in(&network, reversed, &entries);
    assert_eq!(first(changes), rows(&expected));
}

#[test]
fn a_signal_gets_stuck_and_comes_free_asleep_or_not() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let gate = add(&mut builder, "gate", OFF);
    let no = add(&mut builder, "no", Signal::Inverter { input: gate });
    let network = builder.build().expect("it is sound");
    let sleep = Action::Sleep {
        parts: vec![no],
        sleep_ticks: 9,
    };
    let entries = [
        (1, sleep),
        (2, stick(&[no], false, 3)),
        (3, lever(gate, true)),
        // In the tick in which it comes free it can get stuck again.
        (5, stick(&[no], false, 2)),
    ];
    let expected = [
        (2, "no", 0),
        (3, "gate", 15),
        (5, "no", 15),
        (5, "no", 0),
        // It missed the lever.
        (7, "no", 15),
    ];
    assert_eq!(levels(&network, &entries), rows(&expected));
}

#[test]
fn signals_come_free_before_lines_move() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let chest = builder.add("chest", Part::Container(Container { slots: 1 }));
    let gate = add(&mut builder, "gate", Signal::Lever { starts_on: true });
    let network = builder.build().expect("it is sound");
    let deliver = Action::Deliver {
        place: chest,
        kind: barley,
        count: 5,
        contents: Vec::new(),
        terms: Terms {
            while_on: Some(gate),
            ..Terms::default()
        },
    };
    let entries = [(2, stick(&[gate], false, 3)), (3, deliver)];
    let came = Event::Delivered {
        place: chest,
        kind: barley,
        count: 5,
    };
    let change = |level| Event::SignalChanged {
        signal: gate,
        level,
    };
    let happened = run(&network, Orders::default(), &entries);
    assert_eq!(happened, [(2, change(0)), (5, change(15)), (5, came)]);
}

#[test]
fn as_much_as_fits_goes_in_by_hand() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let slate = builder.kind("slate", StackLimit::Sixteen);
    let chest = builder.add("chest", Part::Container(Container { slots: 2 }));
    let hopper = Hopper {
        target: Some(chest),
        intake: Intake::Cap,
        lock: None,
    };
    let hopper = builder.add("hopper", Part::Hopper(hopper));
    let ten = Filling {
        slot: 0,
        kind: barley,
        count: 10,
        contents: Vec::new(),
    };
    builder.fill(chest, ten);
    let network = builder.build().expect("it is sound");
    let fill = |place, kind| Action::Fill {
        place,
        kind,
        contents: Vec::new(),
    };
    let sleep = Action::Sleep {
        parts: vec![chest],
        sleep_ticks: 4,
    };
    let entries = [
        (0, fill(chest, slate)),
        (1, sleep),
        // It sleeps, then there is room for barley, then for nothing.
        (2, fill(chest, barley)),
        (5, fill(chest, barley)),
        (6, fill(chest, barley)),
        (20, fill(hopper, slate)),
    ];
    let came = |place, kind, count| Event::Delivered { place, kind, count };
    let expected = [
        (0, came(chest, slate, 16)),
        (5, came(chest, barley, 54)),
        // Five slots of 16; the chest takes none of them.
        (20, came(hopper, slate, 80)),
    ];
    assert_eq!(run(&network, Orders::default(), &entries), expected);
}

#[test]
fn what_waits_in_line_is_no_matter_when_something_is_filled_by_hand() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let chest = builder.add("chest", Part::Container(Container { slots: 1 }));
    let network = builder.build().expect("it is sound");
    let deliver = Action::Deliver {
        place: chest,
        kind: barley,
        count: 70,
        contents: Vec::new(),
        terms: Terms {
            waits: true,
            ..Terms::default()
        },
    };
    let fill = Action::Fill {
        place: chest,
        kind: barley,
        contents: Vec::new(),
    };
    let withdraw = |count| Action::Withdraw {
        place: chest,
        count,
    };
    let item = hallwright_core::slot::Item {
        kind: barley,
        box_id: None,
    };
    let taken = |count| Event::Withdrawn {
        place: chest,
        item,
        count,
    };
    let came = |count| Event::Delivered {
        place: chest,
        kind: barley,
        count,
    };
    // The hand is faster than the line, which moves at the beginning of a tick.
    let entries = [(0, deliver), (3, withdraw(2)), (3, fill), (9, withdraw(30))];
    let expected = [
        (0, came(64)),
        (3, taken(2)),
        (3, came(2)),
        (9, taken(30)),
        (10, came(6)),
    ];
    assert_eq!(run(&network, Orders::default(), &entries), expected);
}

/// A chest with barley, two boxes behind it, and a dispenser with a box of barley above a bench.
struct Boxes {
    network: Network,
    barley: KindId,
    boxes: KindId,
    chest: PartId,
    gate: PartId,
    bench: PartId,
}

fn boxes() -> Boxes {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let boxes = builder.box_kind("box");
    let chest = builder.add("chest", Part::Container(Container { slots: 4 }));
    let floor = builder.add("floor", Part::Mouth);
    let gate = add(&mut builder, "gate", OFF);
    let bench = Bench {
        lift: Lift::Empty,
        after_ticks: 0,
        output: floor,
    };
    let bench = builder.add("bench", Part::Bench(bench));
    let dispenser = Dropper {
        trigger: Some(gate),
        outlet: Outlet::Bench(bench),
    };
    let dispenser = builder.add("dispenser", Part::Dropper(dispenser));
    let level = Signal::Comparator {
        rear: Rear::Inventory(bench),
        side: None,
        mode: ComparatorMode::Compare,
    };
    add(&mut builder, "level", level);
    let filling = |slot, kind, count| Filling {
        slot,
        kind,
        count,
        contents: Vec::new(),
    };
    let of_barley = |slot, count| Filling {
        contents: vec![filling(0, barley, count)],
        ..filling(slot, boxes, 1)
    };
    builder.fill(chest, filling(0, barley, 7));
    builder.fill(chest, of_barley(2, 5));
    builder.fill(chest, of_barley(3, 9));
    builder.fill(dispenser, of_barley(0, 64));
    Boxes {
        network: builder.build().expect("it is sound"),
        barley,
        boxes,
        chest,
        gate,
        bench,
    }
}

#[test]
fn the_first_box_of_an_inventory_is_taken_away() {
    let hall = boxes();
    let take = Action::TakeBox { place: hall.chest };
    let sleep = Action::Sleep {
        parts: vec![hall.chest],
        sleep_ticks: 5,
    };
    let entries = [
        (2, take.clone()),
        (3, sleep),
        // Asleep; then the second box; then there is none.
        (4, take.clone()),
        (8, take.clone()),
        (9, take),
    ];
    let happened = run(&hall.network, Orders::default(), &entries);
    let taken = |number| Event::Withdrawn {
        place: hall.chest,
        item: hallwright_core::slot::Item {
            kind: hall.boxes,
            box_id: Some(hallwright_core::id::BoxId::from_index(number)),
        },
        count: 1,
    };
    assert_eq!(happened, [(2, taken(0)), (8, taken(1))]);
    let setup = Setup {
        timeline: Timeline::new(vec![(Tick(2), Action::TakeBox { place: hall.chest })]),
        ..Setup::default()
    };
    let mut engine = Engine::new(&hall.network, &setup);
    engine.run_until(Tick(5), &mut ());
    let view = engine.view();
    let withdrawn = [view.withdrawn(hall.boxes), view.withdrawn(hall.barley)];
    assert_eq!(withdrawn, [1, 5]);
}

#[test]
fn the_box_on_a_bench_is_taken_away_with_what_it_holds() {
    let hall = boxes();
    let take = Action::TakeBox { place: hall.bench };
    let entries = [
        (0, lever(hall.gate, true)),
        // Nothing stands there yet.
        (3, take.clone()),
        (8, take),
    ];
    let happened = run(&hall.network, Orders::default(), &entries);
    let words: Vec<(u64, &str, u8)> = happened
        .iter()
        .map(|(tick, event)| match event {
            Event::SignalChanged { signal, level } => (*tick, hall.network.name(*signal), *level),
            Event::BoxSet { .. } => (*tick, "set", 1),
            Event::Withdrawn { place, .. } => (*tick, hall.network.name(*place), 1),
            other => panic!("{other:?}"),
        })
        .collect();
    let expected = [
        (0, "gate", 15),
        (4, "set", 1),
        (6, "level", 1),
        (8, "bench", 1),
        (10, "level", 0),
    ];
    assert_eq!(words, expected);
}
