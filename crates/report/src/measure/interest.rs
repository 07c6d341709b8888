//! Which measurements a part matters to: most parts matter to few, and a move between two parts is reported
//! to those alone. So is a change of a signal.

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
    }
}

/// For each part, the measurements that it matters to.
pub(crate) struct Interests {
    by_part: Vec<Interest>,
}

impl Interests {
    /// Nothing matters to any.
    pub(crate) fn none(part_count: usize) -> Self {
        Self {
            by_part: vec![Interest::empty(); part_count],
        }
    }

    /// The parts of all these groups matter to a measurement.
    pub(crate) fn add(&mut self, watcher: Interest, groups: &Groups) {
        for (index, interest) in self.by_part.iter_mut().enumerate() {
            if groups.names(PartId::from_index(index)) {
                *interest |= watcher;
            }
        }
    }

    /// The measurements that a signal matters to.
    #[inline]
    pub(crate) fn of_signal(&self, signal: PartId) -> Interest {
        self.by_part[signal.index()]
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
        let at = |part: PartId| self.by_part[part.index()];
        at(spot.part) | spot.also.map_or_else(Interest::empty, at)
    }
}
