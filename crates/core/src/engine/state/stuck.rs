//! Which signals are stuck until when (tick rules, "mishaps"). At which level, they know themselves.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::id::PartId;
use crate::tick::Tick;

/// The signals that are stuck.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Stuck {
    free_at: BTreeMap<PartId, Tick>,
    /// The same, by the ticks in which they come free.
    endings: BTreeSet<(Tick, PartId)>,
    /// The last tick in which one of them came free; 0 if none has yet.
    last_freed: Tick,
}

impl Stuck {
    pub(in crate::engine) fn is_empty(&self) -> bool {
        self.free_at.is_empty()
    }

    /// The next tick in which any signal comes free.
    pub(in crate::engine) fn next_ending(&self) -> Option<Tick> {
        self.endings.first().map(|(tick, _)| *tick)
    }

    /// The tick in which a signal comes free; `None` if it is not stuck.
    pub(in crate::engine) fn free_at(&self, signal: PartId) -> Option<Tick> {
        self.free_at.get(&signal).copied()
    }

    /// Since when none is stuck; `None` while any is.
    pub(in crate::engine) fn all_free_since(&self) -> Option<Tick> {
        self.is_empty().then_some(self.last_freed)
    }

    /// Every one, in the order of declaration, with the tick in which it comes free.
    pub(in crate::engine) fn iter(&self) -> impl ExactSizeIterator<Item = (PartId, Tick)> {
        self.free_at.iter().map(|(signal, tick)| (*signal, *tick))
    }

    pub(in crate::engine) fn add(&mut self, signal: PartId, free_at: Tick) {
        self.free_at.insert(signal, free_at);
        self.endings.insert((free_at, signal));
    }

    /// Takes out those that come free in this tick.
    pub(in crate::engine) fn take_free(&mut self, now: Tick) -> Vec<PartId> {
        let mut free = Vec::new();
        while let Some(&(tick, signal)) = self.endings.first() {
            if tick > now {
                break;
            }
            self.endings.pop_first();
            self.free_at.remove(&signal);
            self.last_freed = tick;
            free.push(signal);
        }
        free
    }
}
