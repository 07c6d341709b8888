//! Where everything is at the end of a run.

use std::collections::BTreeSet;

use hallwright_core::declare::{Declarations, Goal, Store, StorePurpose};
use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Part, Shuttle};
use hallwright_core::slot::Item;

use super::ledger::{Ledger, box_contents, distinct};
use crate::findings::{ContentsFinding, PartCount, Whereabouts};

/// Where all items are at the end.
pub(crate) fn whereabouts(
    declared: &Declarations,
    ledger: &Ledger,
    view: &View<'_>,
) -> Whereabouts {
    let network = view.network();
    let kinds = || (0..network.kinds().len()).map(KindId::from_index);
    let mut found = Whereabouts {
        lost_items: kinds().map(|kind| view.lost(kind)).sum(),
        withdrawn_items: kinds().map(|kind| view.withdrawn(kind)).sum(),
        delivered_items: kinds().map(|kind| view.delivered(kind)).sum(),
        ..Whereabouts::default()
    };
    let mut store_of = vec![None; network.part_count()];
    for store in &declared.stores {
        for part in &store.parts {
            store_of[part.index()].get_or_insert(store);
        }
    }
    let queues = declared.sections.iter().flat_map(|section| &section.queue);
    let queues: BTreeSet<PartId> = queues.copied().collect();
    let sieves: BTreeSet<PartId> = declared.sieves.iter().copied().collect();
    for part in network.part_ids() {
        // What stands at a place is the shuttle's: it is counted there.
        let store = match network.part(part) {
            Part::Place => continue,
            Part::Shuttle(shuttle) => store_of[part.index()].or_else(|| {
                let place = docked_at(part, shuttle, view)?;
                store_of[place.index()]
            }),
            _ => store_of[part.index()],
        };
        let mut elsewhere = 0;
        for (item, count) in items_in(part, view) {
            let inside: Vec<(KindId, u64)> = box_contents(view, item);
            let all = count + inside.iter().map(|(_, items)| items).sum::<u64>();
            match store {
                Some(store) if store.purpose == StorePurpose::Overflow => {
                    found.overflow_items += all;
                }
                Some(store) => {
                    let strange = strange_items(store, item, count, &inside);
                    found.misplaced_items += strange;
                    found.sorted_items += all - strange;
                }
                None if sieves.contains(&part) => found.sieve_items += all,
                None => {
                    found.elsewhere_items += all;
                    elsewhere += all;
                }
            }
        }
        if elsewhere == 0 || is_as_at_the_start(part, view) {
            continue;
        }
        if queues.contains(&part) {
            found.waiting_items += elsewhere;
        } else {
            let part = network.name(part).to_owned();
            found.elsewhere.push(PartCount {
                part,
                items: elsewhere,
            });
        }
    }
    found
        .elsewhere
        .sort_by_key(|row| std::cmp::Reverse(row.items));
    for record in ledger.loose() {
        let inside: u64 = record.box_contents.iter().map(|(_, items)| items).sum();
        found.loose_items += record.count + inside;
    }
    found
}

/// How many of these do not belong in a slice: of a box with contents, those inside.
fn strange_items(store: &Store, item: Item, count: u64, inside: &[(KindId, u64)]) -> u64 {
    if inside.is_empty() {
        return if store.takes.contains(&item.kind) {
            0
        } else {
            count
        };
    }
    let strange = inside
        .iter()
        .filter(|(kind, _)| !store.takes.contains(kind));
    strange.map(|(_, items)| items).sum()
}

/// Whether a part holds just what it held at the start, slot by slot: fillers that are never meant to
/// move.
fn is_as_at_the_start(part: PartId, view: &View<'_>) -> bool {
    let fillings = view.network().fillings();
    let first = fillings.partition_point(|(filled, _)| *filled < part);
    let mut fillings = fillings[first..]
        .iter()
        .take_while(|(filled, _)| *filled == part)
        .peekable();
    let Some(slots) = view.slots(part) else {
        return false;
    };
    for (slot, stack) in slots.enumerate() {
        let filling = fillings.next_if(|(_, filling)| usize::from(filling.slot) == slot);
        let is_alike = match (stack, filling) {
            (None, None) => true,
            (Some(stack), Some((_, filling))) => {
                stack.item.kind == filling.kind && stack.count == filling.count
            }
            _ => false,
        };
        if !is_alike {
            return false;
        }
    }
    true
}

/// The place where a shuttle is docked.
fn docked_at(id: PartId, shuttle: &Shuttle, view: &View<'_>) -> Option<PartId> {
    match view.shuttle_position(id) {
        ShuttlePosition::Docked { stop, .. } => Some(shuttle.stops[stop as usize].place),
        ShuttlePosition::UnderWay { .. } => None,
    }
}

/// Everything that a part holds: stacks in its slots, the box on a bench, items in a selector.
pub(crate) fn items_in(part: PartId, view: &View<'_>) -> Vec<(Item, u64)> {
    match view.network().part(part) {
        // Its contents are counted with the box.
        Part::Bench(_) => view
            .box_on_bench(part)
            .map(|item| (item, 1))
            .into_iter()
            .collect(),
        Part::Selector(_) => view.queue(part).map(|queued| (queued.item, 1)).collect(),
        _ => {
            let stacks = view.slots(part).into_iter().flatten().flatten();
            stacks
                .map(|stack| (stack.item, u64::from(stack.count)))
                .collect()
        }
    }
}

/// For each goal, the contents that it asks about, at the end.
pub(crate) fn goal_contents(goals: &[Goal], view: &View<'_>) -> Vec<Option<ContentsFinding>> {
    let network = view.network();
    let asked = |goal: &Goal| match goal {
        Goal::Contents { parts, kinds, .. } => Some(ContentsFinding {
            parts: parts
                .iter()
                .map(|part| network.name(*part).to_owned())
                .collect(),
            kinds: kinds
                .iter()
                .map(|kind| network.kind(*kind).name.clone())
                .collect(),
            items: items_of(parts, kinds, view),
        }),
        _ => None,
    };
    goals.iter().map(asked).collect()
}

fn items_of(parts: &[PartId], kinds: &[KindId], view: &View<'_>) -> u64 {
    let is_counted = |kind: &KindId| kinds.is_empty() || kinds.contains(kind);
    let mut sum = 0;
    for part in distinct(parts, view) {
        for (item, count) in items_in(part, view) {
            if is_counted(&item.kind) {
                sum += count;
            }
            let inside = box_contents(view, item).into_iter();
            sum += inside
                .filter(|(kind, _)| is_counted(kind))
                .map(|(_, items)| items)
                .sum::<u64>();
        }
    }
    sum
}
