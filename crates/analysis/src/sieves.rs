//! Sieves: hoppers filled up so that only their own kind can enter, and what unlocks the hopper below.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::fill::fill_level;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Link, Network};
use hallwright_core::slot::{Filling, HOPPER_SLOTS};

use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

use crate::levels::{Known, Levels, Settled};
use crate::signals::read_before;

/// What a sieve holds at the start.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sieve {
    /// The hopper.
    pub hopper: PartId,
    /// Its own kind: that of its first slot with anything in it, from which items are taken.
    pub own: KindId,
    /// The other kinds in it, in the order of its slots, each once.
    pub fillers: Vec<KindId>,
    /// How many of its slots are empty.
    pub free_slots: u16,
    /// How many items of its own kind it holds.
    pub own_items: u32,
    /// How many more of its own kind have room in it.
    pub room_items: u32,
    /// What all of it weighs, in 64ths of a slot.
    weight: u32,
    /// What one item of its own kind weighs, in 64ths of a slot.
    item_weight: u32,
}

/// When the hopper below a sieve is unlocked.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Opening {
    /// By the first item that arrives; or it cannot be said.
    Right,
    /// It is unlocked before any arrives.
    AtRest {
        /// With so many items of its own kind less, at least 1, it would not be; `None` if it would be
        /// with any number.
        too_many: Option<u32>,
    },
    /// Only once so many items have arrived, at least 2.
    Late {
        /// So many.
        items: u32,
    },
    /// Never, however many items of its own kind come into the sieve.
    Never,
}

impl Sieve {
    /// The sieves that these hoppers are, in their order, each once. A hopper that holds nothing at the
    /// start, or a box first, is none.
    #[must_use]
    pub fn all(network: &Network, hoppers: &[PartId]) -> Vec<Self> {
        let mut seen = BTreeSet::new();
        let each_once = hoppers.iter().filter(|hopper| seen.insert(**hopper));
        let fillings = network.fillings();
        let sieve = |hopper: &PartId| {
            // Fillings are in the order of their parts.
            let first = fillings.partition_point(|(part, _)| part < hopper);
            let own = fillings[first..].iter();
            let own = own.take_while(|(part, _)| part == hopper);
            let slots = own.map(|(_, filling)| filling).collect();
            Self::of(network, *hopper, slots)
        };
        each_once.filter_map(sieve).collect()
    }

    /// The hoppers that are filled like sieves, and are not among these: each begins with goods of several kinds, of
    /// which its own has more room, and what a comparator reads of it locks the one hopper below.
    #[must_use]
    pub fn not_named(network: &Network, named: &[PartId]) -> Vec<Self> {
        let named: BTreeSet<&PartId> = named.iter().collect();
        let filled = network.fillings().iter().map(|(part, _)| *part);
        let others: BTreeSet<PartId> = filled
            .filter(|part| network.part(*part).hopper().is_some() && !named.contains(part))
            .collect();
        let others: Vec<PartId> = others.into_iter().collect();
        let mut filled = Self::all(network, &others);
        filled.retain(|sieve| {
            !sieve.fillers.is_empty() && sieve.room_items > 0 && sieve.guards_itself(network)
        });
        filled
    }

    fn of(network: &Network, hopper: PartId, mut slots: Vec<&Filling>) -> Option<Self> {
        slots.sort_by_key(|filling| filling.slot);
        let own = slots.first()?.kind;
        let kind = network.kind(own);
        if kind.is_box {
            return None;
        }
        let limit = u32::from(kind.stack_limit.items());
        let free_slots =
            HOPPER_SLOTS.saturating_sub(u16::try_from(slots.len()).unwrap_or(u16::MAX));
        let mut sieve = Self {
            hopper,
            own,
            fillers: Vec::new(),
            free_slots,
            own_items: 0,
            room_items: u32::from(free_slots) * limit,
            weight: 0,
            item_weight: kind.stack_limit.weight(),
        };
        for filling in slots {
            let count = u32::from(filling.count);
            sieve.weight += count * network.kind(filling.kind).stack_limit.weight();
            if filling.kind == own {
                sieve.own_items += count;
                sieve.room_items += limit - count;
            } else if !sieve.fillers.contains(&filling.kind) {
                sieve.fillers.push(filling.kind);
            }
        }
        Some(sieve)
    }

    /// What a comparator reads of it at the start.
    #[must_use]
    pub fn rest_level(&self) -> u8 {
        fill_level(self.weight, HOPPER_SLOTS)
    }

    /// What a comparator reads of it once so many items more of its own kind are in it.
    #[must_use]
    pub fn level_with(&self, more: u32) -> u8 {
        fill_level(self.weight + more * self.item_weight, HOPPER_SLOTS)
    }

    fn level_without(&self, less: u32) -> u8 {
        fill_level(self.weight - less * self.item_weight, HOPPER_SLOTS)
    }

    /// Whether an item of a kind can ever enter it, as long as it holds what it holds at the start.
    #[must_use]
    pub fn lets_in(&self, kind: KindId) -> bool {
        self.free_slots > 0 || kind == self.own || self.fillers.contains(&kind)
    }

    /// The one hopper that draws from it, if it leads nowhere else.
    #[must_use]
    pub fn outlet(&self, network: &Network) -> Option<PartId> {
        if network.part(self.hopper).hopper()?.target.is_some() {
            return None;
        }
        let node = NodeIndex::new(self.hopper.index());
        let edges = network.graph().edges_directed(node, Direction::Outgoing);
        let mut below = edges.filter(|edge| *edge.weight() == Link::Pull);
        let outlet = PartId::from_index(below.next()?.target().index());
        below.next().is_none().then_some(outlet)
    }

    /// The parts on whose holdings the lock of the hopper below hangs, each with a comparator that reads it; `None`
    /// if that cannot be said.
    #[must_use]
    pub fn guards(&self, network: &Network) -> Option<BTreeMap<PartId, PartId>> {
        let lock = network.part(self.outlet(network)?).lock()?;
        read_before(network, lock)
    }

    fn guards_itself(&self, network: &Network) -> bool {
        let guards = self.guards(network);
        guards.is_some_and(|guards| guards.contains_key(&self.hopper))
    }

    /// When the hopper below is unlocked that has this lock; without a lock it always is.
    ///
    /// What hangs on pulses, memories or inventories that are not known is taken to be
    /// [`Opening::Right`].
    #[must_use]
    pub fn opening(&self, network: &Network, lock: Option<PartId>, known: Known<'_>) -> Opening {
        let mut found: [Option<Levels>; 16] = [None; 16];
        let mut lock_at = |level: u8| {
            let Some(lock) = lock else {
                return Levels::only(0);
            };
            *found[usize::from(level)].get_or_insert_with(|| {
                Settled::new(network, known, (self.hopper, level)).levels(lock)
            })
        };
        if !lock_at(self.rest_level()).can_be_on() {
            // The last item of its own kind holds the slot.
            let less =
                (1..self.own_items).find(|less| lock_at(self.level_without(*less)).can_be_on());
            return Opening::AtRest { too_many: less };
        }
        let more = (1..=self.room_items).find(|more| lock_at(self.level_with(*more)).can_be_off());
        match more {
            Some(1) => Opening::Right,
            Some(items) => Opening::Late { items },
            None => Opening::Never,
        }
    }
}
