//! All that changes in a run, as plain data.

use std::collections::VecDeque;

use serde::{Deserialize, Serialize};

use super::agenda::Agenda;
use super::clocks::Clocks;
use super::inventories::Inventories;
use super::landings::Landings;
use super::loose_items::LooseItems;
use super::sleepers::Sleepers;
use super::stuck::Stuck;
use crate::engine::tables::parts::Parts;
use crate::engine::tables::seats::Seated;
use crate::goods::Kind;
use crate::id::{KindId, PartId};
use crate::network::Network;
use crate::part::Part;
use crate::slot::Item;
use crate::tick::Tick;

/// The state of a run. Hoppers and selectors are by seat, all else is in the order of declaration.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct World {
    /// The next tick; during a tick, this one.
    pub(in crate::engine) tick: Tick,
    pub(in crate::engine) inventories: Inventories,
    pub(in crate::engine) selectors: Vec<SelectorState>,
    pub(in crate::engine) signals: Vec<SignalState>,
    pub(in crate::engine) droppers: Vec<DropperState>,
    pub(in crate::engine) benches: Vec<BenchState>,
    pub(in crate::engine) shuttles: Vec<ShuttlePosition>,
    /// For each shuttle's dock: the shuttle that is docked there.
    pub(in crate::engine) docked: Vec<Option<PartId>>,
    pub(in crate::engine) agenda: Agenda,
    pub(in crate::engine) clocks: Clocks,
    pub(in crate::engine) loose: LooseItems,
    /// The deliveries that wait.
    pub(in crate::engine) landings: Landings,
    /// Who sleeps.
    pub(in crate::engine) sleepers: Sleepers,
    /// Which signals are stuck.
    pub(in crate::engine) stuck: Stuck,
    pub(in crate::engine) totals: Totals,
    /// How many entries of the timeline are done.
    pub(in crate::engine) inputs_done: usize,
}

/// An item inside a selector.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub struct QueuedItem {
    /// What it is.
    pub item: Item,
    /// The first tick in which it can leave.
    pub ready_at: Tick,
}

/// Where a shuttle is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub enum ShuttlePosition {
    /// At a stop of its round.
    Docked {
        /// The stop, by its place in the round.
        stop: u32,
        /// Since this tick; of one that sleeps or has slept there, later by as long as it did, and so perhaps
        /// still to come.
        since: Tick,
    },
    /// On the way to a stop.
    UnderWay {
        /// The stop, by its place in the round.
        to: u32,
        /// The first tick in which it can dock.
        arrives_at: Tick,
    },
}

#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct SelectorState {
    pub(in crate::engine) queue: VecDeque<QueuedItem>,
    /// When the item accepted last is or was ready.
    pub(in crate::engine) last_ready_at: Option<Tick>,
}

/// No level: it is to be worked out anew.
pub(in crate::engine) const UNSURE: u8 = u8::MAX;

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct SignalState {
    /// What all who read it see.
    pub(in crate::engine) level: u8,
    /// What the part itself goes by. The two differ only while it is stuck.
    pub(in crate::engine) own_level: u8,
    pub(in crate::engine) is_stuck: bool,
    /// What its inputs gave when it scheduled to take that, or [`UNSURE`] if one of them may have changed since.
    pub(in crate::engine) given: u8,
    /// How many events of its own are scheduled. Only a delay line can have more than one, and a hold that
    /// slept through a change.
    pub(in crate::engine) pending: u32,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct DropperState {
    /// Whether a firing is scheduled.
    pub(in crate::engine) is_pending: bool,
    /// How far its random stream has been used, in 32-bit words.
    pub(in crate::engine) stream_position_words: u128,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct BenchState {
    /// The box that stands there.
    pub(in crate::engine) standing: Option<Item>,
    /// The first of the ticks in a row at whose ends the lift condition has held.
    pub(in crate::engine) held_since: Option<Tick>,
}

/// How many items of each kind have come and gone, those inside boxes included.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Totals {
    pub(in crate::engine) at_start: Vec<u64>,
    /// Of all deliveries that were due.
    pub(in crate::engine) sent: Vec<u64>,
    /// Of those sent, what did not fit and would not wait.
    pub(in crate::engine) refused: Vec<u64>,
    pub(in crate::engine) delivered: Vec<u64>,
    pub(in crate::engine) withdrawn: Vec<u64>,
    pub(in crate::engine) lost: Vec<u64>,
}

impl SignalState {
    /// It has this level from the start.
    pub(in crate::engine) fn begin_at(&mut self, level: u8) {
        self.level = level;
        self.own_level = level;
    }
}

impl Totals {
    pub(in crate::engine) fn new(kinds: &[Kind]) -> Self {
        let none = vec![0; kinds.len()];
        Self {
            at_start: none.clone(),
            sent: none.clone(),
            refused: none.clone(),
            delivered: none.clone(),
            withdrawn: none.clone(),
            lost: none,
        }
    }

    /// What must be somewhere in the network now.
    pub(in crate::engine) fn present(&self, kind: KindId) -> u64 {
        let kind = kind.index();
        self.at_start[kind] + self.delivered[kind] - self.withdrawn[kind] - self.lost[kind]
    }
}

impl World {
    /// The world before tick 0, with every signal off: settling gives them their levels.
    pub(in crate::engine) fn new(network: &Network, seats: &[Seated], parts: &Parts) -> Self {
        let inventories = Inventories::new(network, seats, parts);
        let mut totals = Totals::new(network.kinds());
        let by_part = network.fillings().chunk_by(|a, b| a.0 == b.0);
        for (part, _) in by_part.map(|of| &of[0]) {
            let slots = inventories.slots(inventories.of(*part)).iter();
            for slot in slots.filter(|slot| !slot.is_empty()) {
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
            docked: vec![None; count(|part| matches!(part, Part::Dock))],
            agenda: Agenda::default(),
            clocks: Clocks::default(),
            loose: LooseItems::default(),
            landings: Landings::default(),
            sleepers: Sleepers::default(),
            stuck: Stuck::default(),
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
            .filter(|(_, part)| matches!(part, Part::Dock))
            .map(|(id, _)| id)
            .collect();
        for (id, part) in network.parts() {
            let Part::Shuttle(shuttle) = part else {
                continue;
            };
            let place = shuttle.stops[0].dock;
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
