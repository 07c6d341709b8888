//! What came of a run, in the words of the worked traces: by either engine.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Trace};
use hallwright_core::id::{BoxId, KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::{Item, Stack};
use hallwright_core::tick::Tick;
use hallwright_reference::ReferenceEngine;
use serde_json::{Map, Value, json};

/// What came of a run.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Outcome {
    /// The events, in order.
    pub(crate) trace: Vec<Value>,
    /// Hopper -> work units over the whole run.
    pub(crate) cost: Map<String, Value>,
    /// Inventory -> its slots at the end.
    pub(crate) contents: Map<String, Value>,
    /// Kind -> items lost, of those that lost any.
    pub(crate) lost: Map<String, Value>,
}

/// Runs ticks 0 to `ticks` - 1 in the reference engine.
pub(crate) fn run_reference(network: &Network, setup: &Setup, ticks: u64) -> Outcome {
    let mut engine = ReferenceEngine::new(network, setup);
    let mut events = Vec::new();
    for _ in 0..ticks {
        events.extend(engine.step());
    }
    let box_slots = |box_id| engine.box_slots(box_id).expect("a box in a slot is there");
    Outcome {
        trace: trace_of(network, &events),
        cost: by_hopper(network, |hopper| engine.work_units(hopper)),
        contents: by_inventory(network, |part| engine.slots(part), box_slots),
        lost: by_kind(network, |kind| engine.lost(kind)),
    }
}

/// Runs ticks 0 to `ticks` - 1 in the engine itself, one by one.
pub(crate) fn run_engine(network: &Network, setup: &Setup, ticks: u64) -> Outcome {
    let mut engine = Engine::new(network, setup);
    let mut trace = Trace::default();
    for _ in 0..ticks {
        engine.step(&mut trace);
    }
    outcome_of(network, &engine, &trace)
}

/// Runs ticks 0 to `ticks` - 1 in the engine itself, leaping over those in which nothing happens.
pub(crate) fn run_engine_leaping(network: &Network, setup: &Setup, ticks: u64) -> Outcome {
    let mut engine = Engine::new(network, setup);
    let mut trace = Trace::default();
    engine.run_until(Tick(ticks), &mut trace);
    outcome_of(network, &engine, &trace)
}

/// Runs ticks 0 to `ticks` - 1 in the engine itself, each from the saved state that the one before left.
pub(crate) fn run_engine_resumed(network: &Network, setup: &Setup, ticks: u64) -> Outcome {
    let mut engine = Engine::new(network, setup);
    let mut trace = Trace::default();
    for _ in 0..ticks {
        engine.step(&mut trace);
        engine = Engine::resume(network, setup, &engine.save());
    }
    outcome_of(network, &engine, &trace)
}

fn outcome_of(network: &Network, engine: &Engine<'_>, trace: &Trace) -> Outcome {
    let view = engine.view();
    let slots = |part| view.slots(part).map(Iterator::collect);
    let box_slots = |box_id| view.box_slots(box_id).collect();
    Outcome {
        trace: trace_of(network, &trace.events),
        cost: by_hopper(network, |hopper| view.work_units(hopper)),
        contents: by_inventory(network, slots, box_slots),
        lost: by_kind(network, |kind| view.lost(kind)),
    }
}

fn trace_of(network: &Network, events: &[(Moment, Event)]) -> Vec<Value> {
    events
        .iter()
        .map(|(moment, event)| in_words(network, *moment, event))
        .collect()
}

fn by_hopper(network: &Network, work_units: impl Fn(PartId) -> u64) -> Map<String, Value> {
    network
        .parts()
        .filter(|(_, part)| matches!(part, Part::Hopper(_)))
        .map(|(hopper, _)| (network.name(hopper).to_owned(), json!(work_units(hopper))))
        .collect()
}

fn by_kind(network: &Network, lost: impl Fn(KindId) -> u64) -> Map<String, Value> {
    (0..network.kinds().len())
        .map(KindId::from_index)
        .filter(|kind| lost(*kind) > 0)
        .map(|kind| (network.kind(kind).name.clone(), json!(lost(kind))))
        .collect()
}

fn by_inventory(
    network: &Network,
    slots: impl Fn(PartId) -> Option<Vec<Option<Stack>>>,
    box_slots: impl Fn(BoxId) -> Vec<Option<Stack>>,
) -> Map<String, Value> {
    let plain = |stack: &Stack| json!([kind_name(network, stack.item), stack.count]);
    let inside = |box_id| -> Vec<Value> {
        box_slots(box_id)
            .iter()
            .map(|slot| slot.as_ref().map_or(Value::Null, plain))
            .collect()
    };
    let stack = |stack: &Stack| match stack.item.box_id {
        None => plain(stack),
        Some(box_id) => json!([kind_name(network, stack.item), stack.count, inside(box_id)]),
    };
    let row = |slots: Vec<Option<Stack>>| -> Value {
        slots
            .iter()
            .map(|slot| slot.as_ref().map_or(Value::Null, stack))
            .collect()
    };
    network
        .parts()
        .filter(|(_, part)| {
            matches!(
                part,
                Part::Container(_)
                    | Part::Hopper(_)
                    | Part::Dropper(_)
                    | Part::Bench(_)
                    | Part::Dock
            )
        })
        .map(|(part, _)| {
            let value = slots(part).map_or(Value::Null, row);
            (network.name(part).to_owned(), value)
        })
        .collect()
}

fn kind_name(network: &Network, item: Item) -> &str {
    &network.kind(item.kind).name
}

/// An event as the worked traces write it.
pub(crate) fn in_words(network: &Network, moment: Moment, event: &Event) -> Value {
    let name = |part: PartId| network.name(part);
    let kind = |item: Item| kind_name(network, item);
    let words = match *event {
        Event::SignalChanged { signal, level } => json!(["signal", name(signal), level]),
        Event::Locked { part } => json!(["lock", name(part)]),
        Event::Unlocked { part } => json!(["unlock", name(part)]),
        Event::ItemMoved { from, to, item } => json!(["move", name(from), name(to), kind(item)]),
        Event::Delivered { place, kind, count } => {
            json!(["deliver", name(place), network.kind(kind).name, count])
        }
        Event::Withdrawn { place, item, count } => {
            json!(["withdraw", name(place), kind(item), count])
        }
        Event::Clicked { dropper } => json!(["click", name(dropper)]),
        Event::Thrown { dropper, item } => json!(["eject", name(dropper), kind(item)]),
        Event::CameLoose {
            item, count, place, ..
        } => json!(["loose", kind(item), count, name(place)]),
        Event::Merged {
            kind, count, mouth, ..
        } => json!(["merge", network.kind(kind).name, count, name(mouth)]),
        Event::Collected {
            hopper,
            item,
            count,
            ..
        } => json!(["collect", name(hopper), kind(item), count]),
        Event::Lost {
            item, count, mouth, ..
        } => json!(["lost", kind(item), count, name(mouth)]),
        Event::BoxSet {
            dispenser,
            bench,
            item,
        } => json!(["set", name(dispenser), name(bench), kind(item)]),
        Event::BoxLifted { bench, item } => json!(["lift", name(bench), kind(item)]),
        Event::Docked { shuttle, place } => json!(["dock", name(shuttle), name(place)]),
        Event::Departed { shuttle, place } => json!(["depart", name(shuttle), name(place)]),
    };
    let mut entry = vec![json!(moment.tick.0), json!(moment.phase as u8)];
    if let Value::Array(words) = words {
        entry.extend(words);
    }
    Value::Array(entry)
}
