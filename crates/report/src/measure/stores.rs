//! Stores: what they hold, what does not belong there, and what reached overflow.
//!
//! **Reached overflow** means: came into an overflow store from outside every overflow store, other
//! than by the operator's hand.

use std::collections::BTreeMap;

use hallwright_core::engine::View;
use hallwright_core::id::{BoxId, KindId};
use hallwright_core::slot::{BOX_SLOTS, Item};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Store, StorePurpose};
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, Move, box_contents, distinct};
use super::slices::{Room, Slices};
use crate::findings::{Capacity, KindCount, Overflow, OverflowReason, OverflowRow, StoreFinding};
use hallwright_analysis::groups::Groups;

/// Watches what comes into the stores.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct StoreMeasure {
    stores: Vec<Store>,
    groups: Groups,
    slices: Slices,
    tallies: Vec<Tally>,
    /// Stores in which something changed in this tick, perhaps more than once.
    changed: Vec<usize>,
    overflow: BTreeMap<(KindId, OverflowReason), u64>,
    overflow_boxes: BTreeMap<BoxId, OverflowReason>,
    first_passed_by_at: Option<Tick>,
    /// Items that came into any store from outside all of them.
    stored_items: u64,
    /// Items that came into a slice they do not belong in.
    misplaced_arrivals: u64,
}

/// What happened at one store.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Tally {
    held: u64,
    peak: u64,
    arrived: u64,
    first_misplaced_at: Option<Tick>,
}

impl StoreMeasure {
    pub(crate) fn new(stores: &[Store], ledger: &Ledger, view: &View<'_>) -> Self {
        let parts = stores.iter().map(|store| store.parts.as_slice());
        let tally = |store: &Store| {
            let held = ledger.held_by(&store.parts, view);
            Tally {
                held,
                peak: held,
                arrived: 0,
                first_misplaced_at: None,
            }
        };
        Self {
            stores: stores.to_vec(),
            groups: Groups::new(view.network().part_count(), parts),
            slices: Slices::new(stores, view),
            tallies: stores.iter().map(tally).collect(),
            changed: Vec::new(),
            overflow: BTreeMap::new(),
            overflow_boxes: BTreeMap::new(),
            first_passed_by_at: None,
            stored_items: 0,
            misplaced_arrivals: 0,
        }
    }

    /// Items that have come into any store from outside all of them.
    pub(crate) fn stored_items(&self) -> u64 {
        self.stored_items
    }

    /// Items that have come into a slice they do not belong in.
    pub(crate) fn misplaced_arrivals(&self) -> u64 {
        self.misplaced_arrivals
    }

