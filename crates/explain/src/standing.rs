//! Why items stand where they are.

#![deny(clippy::wildcard_enum_match_arm)]

use std::collections::BTreeMap;

use hallwright_analysis::signals::readers;
use hallwright_analysis::ways::Ways;
use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::id::PartId;
use hallwright_core::network::SignalRole;
use hallwright_core::part::{Outlet, Part};
use hallwright_core::slot::Item;
use petgraph::Direction;

/// Why what a part holds does not go on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Standing {
    /// Nothing leads on from it.
    NoWayOn,
    /// The part is locked, by this signal.
    Locked {
        /// The part that is locked: this one, or the hopper that should pull from it.
        part: String,
        /// The signal.
        by: String,
    },
    /// A part that should take it has no room for it.
    FullTarget(String),
    /// Nothing fires the dropper.
    NotTriggered,
    /// It could go on; it was under way.
    UnderWay,
}

/// The items of a part, one of each sort.
pub(super) fn sorts_in(view: &View<'_>, part: PartId) -> Vec<Item> {
    let mut items: Vec<Item> = match view.network().part(part).holding() {
        Holding::Queue => view.queue(part).take(1).map(|queued| queued.item).collect(),
        Holding::Loose => {
            let loose = view.loose_stacks().filter(|stack| stack.mouth == part);
            loose.map(|stack| stack.item).collect()
        }
        Holding::Slots | Holding::Box | Holding::Docked => {
            let stacks = view.slots(part).into_iter().flatten().flatten();
            stacks.map(|stack| stack.item).collect()
        }
        Holding::Nothing => Vec::new(),
    };
    items.sort_unstable();
    items.dedup();
    items
}

/// Whether a part would take an item now, if nothing but room and sleep mattered.
pub(super) fn has_room(view: &View<'_>, part: PartId, item: Item) -> bool {
    if view.is_shut(part) {
        return false;
    }
    match view.network().part(part) {
        Part::Mouth | Part::Stream(_) => true,
        Part::Selector(selector) => view.queue(part).len() < selector.holds as usize,
        // A box refuses a box.
        Part::Bench(_) if item.box_id.is_some() => false,
        Part::Signal(_) => false,
        Part::Container(_)
        | Part::Hopper(_)
        | Part::Dropper(_)
        | Part::Bench(_)
        | Part::Dock
        | Part::Shuttle(_) => {
            let limit = view.network().kind(item.kind).stack_limit.items();
            let slots = view.slots(part);
            slots.is_some_and(|mut slots| {
                slots.any(|slot| slot.is_none_or(|stack| stack.item == item && stack.count < limit))
            })
        }
    }
}

/// Why a part does not hand on what it holds.
pub(super) fn why_it_stands(view: &View<'_>, ways: &Ways, part: PartId) -> Standing {
    let network = view.network();
    let name = |part: PartId| network.name(part).to_owned();
    let locked = |part: PartId| {
        let by = network.part(part).lock().filter(|_| view.is_locked(part))?;
        Some(Standing::Locked {
            part: name(part),
            by: name(by),
        })
    };
    let ways: Vec<(PartId, bool)> = ways
        .hops(part, Direction::Outgoing)
        .into_iter()
        .filter(|(to, _)| !leads_back(view, part, *to))
        .collect();
    if ways.is_empty() {
        return Standing::NoWayOn;
    }
    let items = sorts_in(view, part);
    let takes = |to: PartId| items.iter().any(|item| has_room(view, to, *item));
    let pushes = ways.iter().any(|(_, pulls)| !pulls);
    if pushes && let Some(locked) = locked(part) {
        return locked;
    }
    if let Some(dropper) = network.part(part).dropper() {
        let refused = match dropper.outlet {
            Outlet::Into(target) | Outlet::Bench(target) => (!takes(target)).then_some(target),
            Outlet::Loose(_) => None,
        };
        return refused.map_or(Standing::NotTriggered, |target| {
            Standing::FullTarget(name(target))
        });
    }
    let locked_takers = ways.iter().find_map(|(to, pulls)| {
        let waits = *pulls || network.part(part).is_loose_place();
        waits.then(|| locked(*to)).flatten()
    });
    match ways.iter().find(|(to, _)| takes(*to)) {
        Some(_) => locked_takers.unwrap_or(Standing::UnderWay),
        None => Standing::FullTarget(name(ways[0].0)),
    }
}

/// Whether a hop is only the way by which a hopper gets what it holds.
fn leads_back(view: &View<'_>, part: PartId, to: PartId) -> bool {
    let hopper = view.network().part(part).hopper();
    hopper.is_some_and(|hopper| hopper.above() == Some(to) && hopper.target != Some(to))
}

/// What can be said of a part that should take an item, in words: its lock, its room, what it holds,
/// the comparators that read it.
pub(super) fn state_words(view: &View<'_>, part: PartId, item: Item) -> String {
    let network = view.network();
    let mut words = Vec::new();
    if let Some(by) = network.part(part).lock().filter(|_| view.is_locked(part)) {
        words.push(format!("locked by {}", network.name(by)));
    }
    if has_room(view, part, item) {
        words.push("had room".to_owned());
    } else {
        words.push(format!("had no room for {}", network.kind(item.kind).name));
    }
    if network.part(part).hopper().is_some() && view.cooldown_ticks(part) > 0 {
        words.push(format!("cooling down for {} t", view.cooldown_ticks(part)));
    }
    let mut held: BTreeMap<Item, u64> = BTreeMap::new();
    for stack in view.slots(part).into_iter().flatten().flatten() {
        *held.entry(stack.item).or_insert(0) += u64::from(stack.count);
    }
    if !held.is_empty() && held.len() <= 5 {
        let held = held.iter();
        let held = held.map(|(item, count)| format!("{count} {}", network.kind(item.kind).name));
        words.push(format!("held {}", held.collect::<Vec<_>>().join(", ")));
    }
    for (reader, role) in readers(network, part) {
        if role == SignalRole::Reading {
            words.push(format!(
                "{} read {}",
                network.name(reader),
                view.level(reader)
            ));
        }
    }
    words.join(", ")
}
