//! Which measurements a part matters to: most parts matter to few, and a move between two parts is told
//! to those alone.

use hallwright_core::id::PartId;

use super::groups::Groups;
use super::ledger::{Move, Spot};

/// A measurement that watches moves at declared parts only.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Watcher {
    Stores,
    Sieves,
    Flows,
    Requests,
    Gathers,
    Rounds,
}

/// For each part, the measurements that it matters to.
pub(crate) struct Interests {
    by_part: Vec<Interest>,
}

/// Some measurements.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(crate) struct Interest(u8);

impl Interest {
    /// Whether a measurement is among them.
    pub(crate) fn has(self, watcher: Watcher) -> bool {
        self.0 & 1 << watcher as u8 != 0
    }
}

impl Interests {
    /// Nothing matters to any.
    pub(crate) fn none(part_count: usize) -> Self {
        Self {
            by_part: vec![Interest::default(); part_count],
        }
    }

    /// The parts of all these groups matter to a measurement.
    pub(crate) fn add(&mut self, watcher: Watcher, groups: &Groups) {
        for (index, interest) in self.by_part.iter_mut().enumerate() {
            if groups.names(PartId::from_index(index)) {
                interest.0 |= 1 << watcher as u8;
            }
        }
    }

    /// The measurements that a move matters to.
    pub(crate) fn of(&self, moved: &Move) -> Interest {
        Interest(self.at(moved.from) | self.at(moved.to))
    }

    fn at(&self, spot: Option<Spot>) -> u8 {
        let Some(spot) = spot else { return 0 };
        let at = |part: PartId| self.by_part[part.index()].0;
        at(spot.part) | spot.also.map_or(0, at)
    }
}
