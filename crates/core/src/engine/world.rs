//! All that changes in a run, as plain data.

use std::collections::VecDeque;

use super::agenda::Agenda;
use super::inventories::Inventories;
use super::loose_items::LooseItems;
use super::parts::Parts;
use super::seats::Seated;
use super::view::{QueuedItem, ShuttlePosition};
use crate::goods::Kind;
use crate::id::{KindId, PartId};
use crate::network::Network;
use crate::part::Part;
use crate::slot::Item;
use crate::tick::Tick;

/// The state of a run. Hoppers and selectors are by seat, all else is in the order of declaration.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(super) struct World {
    /// The next tick; during a tick, this one.
    pub(super) tick: Tick,
    pub(super) inventories: Inventories,
    pub(super) selectors: Vec<SelectorState>,
    pub(super) signals: Vec<SignalState>,
    pub(super) droppers: Vec<DropperState>,
    pub(super) benches: Vec<BenchState>,
    pub(super) shuttles: Vec<ShuttlePosition>,
    /// For each shuttle's place: the shuttle that is docked there.
    pub(super) docked: Vec<Option<PartId>>,
    pub(super) agenda: Agenda,
    pub(super) loose: LooseItems,
    pub(super) totals: Totals,
    /// How many entries of the timeline are done.
    pub(super) inputs_done: usize,
}

#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct SelectorState {
    pub(super) queue: VecDeque<QueuedItem>,
    /// When the item accepted last is or was ready.
    pub(super) last_ready_at: Option<Tick>,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct SignalState {
    pub(super) level: u8,
    /// How many events of its own are scheduled. Only a delay line can have more than one.
    pub(super) pending: u32,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct DropperState {
    /// Whether a firing is scheduled.
    pub(super) is_pending: bool,
    /// How far its random stream has been used, in 32-bit words.
    pub(super) stream_position_words: u128,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(super) struct BenchState {
    /// The box that stands there.
    pub(super) standing: Option<Item>,
    /// The first of the ticks in a row at whose ends the lift condition has held.
    pub(super) held_since: Option<Tick>,
}

/// How many items of each kind have come and gone, those inside boxes included.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(super) struct Totals {
    pub(super) at_start: Vec<u64>,
    pub(super) delivered: Vec<u64>,
    pub(super) withdrawn: Vec<u64>,
    pub(super) lost: Vec<u64>,
}

impl Totals {
    pub(super) fn new(kinds: &[Kind]) -> Self {
        let none = vec![0; kinds.len()];
        Self {
            at_start: none.clone(),
            delivered: none.clone(),
            withdrawn: none.clone(),
            lost: none,
        }
    }

    /// What must be somewhere in the network now.
    pub(super) fn present(&self, kind: KindId) -> u64 {
        let kind = kind.index();
        self.at_start[kind] + self.delivered[kind] - self.withdrawn[kind] - self.lost[kind]
    }
}

impl World {
    /// The world before tick 0, with every signal off: settling gives them their levels.
    pub(super) fn new(network: &Network, seats: &[Seated], parts: &Parts) -> Self {
        let inventories = Inventories::new(network, seats, parts);
        let mut totals = Totals::new(network.kinds());
        for (part, _) in network
            .fillings()
            .chunk_by(|a, b| a.0 == b.0)
            .map(|of| &of[0])
        {
            for slot in inventories
                .slots(inventories.of(*part))
                .iter()
                .filter(|s| !s.is_empty())
            {
                let item = inventories.item_in(*slot);
                inventories.for_each_inside(item, slot.count(), &mut |kind, count| {
                    totals.at_start[kind.index()] += count;
                });
            }
        }
        let count =
            |sort: fn(&Part) -> bool| network.parts().filter(|(_, part)| sort(part)).count();
        let mut world = Self {
            tick: Tick(0),
            inventories,
            selectors: vec![
                SelectorState::default();
                count(|part| matches!(part, Part::Selector(_)))
            ],
            signals: vec![SignalState::default(); count(|part| matches!(part, Part::Signal(_)))],
            droppers: vec![DropperState::default(); count(|part| matches!(part, Part::Dropper(_)))],
            benches: vec![BenchState::default(); count(|part| matches!(part, Part::Bench(_)))],
            shuttles: Vec::new(),
            docked: vec![None; count(|part| matches!(part, Part::Place))],
            agenda: Agenda::default(),
            loose: LooseItems::default(),
            totals,
            inputs_done: 0,
        };
        world.dock_shuttles(network);
        world
    }

    /// Every shuttle starts docked at its first place, as if it had docked at tick 0.
    fn dock_shuttles(&mut self, network: &Network) {
        let places: Vec<PartId> = network
            .parts()
            .filter(|(_, part)| matches!(part, Part::Place))
            .map(|(id, _)| id)
            .collect();
        for (id, part) in network.parts() {
            let Part::Shuttle(shuttle) = part else {
                continue;
            };
            let place = shuttle.stops[0].place;
            self.shuttles.push(ShuttlePosition::Docked {
                stop: 0,
                since: Tick(0),
            });
            if let Ok(place) = places.binary_search(&place) {
                self.docked[place] = Some(id);
            }
            let aboard = self.inventories.of(id);
            self.inventories.occupy(place, Some(aboard));
        }
    }
}
