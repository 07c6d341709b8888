//! Who sleeps until when (tick rules, section 9).

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::id::PartId;
use crate::tick::Tick;

/// The parts that sleep. Between two ticks these are those that will sleep in the next.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Sleepers {
    awake_at: BTreeMap<PartId, Tick>,
    /// The same, by the ticks in which they are awake again.
    wakings: BTreeSet<(Tick, PartId)>,
    /// Of the hoppers and selectors among them, and of those that have woken and had no turn since, the tick
    /// after their last turn; 0 if they had none yet, or it is forgotten.
    after_last_turn: BTreeMap<PartId, u64>,
    /// The last tick in which one of them woke; 0 if none has yet.
    last_waking: Tick,
}

impl Sleepers {
    /// Whether there are none, and all others have had a turn since.
    pub(in crate::engine) fn is_empty(&self) -> bool {
        self.awake_at.is_empty() && self.after_last_turn.is_empty()
    }

    pub(in crate::engine) fn contains(&self, part: PartId) -> bool {
        self.awake_at.contains_key(&part)
    }

    /// The first tick in which a part is awake again; `None` if it does not sleep.
    pub(in crate::engine) fn awake_at(&self, part: PartId) -> Option<Tick> {
        self.awake_at.get(&part).copied()
    }

    /// The last tick in which the next one to wake is asleep. At its end that one is awake, so that observers
    /// are to be notified of it alone.
    pub(in crate::engine) fn last_asleep(&self) -> Option<Tick> {
        let (waking, _) = self.wakings.first()?;
        Some(Tick(waking.0.saturating_sub(1)))
    }

    /// Since when nobody sleeps; `None` while anyone does.
    pub(in crate::engine) fn all_awake_since(&self) -> Option<Tick> {
        self.awake_at.is_empty().then_some(self.last_waking)
    }

    /// Every sleeper, in the order of declaration, with the tick in which it is awake again.
    pub(in crate::engine) fn iter(&self) -> impl ExactSizeIterator<Item = (PartId, Tick)> {
        self.awake_at.iter().map(|(part, tick)| (*part, *tick))
    }

    pub(in crate::engine) fn add(&mut self, part: PartId, awake_at: Tick) {
        self.awake_at.insert(part, awake_at);
        self.wakings.insert((awake_at, part));
    }

    /// Takes out those that are awake from this tick on.
    pub(in crate::engine) fn take_awake(&mut self, now: Tick) -> Vec<PartId> {
        let mut awake = Vec::new();
        while let Some(&(tick, part)) = self.wakings.first() {
            if tick > now {
                break;
            }
            self.wakings.pop_first();
            self.awake_at.remove(&part);
            self.last_waking = tick;
            awake.push(part);
        }
        awake
    }

    /// A hopper or selector that falls asleep had its last turn before this tick; unless it has just woken,
    /// and had an earlier one.
    pub(in crate::engine) fn keep_last_turn(&mut self, taker: PartId, after: u64) {
        self.after_last_turn.entry(taker).or_insert(after);
    }

    /// The tick after the last turn of a hopper or selector, if that had none since it woke.
    pub(in crate::engine) fn after_last_turn(&self, taker: PartId) -> Option<u64> {
        self.after_last_turn.get(&taker).copied()
    }

    /// Every hopper and selector that has had no turn since it fell asleep, in the order of declaration, with
    /// the tick after its last turn.
    pub(in crate::engine) fn last_turns(&self) -> impl ExactSizeIterator<Item = (PartId, u64)> {
        let last_turns = self.after_last_turn.iter();
        last_turns.map(|(taker, after)| (*taker, *after))
    }

    /// A tick is over: all that are awake have had a turn.
    pub(in crate::engine) fn turns_are_over(&mut self) {
        let awake_at = &self.awake_at;
        self.after_last_turn
            .retain(|taker, _| awake_at.contains_key(taker));
    }

    /// The last turn of every one is forgotten.
    pub(in crate::engine) fn forget_last_turns(&mut self) {
        for after in self.after_last_turn.values_mut() {
            *after = 0;
        }
    }
}
