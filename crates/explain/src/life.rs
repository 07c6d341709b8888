//! The life of an item: where it came from, and how long it was where.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;

use super::history::{EntryId, History};

/// A stay of an item in one part.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Stay {
    /// Where.
    pub(super) part: PartId,
    /// Since when; `None` for what was there from the start.
    pub(super) since: Option<Tick>,
}

/// The stays of the item that an entry is about, up to that entry, the first first.
pub(super) fn life(history: &History, network: &Network, last: EntryId) -> Vec<Stay> {
    let mut stays = Vec::new();
    let mut next = Some(last);
    while let Some(id) = next {
        let entry = history.entry(id);
        let since = Some(entry.tick());
        let from = match entry.event {
            Event::ItemMoved { from, to, .. } => {
                if !is_loose(network, to) {
                    stays.push(Stay { part: to, since });
                }
                Some(from)
            }
            Event::Collected { hopper, .. } => {
                stays.push(Stay {
                    part: hopper,
                    since,
                });
                None
            }
            Event::CameLoose { place, .. } => {
                stays.push(Stay { part: place, since });
                None
            }
            Event::Delivered { place, .. } => {
                stays.push(Stay { part: place, since });
                break;
            }
            Event::Thrown { dropper, .. } => Some(dropper),
            Event::BoxSet {
                dispenser, bench, ..
            } => {
                stays.push(Stay { part: bench, since });
                Some(dispenser)
            }
            _ => None,
        };
        next = match entry.event {
            // What was delivered loose has no event before.
            Event::CameLoose { .. } => history.came_by(id).filter(|before| {
                let before = history.entry(*before);
                before.moment == entry.moment
                    && matches!(
                        before.event,
                        Event::Thrown { .. } | Event::BoxLifted { .. } | Event::ItemMoved { .. }
                    )
            }),
            _ => history.came_by(id).filter(|before| *before < id),
        };
        if next.is_none()
            && let Some(part) = from
        {
            // What a sieve held from the start stands for what came into it since.
            next = came_since(history, part, id);
            if next.is_none() {
                stays.push(Stay { part, since: None });
            }
        }
    }
    stays.reverse();
    stays
}

/// The last entry by which an item of the same sort came into the part that an entry takes it from.
fn came_since(history: &History, part: PartId, id: EntryId) -> Option<EntryId> {
    let Event::ItemMoved { item: left, .. } = history.entry(id).event else {
        return None;
    };
    let mut before = history.back_from(part, id);
    let found = before.find(|(_, entry)| match entry.event {
        Event::ItemMoved { to, item, .. } => to == part && item == left,
        Event::Collected { hopper, item, .. } => hopper == part && item == left,
        _ => false,
    });
    found.map(|(id, _)| id)
}

fn is_loose(network: &Network, part: PartId) -> bool {
    network.part(part).is_loose_place()
}