    /// The parts that it watches, by store.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move, view: &View<'_>) {
        if let Some(from) = moved.from {
            for store in self.groups.of_spot(from) {
                self.tallies[store].held -= moved.leaves;
                self.changed.push(store);
            }
            self.slices.may_have_room(from);
        }
        let Some(to) = moved.to else { return };
        if moved.item.is_none() {
            self.slices.may_have_room(to);
        }
        let is_new = moved
            .from
            .is_none_or(|from| !self.groups.contains_any(from));
        let mut is_stored = false;
        let mut reaches_overflow = false;
        for store in self.groups.of_spot(to) {
            let tally = &mut self.tallies[store];
            tally.held += moved.arrives;
            self.changed.push(store);
            let inside = moved
                .from
                .is_some_and(|from| self.groups.contains(from, store));
            let Some(item) = moved.item else { continue };
            if inside {
                continue;
            }
            tally.arrived += moved.arrives;
            is_stored = is_new;
            match self.stores[store].purpose {
                StorePurpose::Slice | StorePurpose::Serving => {
                    if !belongs(item, &self.stores[store], view) {
                        tally.first_misplaced_at.get_or_insert(tick);
                        self.misplaced_arrivals += moved.arrives;
                    }
                }
                StorePurpose::Overflow => {
                    let from_overflow = moved.from.is_some_and(|from| {
                        let mut stores = self.groups.of_spot(from);
                        stores.any(|of| self.stores[of].purpose == StorePurpose::Overflow)
                    });
                    reaches_overflow = moved.from.is_some() && !from_overflow;
                }
            }
        }
        if is_stored {
            self.stored_items += moved.arrives;
        }
        if let (true, Some(item)) = (reaches_overflow, moved.item) {
            self.reached_overflow(tick, item, moved.arrives, view);
        }
    }

    fn reached_overflow(&mut self, tick: Tick, item: Item, items: u64, view: &View<'_>) {
        let reason = match self.slices.room_for(item, view) {
            Room::Some => OverflowReason::PassedBy,
            Room::Full => OverflowReason::StoreFull,
            Room::NoStore => OverflowReason::NoStore,
        };
        if reason == OverflowReason::PassedBy {
            self.first_passed_by_at.get_or_insert(tick);
        }
        *self.overflow.entry((item.kind, reason)).or_insert(0) += items;
        if let Some(box_id) = item.box_id {
            self.overflow_boxes.insert(box_id, reason);
        }
    }

    /// Why a box reached overflow last, if it did.
    pub(crate) fn why_in_overflow(&self, box_id: BoxId) -> Option<OverflowReason> {
        self.overflow_boxes.get(&box_id).copied()
    }

    /// Items of a kind that have reached overflow for a reason.
    pub(crate) fn reached_for(&self, kind: KindId, reason: OverflowReason) -> u64 {
        self.overflow.get(&(kind, reason)).copied().unwrap_or(0)
    }

    /// A tick is over: looks whether a store in which something changed holds more than ever.
    pub(crate) fn end_tick(&mut self) {
        for store in self.changed.drain(..) {
            let tally = &mut self.tallies[store];
            tally.peak = tally.peak.max(tally.held);
        }
    }

    pub(crate) fn finish(self, view: &View<'_>) -> (Vec<StoreFinding>, Overflow) {
        let network = view.network();
        let name = |kind: KindId| network.kind(kind).name.clone();
        let stores = self.stores.iter().zip(&self.tallies);
        let found = stores.map(|(store, tally)| {
            let contents = contents(store, view);
            let strange = |kind: &KindId| !store.accepts(*kind);
            let rows = |only_strange: bool| -> Vec<KindCount> {
                let wanted = contents
                    .iter()
                    .filter(|(kind, _)| !only_strange || strange(kind));
                wanted
                    .map(|(kind, items)| KindCount {
                        kind: name(*kind),
                        items: *items,
                    })
                    .collect()
            };
            StoreFinding {
                name: store.name.clone(),
                purpose: store.purpose,
                final_items: tally.held,
                peak_items: tally.peak,
                arrived_items: tally.arrived,
                capacity: capacity(store, view),
                contents: rows(false),
                misplaced: rows(true),
                first_misplaced_at: tally.first_misplaced_at,
            }
        });
        let rows = self.overflow.iter();
        let overflow = Overflow {
            rows: rows
                .map(|((kind, reason), items)| OverflowRow {
                    kind: name(*kind),
                    is_box: network.kind(*kind).is_box,
                    reason: *reason,
                    items: *items,
                })
                .collect(),
            first_passed_by_at: self.first_passed_by_at,
        };
        (found.collect(), overflow)
    }
}

/// Whether an item belongs in a store: a box where all its contents do.
fn belongs(item: Item, store: &Store, view: &View<'_>) -> bool {
    let contents = box_contents(view, item);
    if contents.is_empty() {
        return store.accepts(item.kind);
    }
    contents.iter().all(|(kind, _)| store.accepts(*kind))
}

/// How much of its own goods fits into a store.
fn capacity(store: &Store, view: &View<'_>) -> Capacity {
    let network = view.network();
    let (mut slots, mut boxes, mut others) = (0, 0, 0);
    for part in distinct(&store.parts, view) {
        for slot in view.slots(part).into_iter().flatten() {
            slots += 1;
            match slot {
                Some(stack) if stack.item.box_id.is_some() => boxes += 1,
                Some(_) => others += 1,
                None => {}
            }
        }
    }
    let is_for_boxes = boxes > 0 && others == 0;
    let goods = store.takes.iter().map(|kind| network.kind(*kind));
    let limits = goods
        .filter(|kind| !kind.is_box)
        .map(|kind| u64::from(kind.stack_limit.items()));
    let slots_each = if is_for_boxes {
        u64::from(BOX_SLOTS)
    } else {
        1
    };
    let items = limits.min().map(|limit| slots * slots_each * limit);
    Capacity {
        slots,
        is_for_boxes,
        items,
    }
}

/// What a store holds by kind, with what boxes hold; a box with contents is not counted itself.
fn contents(store: &Store, view: &View<'_>) -> BTreeMap<KindId, u64> {
    let mut contents = BTreeMap::new();
    for part in distinct(&store.parts, view) {
        for stack in view.slots(part).into_iter().flatten().flatten() {
            let inside = box_contents(view, stack.item);
            if inside.is_empty() {
                *contents.entry(stack.item.kind).or_insert(0) += u64::from(stack.count);
            }
            for (kind, items) in inside {
                *contents.entry(kind).or_insert(0) += items;
            }
        }
    }
    contents
}
