//! Whether what rests in a hopper or dropper of a store may still go on to something behind it in that store.
//!
//! Locks and triggers are not looked at: what may never open counts as if it did. So goods that are said to be
//! where they stay do stay there.

use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::slot::Item;
use hallwright_declared::declarations::{Declarations, StorePurpose};
use petgraph::Direction;

use crate::ways::Ways;

/// The ways within the stores of slices.
pub struct Onward {
    /// Of each part: the next parts of its store, along what only passes things on.
    next: Vec<Vec<PartId>>,
}

impl Onward {
    /// Those of a network. `store_of`: of each part the number of its store.
    #[must_use]
    pub fn new(network: &Network, declared: &Declarations, store_of: &[Option<usize>]) -> Self {
        let mut next = vec![Vec::new(); network.part_count()];
        if !declared.stores.is_empty() {
            let ways = Ways::new(network);
            for (number, store) in declared.stores.iter().enumerate() {
                if store.purpose == StorePurpose::Slice {
                    for part in &store.parts {
                        next[part.index()] = next_in(number, store_of, *part, &ways, network);
                    }
                }
            }
        }
        Self { next }
    }

    /// Whether an item in a part may go on: something behind it has room, and nothing that stays full stands between.
    #[must_use]
    pub fn may_go_on(&self, part: PartId, item: Item, view: &View<'_>) -> bool {
        let mut seen = vec![part];
        let mut open = vec![part];
        while let Some(part) = open.pop() {
            for next in &self.next[part.index()] {
                if seen.contains(next) {
                    continue;
                }
                if has_room_for(*next, item, view) {
                    return true;
                }
                seen.push(*next);
                if self.may_let_go(*next, view) {
                    open.push(*next);
                }
            }
        }
        false
    }

    /// Whether anything that a part holds, or that stands behind it, may go on and so make room.
    fn may_let_go(&self, part: PartId, view: &View<'_>) -> bool {
        // What has no slots is never full.
        if view.slots(part).is_none() {
            return true;
        }
        let mut seen = vec![part];
        let mut open = vec![part];
        while let Some(part) = open.pop() {
            let held = held(part, view);
            for next in &self.next[part.index()] {
                if held.iter().any(|item| has_room_for(*next, *item, view)) {
                    return true;
                }
                if !seen.contains(next) {
                    seen.push(*next);
                    open.push(*next);
                }
            }
        }
        false
    }
}

/// The parts of a store that items come to next from one of them.
fn next_in(
    store: usize,
    store_of: &[Option<usize>],
    start: PartId,
    ways: &Ways,
    network: &Network,
) -> Vec<PartId> {
    let passes_on = |part: PartId| match network.part(part).holding() {
        Holding::Loose | Holding::Queue => true,
        Holding::Slots | Holding::Box | Holding::Docked | Holding::Nothing => false,
    };
    let mut found = Vec::new();
    let mut seen = vec![start];
    let mut open = vec![start];
    while let Some(part) = open.pop() {
        for (end, _) in ways.hops(part, Direction::Outgoing) {
            if seen.contains(&end) {
                continue;
            }
            seen.push(end);
            if store_of[end.index()] == Some(store) {
                found.push(end);
            } else if passes_on(end) {
                open.push(end);
            }
        }
    }
    found
}

/// One of each sort of item that a part holds.
fn held(part: PartId, view: &View<'_>) -> Vec<Item> {
    let mut held: Vec<Item> = Vec::new();
    for stack in view.slots(part).into_iter().flatten().flatten() {
        let is_known = |item: &Item| {
            item.kind == stack.item.kind && item.box_id.is_some() == stack.item.box_id.is_some()
        };
        if !held.iter().any(is_known) {
            held.push(stack.item);
        }
    }
    held
}

/// Whether a part has room for one more of an item; a box needs a slot of its own.
fn has_room_for(part: PartId, item: Item, view: &View<'_>) -> bool {
    let limit = view.network().kind(item.kind).stack_limit.items();
    let mut slots = view.slots(part).into_iter().flatten();
    slots.any(|slot| match slot {
        None => true,
        Some(stack) => item.box_id.is_none() && stack.item.kind == item.kind && stack.count < limit,
    })
}
