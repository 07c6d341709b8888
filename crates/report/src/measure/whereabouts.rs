//! Where everything is at the end of a run.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::asks::Holding;
use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Part, Shuttle};
use hallwright_core::slot::Item;
use hallwright_declared::declarations::{Declarations, Goal, Store, StorePurpose};

use super::ledger::{Ledger, box_contents, distinct};
use super::slices::has_room;
use crate::findings::{ContentsFinding, NoRoom, PartHeld, Whereabouts};

/// Where all items are at the end.
pub(crate) fn whereabouts(
    declared: &Declarations,
    ledger: &Ledger,
    view: &View<'_>,
) -> Whereabouts {
    let network = view.network();
    let kinds = || (0..network.kinds().len()).map(KindId::from_index);
    let mut survey = Survey::new(declared, view);
    for part in network.part_ids() {
        survey.look_at(part);
    }
    let mut found = survey.finish();
    found.lost_items = kinds().map(|kind| view.lost(kind)).sum();
    found.withdrawn_items = kinds().map(|kind| view.withdrawn(kind)).sum();
    found.delivered_items = kinds().map(|kind| view.delivered(kind)).sum();
    for record in ledger.loose() {
        let inside: u64 = record.box_contents.iter().map(|(_, items)| items).sum();
        found.loose_items += record.count + inside;
    }
    found
}

/// An item, what is inside if it is a box, and how many items that is in all.
type Held = (Item, Vec<(KindId, u64)>, u64);

/// Goes through all parts and adds up what they hold.
struct Survey<'a, 'v> {
    declared: &'a Declarations,
    view: &'a View<'v>,
    store_of: Vec<Option<&'a Store>>,
    queues: BTreeSet<PartId>,
    sieves: BTreeSet<PartId>,
    full_stores: FullStores,
    /// Items without room, by the store that is full.
    no_room: BTreeMap<usize, u64>,
    found: Whereabouts,
}

impl<'a, 'v> Survey<'a, 'v> {
    fn new(declared: &'a Declarations, view: &'a View<'v>) -> Self {
        let mut store_of = vec![None; view.network().part_count()];
        for store in &declared.stores {
            for part in &store.parts {
                store_of[part.index()].get_or_insert(store);
            }
        }
        let queues = declared.sections.iter().flat_map(|section| &section.queue);
        Self {
            declared,
            view,
            store_of,
            queues: queues.copied().collect(),
            sieves: declared.sieves.iter().copied().collect(),
            full_stores: FullStores::default(),
            no_room: BTreeMap::new(),
            found: Whereabouts::default(),
        }
    }

    fn look_at(&mut self, part: PartId) {
        // What stands at a place is the shuttle's: it is counted there.
        let own = self.store_of[part.index()];
        let store = match self.view.network().part(part) {
            Part::Dock => return,
            Part::Shuttle(shuttle) => own.or_else(|| {
                let place = docked_at(part, shuttle, self.view)?;
                self.store_of[place.index()]
            }),
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => own,
            Part::Stream(_) | Part::Bench(_) | Part::Selector(_) | Part::Signal(_) => own,
        };
        let mut in_lines = Vec::new();
        for (item, count) in items_in(part, self.view) {
            let inside: Vec<(KindId, u64)> = box_contents(self.view, item);
            let all = count + inside.iter().map(|(_, items)| items).sum::<u64>();
            let boxes = u64::from(item.box_id.is_some());
            let found = &mut self.found;
            match store {
                Some(store) if store.purpose == StorePurpose::Overflow => {
                    found.overflow_items += all;
                    found.overflow_boxes += boxes;
                }
                Some(store) => {
                    let strange = strange_items(store, item, count, &inside);
                    found.misplaced_items += strange;
                    found.sorted_items += all - strange;
                    let is_strange = inside.is_empty() && strange > 0;
                    found.sorted_boxes += if is_strange { 0 } else { boxes };
                }
                None if self.sieves.contains(&part) => found.sieve_items += all,
                None => in_lines.push((item, inside, all)),
            }
        }
        self.add_in_lines(part, &in_lines);
    }

