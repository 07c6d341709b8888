//! What the page's script reads: the network, the record of the run and its series, as JSON.

use hallwright_core::network::{Link, Network, SignalRole};
use hallwright_declared::declarations::StorePurpose;
use serde_json::{Value, json};

use super::cells::cells_of;
use super::pack::{Packer, Shelf};
use super::record::Record;
use super::spans::Spans;
use hallwright_core::timeline::Action;
use hallwright_layout::{Map, Module};
use hallwright_report::measure::Series;
use hallwright_report::{RunInput, setup_for};

/// What was recorded of one run; its rows of numbers come onto the shelf.
pub(super) fn run_data(
    shelf: &mut Shelf,
    input: &RunInput<'_>,
    map: &Map,
    spans: &Spans,
    record: &Record<'_>,
    series: &Series,
) -> Value {
    let network = input.network;
    json!({
        "ticksPerSecond": network.rules().ticks_per_second,
        "cooldownTicks": network.rules().cooldown_ticks,
        "runTicks": input.run_ticks,
        "kinds": network.kinds().iter().map(|kind| json!({
            "name": kind.name, "limit": kind.stack_limit.items(), "box": kind.is_box,
        })).collect::<Vec<_>>(),
        "parts": parts(shelf, network, map),
        "links": links(shelf, network),
        "modules": modules(shelf, map),
        "placed": map.is_placed,
        "sections": input.declarations.sections.iter().map(|section| json!({
            "name": section.name,
            "line": shelf.numbers(section.line.iter().map(|part| part.index() as u64)),
            "queue": shelf.numbers(section.queue.iter().map(|part| part.index() as u64)),
        })).collect::<Vec<_>>(),
        "stores": input.declarations.stores.iter().map(|store| json!({
            "name": store.name,
            "parts": shelf.numbers(store.parts.iter().map(|part| part.index() as u64)),
            "takes": shelf.numbers(store.takes.iter().map(|kind| kind.index() as u64)),
            "overflow": store.purpose == StorePurpose::Overflow,
            "serves": store.purpose == StorePurpose::Serving,
        })).collect::<Vec<_>>(),
        "flows": input.declarations.flows.iter().map(|flow| flow.name.as_str()).collect::<Vec<_>>(),
        "record": record_data(shelf, record, spans),
        "waits": record.waits.data(shelf, input.run_ticks),
        "series": series_data(shelf, series),
        "spells": spells(shelf, input),
    })
}

/// The times for which parts sleep or signals are stuck: from when, until when, how, and which.
fn spells(shelf: &mut Shelf, input: &RunInput<'_>) -> Value {
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
        Some(json!({"from": at.0, "until": over_at.0, "how": how, "parts": shelf.numbers(parts)}))
    });
    spells.collect()
}

fn parts(shelf: &mut Shelf, network: &Network, map: &Map) -> Value {
    let mut sorts = Vec::new();
    let numbered = network.parts().map(|(_, part)| {
        let word = part.word();
        let known = sorts.iter().position(|sort| *sort == word);
        known.unwrap_or_else(|| {
            sorts.push(word);
            sorts.len() - 1
        }) as u64
    });
    let sort = shelf.numbers(numbered);
    let tail = |part| {
        let name: &str = network.name(part);
        name.rsplit('.').next().unwrap_or(name)
    };
    json!({
        "names": shelf.names(network.part_ids().map(tail)),
        "sorts": sorts,
        "sort": sort,
        "cells": shelf.numbers(network.parts().map(|(_, part)| cells_of(part).into())),
        "module": shelf.numbers(map.module_of.iter().map(|module| *module as u64)),
        "x": shelf.differences(map.places.iter().map(|place| hundredths(place.0))),
        "y": shelf.differences(map.places.iter().map(|place| hundredths(place.1))),
    })
}

/// A length in hundredths of a cell.
fn hundredths(length: f64) -> u64 {
    (length.max(0.0) * 100.0).round() as u64
}

/// The modules, each after the one around it; of the module around it 1 more, 0 for none.
fn modules(shelf: &mut Shelf, map: &Map) -> Value {
    let modules = &map.modules;
    let mut row = |of: fn(&Module) -> f64| {
        shelf.differences(modules.iter().map(|module| hundredths(of(module))))
    };
    let [x, y] = [row(|module| module.place.x), row(|module| module.place.y)];
    let [w, h] = [
        row(|module| module.place.width),
        row(|module| module.place.height),
    ];
    let goods = modules.iter().enumerate().filter_map(|(number, module)| {
        let goods = module.goods.as_ref()?;
        Some(json!([number, goods]))
    });
    json!({
        "names": shelf.names(modules.iter().map(|module| module.name.as_str())),
        "parent": shelf.numbers(modules.iter().map(|module| module.parent.map_or(0, |parent| parent as u64 + 1))),
        "x": x,
        "y": y,
        "w": w,
        "h": h,
        "goods": goods.collect::<Vec<_>>(),
    })
}

/// The links: where from, where to and what for, each in a row of its own.
fn links(shelf: &mut Shelf, network: &Network) -> Value {
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
        "from": shelf.differences(from),
        "to": shelf.differences(to),
        "sort": shelf.numbers(sort),
    })
}

fn record_data(shelf: &mut Shelf, record: &Record<'_>, spans: &Spans) -> Value {
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
        "start": shelf.put(start),
        "ticks": shelf.put(ticks),
        "cells": shelf.put(cells),
        "deltas": shelf.put(deltas),
        "eventTicks": shelf.put(event_ticks),
        "events": shelf.put(events),
        "shapes": shelf.put(shapes),
        "lists": shelf.put(lists),
        "boxKinds": shelf.numbers(kinds.map(|kind| u64::from(kind.unwrap_or(0)))),
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

fn series_data(shelf: &mut Shelf, series: &Series) -> Value {
    let backlog = all(shelf, &series.backlog_items);
    let counted = all(shelf, &series.counted_items);
    let mut row = |list: &[u64]| shelf.differences(list.iter().copied());
    json!({
        "stepTicks": series.step_ticks,
        "backlog": backlog,
        "unlocked": row(&series.unlocked_hoppers),
        "loose": row(&series.loose_stacks),
        "work": row(&series.work_units),
        "counted": counted,
    })
}

/// The row of each series.
fn all(shelf: &mut Shelf, lists: &[Vec<u64>]) -> Value {
    let rows = lists
        .iter()
        .map(|list| shelf.differences(list.iter().copied()));
    rows.collect()
}
