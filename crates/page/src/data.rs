//! What the page's script reads: the network, the record of the run and its series, as JSON.

use hallwright_core::declare::StorePurpose;
use hallwright_core::network::{Link, Network, SignalRole};
use serde_json::{Value, json};

use super::cells::cells_of;
use super::flags::Flag;
use super::pack::{Packer, differences};
use super::record::Record;
use super::spans::Spans;
use hallwright_core::timeline::Action;
use hallwright_layout::Map;
use hallwright_report::measure::Series;
use hallwright_report::{RunInput, setup_for};

/// Everything about one run. `name`: what it is called.
pub(super) fn run_data(
    name: &str,
    input: &RunInput<'_>,
    map: &Map,
    spans: &Spans,
    record: &Record<'_>,
    series: &Series,
    flags: &[Flag],
) -> Value {
    let network = input.network;
    json!({
        "name": name,
        "ticksPerSecond": network.rules().ticks_per_second,
        "cooldownTicks": network.rules().cooldown_ticks,
        "runTicks": input.run_ticks,
        "kinds": network.kinds().iter().map(|kind| json!({
            "name": kind.name, "limit": kind.stack_limit.items(), "box": kind.is_box,
        })).collect::<Vec<_>>(),
        "parts": parts(network, map),
        "links": links(network),
        "modules": modules(map),
        "placed": map.is_placed,
        "sections": input.declarations.sections.iter().map(|section| json!({
            "name": section.name,
            "line": numbers(section.line.iter().map(|part| part.index() as u64)),
            "queue": numbers(section.queue.iter().map(|part| part.index() as u64)),
        })).collect::<Vec<_>>(),
        "stores": input.declarations.stores.iter().map(|store| json!({
            "name": store.name,
            "parts": numbers(store.parts.iter().map(|part| part.index() as u64)),
            "takes": numbers(store.takes.iter().map(|kind| kind.index() as u64)),
            "overflow": store.purpose == StorePurpose::Overflow,
            "serves": store.purpose == StorePurpose::Serving,
        })).collect::<Vec<_>>(),
        "flows": input.declarations.flows.iter().map(|flow| flow.name.as_str()).collect::<Vec<_>>(),
        "record": record_data(record, spans),
        "waits": record.waits.data(input.run_ticks),
        "series": series_data(series),
        "flags": flags,
        "spells": spells(input),
    })
}

/// Numbers as one text.
pub(super) fn numbers(numbers: impl Iterator<Item = u64>) -> String {
    let mut packer = Packer::default();
    numbers.for_each(|number| packer.add(number));
    packer.finish()
}

/// The times for which parts sleep or signals are stuck: from when, until when, how, and which.
fn spells(input: &RunInput<'_>) -> Value {
    let setup = setup_for(input);
    let spells = setup.timeline.entries().iter().filter_map(|(at, action)| {
        let (how, parts) = match action {
            Action::Sleep { parts, .. } => ("asleep", parts),
            Action::Stick {
                signals, on: true, ..
            } => ("stuck on", signals),
            Action::Stick {
                signals, on: false, ..
            } => ("stuck off", signals),
            Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => {
                return None;
            }
            Action::Withdraw { .. } | Action::Fill { .. } | Action::TakeBox { .. } => return None,
            Action::Reopen { .. } => return None,
        };
        let over_at = *at + u64::from(action.spell_ticks()?);
        let parts = parts.iter().map(|part| part.index() as u64);
        Some(json!({"from": at.0, "until": over_at.0, "how": how, "parts": numbers(parts)}))
    });
    spells.collect()
}

fn parts(network: &Network, map: &Map) -> Value {
    let mut sorts = Vec::new();
    let numbered = network.parts().map(|(_, part)| {
        let word = part.word();
        let known = sorts.iter().position(|sort| *sort == word);
        known.unwrap_or_else(|| {
            sorts.push(word);
            sorts.len() - 1
        }) as u64
    });
    let numbered = numbers(numbered.collect::<Vec<_>>().into_iter());
    let tail = |part| {
        let name: &str = network.name(part);
        name.rsplit('.').next().unwrap_or(name)
    };
    // Hundredths of a cell.
    let hundredths = |length: f64| (length.max(0.0) * 100.0).round() as u64;
    json!({
        "names": network.part_ids().map(tail).collect::<Vec<_>>(),
        "sorts": sorts,
        "sort": numbered,
        "cells": numbers(network.parts().map(|(_, part)| cells_of(part).into())),
        "module": numbers(map.module_of.iter().map(|module| *module as u64)),
        "x": differences(&map.places.iter().map(|place| hundredths(place.0)).collect::<Vec<_>>()),
        "y": differences(&map.places.iter().map(|place| hundredths(place.1)).collect::<Vec<_>>()),
    })
}

