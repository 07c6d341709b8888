//! Which slices take an item, and whether one of them has room for it.

use hallwright_core::engine::View;
use hallwright_core::id::KindId;
use hallwright_core::slot::Item;
use hallwright_declared::declarations::{Store, StorePurpose};
use serde::{Deserialize, Serialize};

use super::ledger::{Spot, box_contents};
use hallwright_analysis::groups::Groups;

/// The stores that belong to slices, by the kinds they take.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Slices {
    stores: Vec<Store>,
    by_part: Groups,
    /// For each kind, the slices that take it.
    by_kind: Vec<Vec<usize>>,
    /// For each store, the kinds that it was found to have no room for; forgotten as soon as
    /// anything leaves it, since only that can make room.
    without_room: Vec<Vec<KindId>>,
}

/// What a search for an item's own slice came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Room {
    /// No slice takes it.
    NoStore,
    /// None of those that take it has room.
    Full,
    /// One that takes it has room.
    Some,
}

impl Slices {
    pub(crate) fn new(stores: &[Store], view: &View<'_>) -> Self {
        let network = view.network();
        let mut by_kind = vec![Vec::new(); network.kinds().len()];
        for (index, store) in stores.iter().enumerate() {
            if store.purpose == StorePurpose::Slice {
                for kind in &store.takes {
                    by_kind[kind.index()].push(index);
                }
            }
        }
        Self {
            stores: stores.to_vec(),
            by_part: Groups::new(
                network.part_count(),
                stores.iter().map(|store| store.parts.as_slice()),
            ),
            by_kind,
            without_room: vec![Vec::new(); stores.len()],
        }
    }

    /// Something left a spot, or a shuttle docked or departed: there may be room again.
    pub(crate) fn may_have_room(&mut self, spot: Spot) {
        for store in self.by_part.of_spot(spot) {
            self.without_room[store].clear();
        }
    }

    /// Whether a slice that takes the item has room for it. A box belongs where all its contents do,
    /// an empty one by its own kind; it needs an empty slot.
    pub(crate) fn room_for(&mut self, item: Item, view: &View<'_>) -> Room {
        let contents = box_contents(view, item);
        let (judged_by, others) = match contents.split_first() {
            Some(((first, _), others)) => (*first, others),
            None => (item.kind, &[][..]),
        };
        let mut room = Room::NoStore;
        for store in &self.by_kind[judged_by.index()] {
            let takes = &self.stores[*store].takes;
            if !others.iter().all(|(kind, _)| takes.contains(kind)) {
                continue;
            }
            if self.without_room[*store].contains(&item.kind) {
                room = Room::Full;
            } else if has_room(&self.stores[*store], item.kind, view) {
                return Room::Some;
            } else {
                self.without_room[*store].push(item.kind);
                room = Room::Full;
            }
        }
        room
    }
}

/// Whether any slot of a store is empty, or holds the kind below its limit.
pub(crate) fn has_room(store: &Store, kind: KindId, view: &View<'_>) -> bool {
    let limit = view.network().kind(kind).stack_limit.items();
    store.parts.iter().any(|part| {
        view.slots(*part).is_some_and(|mut slots| {
            slots.any(|slot| match slot {
                None => true,
                Some(stack) => stack.item.kind == kind && stack.count < limit,
            })
        })
    })
}