    /// Adds what a part holds that belongs to no store and is no sieve.
    fn add_in_lines(&mut self, part: PartId, held: &[Held]) {
        let items: u64 = held.iter().map(|(_, _, all)| all).sum();
        self.found.in_lines_items += items;
        if items == 0 || is_as_at_the_start(part, self.view) {
            return;
        }
        let boxes = held.iter().filter(|(item, ..)| item.box_id.is_some());
        let boxes = boxes.count() as u64;
        for (item, inside, all) in held {
            let stores = &self.declared.stores;
            if let Some(store) = self.full_stores.of(stores, *item, inside, self.view) {
                *self.no_room.entry(store).or_insert(0) += all;
            }
        }
        if self.queues.contains(&part) {
            self.found.waiting_items += items;
            self.found.waiting_boxes += boxes;
        } else {
            self.found.in_lines.push(PartHeld {
                part: self.view.network().name(part).to_owned(),
                items,
                boxes,
            });
        }
    }

    fn finish(self) -> Whereabouts {
        let mut found = self.found;
        let rows = self.no_room.into_iter();
        found.no_room = rows
            .map(|(store, items)| NoRoom {
                store: self.declared.stores[store].name.clone(),
                items,
            })
            .collect();
        // The most first.
        found
            .no_room
            .sort_by_key(|row| std::cmp::Reverse(row.items));
        found
            .in_lines
            .sort_by_key(|row| std::cmp::Reverse(row.items));
        found
    }
}

/// What has no room in its stores. What was found for one item holds for all others like it.
#[derive(Default)]
struct FullStores {
    /// By the item's kind and, of a box, what is inside: the first of the stores that take it, if none
    /// of them has room for it.
    known: BTreeMap<(KindId, Vec<KindId>), Option<usize>>,
}

impl FullStores {
    fn of(
        &mut self,
        stores: &[Store],
        item: Item,
        inside: &[(KindId, u64)],
        view: &View<'_>,
    ) -> Option<usize> {
        let kinds: Vec<KindId> = match inside {
            [] => vec![item.kind],
            inside => inside.iter().map(|(kind, _)| *kind).collect(),
        };
        let found = self.known.entry((item.kind, kinds.clone()));
        *found.or_insert_with(|| {
            let takes = |store: &&Store| {
                store.purpose == StorePurpose::Slice
                    && kinds.iter().all(|kind| store.takes.contains(kind))
            };
            let first = stores.iter().position(|store| takes(&store))?;
            let mut own = stores.iter().filter(takes);
            (!own.any(|store| has_room(store, item.kind, view))).then_some(first)
        })
    }
}

/// How many of these do not belong in a slice: of a box with contents, those inside.
fn strange_items(store: &Store, item: Item, count: u64, inside: &[(KindId, u64)]) -> u64 {
    if inside.is_empty() {
        return if store.accepts(item.kind) { 0 } else { count };
    }
    let strange = inside.iter().filter(|(kind, _)| !store.accepts(*kind));
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
        ShuttlePosition::Docked { stop, .. } => Some(shuttle.stops[stop as usize].dock),
        ShuttlePosition::UnderWay { .. } => None,
    }
}

/// Everything that a part holds: stacks in its slots, the box on a bench, items in a selector.
pub(crate) fn items_in(part: PartId, view: &View<'_>) -> Vec<(Item, u64)> {
    match view.network().part(part).holding() {
        // Its contents are counted with the box.
        Holding::Box => view
            .box_on_bench(part)
            .map(|item| (item, 1))
            .into_iter()
            .collect(),
        Holding::Queue => view.queue(part).map(|queued| (queued.item, 1)).collect(),
        Holding::Slots | Holding::Loose | Holding::Docked | Holding::Nothing => {
            let stacks = view.slots(part).into_iter().flatten().flatten();
            stacks
                .map(|stack| (stack.item, u64::from(stack.count)))
                .collect()
        }
    }
}

/// What each goal about contents asks for, at the end.
pub(crate) fn goal_contents(goals: &[Goal], view: &View<'_>) -> Vec<ContentsFinding> {
    let network = view.network();
    let asked = |(goal, asks): (usize, &Goal)| match asks {
        Goal::Contents { parts, kinds, .. } => Some(ContentsFinding {
            goal,
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
    goals.iter().enumerate().filter_map(asked).collect()
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
