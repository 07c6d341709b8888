//! Which measurements a part matters to: most parts matter to few, and a move between two parts is reported
//! to those alone. So is a change of a signal.

use std::collections::HashMap;
use std::hash::Hash;

use bitflags::bitflags;
use hallwright_core::id::PartId;

use super::ledger::{Move, Spot};
use hallwright_analysis::groups::Groups;

bitflags! {
    /// Measurements that watch what happens at declared parts only.
    #[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
    pub(crate) struct Interest: u16 {
        const STORES = 1;
        const SIEVES = 1 << 1;
        const FLOWS = 1 << 2;
        const REQUESTS = 1 << 3;
        const GATHERS = 1 << 4;
        const ROUNDS = 1 << 5;
        const FEEDS = 1 << 6;
        const CALLS = 1 << 7;
        const LAMPS = 1 << 8;
        const RETURNS = 1 << 9;
        /// Every move counts: others may be at the same place, items lie loose there, or several sections
        /// name it.
        const SHARED = 1 << 10;
    }
}

/// For each part, the measurements that it matters to.
pub(crate) struct Interests {
    by_part: Vec<Watched>,
}

/// How a part is watched.
#[derive(Clone, Copy, Default)]
struct Watched {
    interest: Interest,
    /// Parts of one zone are inside of the same lines, queues and rounds: what moves between two of them leaves
    /// none of these and comes into none.
    zone: u32,
}

impl Interests {
    /// Nothing matters to any.
    pub(crate) fn none(part_count: usize) -> Self {
        Self {
            by_part: vec![Watched::default(); part_count],
        }
    }

    /// The parts of all these groups matter to a measurement.
    pub(crate) fn add(&mut self, watcher: Interest, groups: &Groups) {
        for (index, watched) in self.by_part.iter_mut().enumerate() {
            if groups.names(PartId::from_index(index)) {
                watched.interest |= watcher;
            }
        }
    }

    /// As [`Self::add`], for one part.
    pub(crate) fn add_part(&mut self, watcher: Interest, part: PartId) {
        self.by_part[part.index()].interest |= watcher;
    }

    /// Divides the parts into zones: those for which this says the same are in one.
    pub(crate) fn divide<Z: Hash + Eq>(&mut self, zone: impl Fn(PartId) -> Z) {
        let mut zones = HashMap::new();
        for (index, watched) in self.by_part.iter_mut().enumerate() {
            let next = zones.len() as u32;
            watched.zone = *zones.entry(zone(PartId::from_index(index))).or_insert(next);
        }
    }

    /// The measurements that a part matters to.
    #[inline]
    pub(crate) fn of_part(&self, part: PartId) -> Interest {
        self.by_part[part.index()].interest
    }

    /// Whether one item that moves between two parts matters to no measurement but those of every move.
    #[inline]
    pub(crate) fn is_plain(&self, from: PartId, to: PartId) -> bool {
        let (from, to) = (self.by_part[from.index()], self.by_part[to.index()]);
        // Rounds matter where they are left.
        let interest = (from.interest | to.interest).difference(Interest::ROUNDS);
        interest.is_empty() && from.zone == to.zone
    }

    /// The measurements that a move matters to.
    #[inline]
    pub(crate) fn of(&self, moved: &Move) -> Interest {
        self.at(moved.from) | self.at(moved.to)
    }

    #[inline]
    fn at(&self, spot: Option<Spot>) -> Interest {
        let Some(spot) = spot else {
            return Interest::empty();
        };
        let at = |part: PartId| self.of_part(part);
        at(spot.part) | spot.also.map_or_else(Interest::empty, at)
    }
}
