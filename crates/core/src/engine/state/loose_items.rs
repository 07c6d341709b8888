//! Loose stacks: on streams and at mouths (tick rules, section 5).

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::event::StackId;
use crate::id::PartId;
use crate::slot::Item;
use crate::tick::Tick;

/// A loose stack.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub struct LooseStack {
    /// Its number.
    pub id: StackId,
    /// What it is.
    pub item: Item,
    /// How many.
    pub count: u8,
    /// The mouth or stream where it came loose.
    pub place: PartId,
    /// The mouth where it rests or will come to rest.
    pub mouth: PartId,
    /// Whether it rests there.
    pub at_rest: bool,
    /// The tick in which it is lost unless something takes it.
    pub lost_at: Tick,
}

/// A loose stack and when it reaches its mouth.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Loose {
    pub(in crate::engine) stack: LooseStack,
    /// The tick in whose phase 3 it comes to rest.
    pub(in crate::engine) arrives_at: Tick,
    /// Whether it is on a stream: until phase 3 of the tick in which it reaches the mouth.
    pub(in crate::engine) is_on_stream: bool,
}

impl Loose {
    /// The stream or mouth where it is.
    pub(in crate::engine) fn spot(&self) -> PartId {
        if self.is_on_stream {
            self.stack.place
        } else {
            self.stack.mouth
        }
    }
}

/// All loose stacks, with what is due when.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct LooseItems {
    stacks: BTreeMap<StackId, Loose>,
    /// The stacks at rest at each mouth that has any.
    resting: BTreeMap<PartId, BTreeSet<StackId>>,
    arrivals: BTreeSet<(Tick, StackId)>,
    losses: BTreeSet<(Tick, StackId)>,
    pub(in crate::engine) next_id: u64,
}

impl LooseItems {
    pub(in crate::engine) fn add(&mut self, loose: Loose) {
        let id = loose.stack.id;
        self.arrivals.insert((loose.arrives_at, id));
        self.losses.insert((loose.stack.lost_at, id));
        self.stacks.insert(id, loose);
    }

    pub(in crate::engine) fn get(&self, id: StackId) -> Option<&Loose> {
        self.stacks.get(&id)
    }

    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = &Loose> {
        self.stacks.values()
    }

    pub(in crate::engine) fn is_empty(&self) -> bool {
        self.stacks.is_empty()
    }

    /// The stack comes to rest at its mouth.
    pub(in crate::engine) fn come_to_rest(&mut self, id: StackId) {
        let Some(loose) = self.stacks.get_mut(&id) else {
            return;
        };
        loose.stack.at_rest = true;
        loose.is_on_stream = false;
        self.arrivals.remove(&(loose.arrives_at, id));
        self.resting
            .entry(loose.stack.mouth)
            .or_default()
            .insert(id);
    }

    /// Changes how many a stack holds; with none left it is gone.
    pub(in crate::engine) fn set_count(&mut self, id: StackId, count: u8) {
        if count == 0 {
            self.remove(id);
        } else if let Some(loose) = self.stacks.get_mut(&id) {
            loose.stack.count = count;
        }
    }

    /// Changes when a stack is lost.
    pub(in crate::engine) fn set_lost_at(&mut self, id: StackId, lost_at: Tick) {
        let Some(loose) = self.stacks.get_mut(&id) else {
            return;
        };
        self.losses.remove(&(loose.stack.lost_at, id));
        self.losses.insert((lost_at, id));
        loose.stack.lost_at = lost_at;
    }

    /// The times of a stack go on so many ticks later. If it was on a stream and has reached a mouth that
    /// sleeps, it is there from now on.
    pub(in crate::engine) fn put_off(&mut self, id: StackId, ticks: u64, is_on_stream: bool) {
        let Some(loose) = self.stacks.get_mut(&id) else {
            return;
        };
        let lost_at = loose.stack.lost_at + ticks;
        if !loose.stack.at_rest {
            self.arrivals.remove(&(loose.arrives_at, id));
            loose.arrives_at = loose.arrives_at + ticks;
            self.arrivals.insert((loose.arrives_at, id));
        }
        loose.is_on_stream = is_on_stream;
        self.set_lost_at(id, lost_at);
    }

    pub(in crate::engine) fn remove(&mut self, id: StackId) {
        let Some(loose) = self.stacks.remove(&id) else {
            return;
        };
        self.arrivals.remove(&(loose.arrives_at, id));
        self.losses.remove(&(loose.stack.lost_at, id));
        if let Some(resting) = self.resting.get_mut(&loose.stack.mouth) {
            resting.remove(&id);
            if resting.is_empty() {
                self.resting.remove(&loose.stack.mouth);
            }
        }
    }

    /// The stacks at rest at a mouth, in the order in which they came loose.
    pub(in crate::engine) fn resting_at(&self, mouth: PartId) -> impl Iterator<Item = StackId> {
        self.resting.get(&mouth).into_iter().flatten().copied()
    }

    /// The first stack at rest at a mouth that came loose after another.
    pub(in crate::engine) fn next_resting_at(
        &self,
        mouth: PartId,
        after: Option<StackId>,
    ) -> Option<StackId> {
        let resting = self.resting.get(&mouth)?;
        match after {
            None => resting.first().copied(),
            Some(StackId(number)) => resting.range(StackId(number + 1)..).next().copied(),
        }
    }

    /// The mouths at which something rests.
    pub(in crate::engine) fn mouths(&self) -> impl Iterator<Item = PartId> {
        self.resting.keys().copied()
    }

    /// The stacks that come to rest or are lost at this tick.
    pub(in crate::engine) fn due(&self, now: Tick) -> impl Iterator<Item = StackId> {
        let due = move |set: &BTreeSet<(Tick, StackId)>| {
            set.range(..=(now, StackId(u64::MAX)))
                .map(|(_, id)| *id)
                .collect::<Vec<_>>()
        };
        due(&self.arrivals).into_iter().chain(due(&self.losses))
    }

    pub(in crate::engine) fn next_due(&self) -> Option<Tick> {
        let first = |set: &BTreeSet<(Tick, StackId)>| set.first().map(|(tick, _)| *tick);
        first(&self.arrivals)
            .into_iter()
            .chain(first(&self.losses))
            .min()
    }
}
