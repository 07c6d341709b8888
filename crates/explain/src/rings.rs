//! Deadlocks, and items that go round.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use petgraph::Direction;

use super::history::{History, leaves};
use super::standing::{has_room, sorts_in};
use hallwright_analysis::certainty::longest_beat_ticks;
use hallwright_analysis::ways::Ways;
use hallwright_report::measure::slot_items;

/// Parts that wait for each other, or among which items go round.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ring {
    /// Its members, in the order of declaration.
    pub members: Vec<String>,
    /// Since when: of a deadlock, the last tick in which one of them moved; of a circulation, the last
    /// in which something left it.
    pub since: Tick,
    /// The items in it at the end.
    pub items: u64,
    /// Of a circulation: the most moves that one member made since.
    pub moves: u64,
}

/// Whether there can be a deadlock, or items that go round: neither is without parts in a ring.
pub(super) fn can_be(ways: &Ways) -> bool {
    !ways.rings(|_| true).is_empty()
}

/// The parts that hold something and wait for each other at the end of the run: each without room
/// wherever it could go.
pub(super) fn deadlocks(history: &History, ways: &Ways, view: &View<'_>) -> Vec<Ring> {
    let network = view.network();
    let stands = |part: &PartId| {
        if !can_wait(network.part(*part)) {
            return false;
        }
        let items = sorts_in(view, *part);
        let hops = ways.hops(*part, Direction::Outgoing);
        !items.is_empty()
            && !hops.is_empty()
            && hops
                .iter()
                .all(|(to, _)| items.iter().all(|item| !has_room(view, *to, *item)))
    };
    let mut waiting: BTreeSet<PartId> = network.part_ids().filter(stands).collect();
    // Whatever waits for a part that does not wait itself, or that just has no room, is no ring.
    loop {
        let before = waiting.len();
        let all = waiting.clone();
        waiting.retain(|part| {
            let hops = ways.hops(*part, Direction::Outgoing);
            hops.iter().all(|(to, _)| all.contains(to))
        });
        if waiting.len() == before {
            break;
        }
    }
    let found = ways.rings(|part| waiting.contains(&part)).into_iter();
    found
        .map(|members| Ring {
            since: last_move(&members, history),
            items: members.iter().map(|part| held(view, *part)).sum(),
            moves: 0,
            members: names(view, &members),
        })
        .collect()
}

fn last_move(members: &[PartId], history: &History) -> Tick {
    let last = members.iter().filter_map(|part| {
        let mut entries = history.back_from(*part, history.count());
        entries.find_map(|(_, entry)| entry.event.is_item_event().then(|| entry.tick()))
    });
    last.max().unwrap_or(Tick(0))
}

fn held(view: &View<'_>, part: PartId) -> u64 {
    match view.network().part(part).holding() {
        Holding::Queue => view.queue(part).len() as u64,
        // What is on a stream counts at its mouth, and not twice.
        Holding::Loose => {
            let loose = view.loose_stacks().filter(|stack| stack.mouth == part);
            loose.map(|stack| u64::from(stack.count)).sum()
        }
        Holding::Slots | Holding::Box | Holding::Docked => slot_items(view, part),
        Holding::Nothing => 0,
    }
}

/// Whether a part keeps what it has until it can hand it on, or until it is taken.
fn can_wait(part: &Part) -> bool {
    match part {
        Part::Container(_) | Part::Hopper(_) | Part::Selector(_) => true,
        // A dropper waits for its trigger, whatever else it waits for.
        Part::Dropper(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
        Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
    }
}

fn names(view: &View<'_>, parts: &[PartId]) -> Vec<String> {
    let names = parts
        .iter()
        .map(|part| view.network().name(*part).to_owned());
    names.collect()
}

/// Rings in which items still moved at the end, twice round at least since the last of them left.
pub(super) fn circulations(
    history: &History,
    ways: &Ways,
    view: &View<'_>,
    end: Tick,
) -> Vec<Ring> {
    let network = view.network();
    let mut found = Vec::new();
    for ring in ways.rings(|_| true) {
        let members: BTreeSet<PartId> = ring.iter().copied().collect();
        let left_at = last_exit(&members, history);
        let mut moves: BTreeMap<PartId, u64> = BTreeMap::new();
        let mut last = Tick(0);
        for part in &ring {
            for (_, entry) in history.back_from(*part, history.count()) {
                if left_at.is_some_and(|left_at| entry.tick() <= left_at) {
                    break;
                }
                if leaves(&entry.event, *part) && !matches!(entry.event, Event::Departed { .. }) {
                    *moves.entry(*part).or_insert(0) += 1;
                    last = last.max(entry.tick());
                }
            }
        }
        let moving: Vec<PartId> = moves.keys().copied().collect();
        let items: u64 = ring.iter().map(|part| held(view, *part)).sum();
        let most = moves.values().copied().max().unwrap_or(0);
        let goes_on = last + 2 * longest_beat_ticks(network).max(100) >= end;
        if goes_on && moving.len() > 1 && items > 0 && most >= 2 * items {
            found.push(Ring {
                members: names(view, &moving),
                since: left_at.unwrap_or(Tick(0)),
                items,
                moves: most,
            });
        }
    }
    found
}

/// When something left a ring last.
fn last_exit(members: &BTreeSet<PartId>, history: &History) -> Option<Tick> {
    let exits = members.iter().filter_map(|part| {
        let mut entries = history.back_from(*part, history.count());
        entries.find_map(|(_, entry)| {
            let leaves = match entry.event {
                Event::ItemMoved { from, to, .. } => from == *part && !members.contains(&to),
                Event::Withdrawn { .. } | Event::Lost { .. } => true,
                _ => false,
            };
            leaves.then(|| entry.tick())
        })
    });
    exits.max()
}