fn modules(map: &Map) -> Value {
    let modules = map.modules.iter().map(|module| {
        let place = module.place;
        let short = |length: f64| (length * 100.0).round() / 100.0;
        json!([
            module.name,
            module.parent,
            short(place.x),
            short(place.y),
            short(place.width),
            short(place.height),
            module.goods
        ])
    });
    modules.collect()
}

/// The links: where from, where to and what for, each in a row of its own.
fn links(network: &Network) -> Value {
    let graph = network.graph();
    let (mut from, mut to, mut sort) = (Vec::new(), Vec::new(), Vec::new());
    for edge in graph.edge_indices() {
        let Some((start, end)) = graph.edge_endpoints(edge) else {
            continue;
        };
        from.push(start.index() as u64);
        to.push(end.index() as u64);
        sort.push(match graph[edge] {
            Link::Push => 0,
            Link::Pull => 1,
            Link::Loose => 2,
            Link::Round => 3,
            Link::Signal(SignalRole::Input) => 4,
            Link::Signal(SignalRole::Lock) => 5,
            Link::Signal(SignalRole::Trigger) => 6,
            Link::Signal(SignalRole::Release) => 7,
            Link::Signal(SignalRole::Reading) => 8,
            Link::Signal(SignalRole::Watch) => 9,
        });
    }
    json!({
        "from": differences(&from),
        "to": differences(&to),
        "sort": numbers(sort.into_iter()),
    })
}

fn record_data(record: &Record<'_>, spans: &Spans) -> Value {
    let mut start = Packer::default();
    let mut before = 0;
    for (cell, value) in &record.start {
        start.add(u64::from(cell - before));
        start.add((*value).into());
        before = *cell;
    }
    let (mut ticks, mut cells, mut deltas) =
        (Packer::default(), Packer::default(), Packer::default());
    for (changes, elapsed) in by_tick(&record.changes, |change| change.tick) {
        ticks.add(elapsed);
        ticks.add(changes.len() as u64);
        let mut before = 0;
        for change in changes {
            cells.add_signed(i64::from(change.cell) - before);
            before = i64::from(change.cell);
            deltas.add_signed(change.delta);
        }
    }
    let (mut event_ticks, mut events) = (Packer::default(), Packer::default());
    for (reported, elapsed) in by_tick(&record.events, |event| event.0) {
        event_ticks.add(elapsed);
        event_ticks.add(reported.len() as u64);
        reported.iter().for_each(|event| events.add(event.1.into()));
    }
    let mut shapes = Packer::default();
    for (sort, one, other, kind, count) in &record.shapes {
        shapes.add(u64::from(*sort));
        shapes.add(u64::from(*one));
        // 0 for no part.
        shapes.add(u64::from(other.wrapping_add(1)));
        shapes.add(u64::from(*kind));
        shapes.add(u64::from(*count));
    }
    let mut lists = Packer::default();
    for list in &record.lists {
        lists.add(list.len() as u64);
        list.iter().for_each(|number| lists.add(*number));
    }
    let kinds = record.box_kinds.iter();
    json!({
        "start": start.finish(),
        "ticks": ticks.finish(),
        "cells": cells.finish(),
        "deltas": deltas.finish(),
        "eventTicks": event_ticks.finish(),
        "events": events.finish(),
        "shapes": shapes.finish(),
        "lists": lists.finish(),
        "boxKinds": numbers(kinds.map(|kind| u64::from(kind.unwrap_or(0)))),
        "exact": spans.exact,
        "stepTicks": spans.step_ticks,
    })
}

/// Entries of one tick together, each with the ticks since those before.
fn by_tick<T>(entries: &[T], tick_of: impl Fn(&T) -> u64) -> Vec<(&[T], u64)> {
    let mut before = 0;
    let chunks = entries.chunk_by(|one, other| tick_of(one) == tick_of(other));
    let timed = chunks.map(|chunk| {
        let tick = tick_of(&chunk[0]);
        let elapsed = tick - std::mem::replace(&mut before, tick);
        (chunk, elapsed)
    });
    timed.collect()
}

fn series_data(series: &Series) -> Value {
    let all = |lists: &[Vec<u64>]| -> Vec<String> {
        lists.iter().map(|list| differences(list)).collect()
    };
    json!({
        "stepTicks": series.step_ticks,
        "backlog": all(&series.backlog_items),
        "unlocked": differences(&series.unlocked_hoppers),
        "loose": differences(&series.loose_stacks),
        "work": differences(&series.work_units),
        "counted": all(&series.counted_items),
    })
}
