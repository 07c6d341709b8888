//! Deliveries that wait at their places (tick rules, "deliveries that wait").

use std::collections::{BTreeMap, VecDeque};

use serde::{Deserialize, Serialize};

use crate::id::{KindId, PartId};
use crate::slot::Filling;
use crate::timeline::Terms;

/// A delivery that waits for room or for its signal.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub struct WaitingDelivery {
    /// What.
    pub kind: KindId,
    /// How many of it still wait, at least 1.
    pub count: u32,
    /// For boxes: what each of them holds.
    pub contents: Vec<Filling>,
    /// On what terms it comes.
    pub terms: Terms,
}

impl WaitingDelivery {
    /// Notifies `each` every kind and count in it: its own, and what its boxes hold.
    pub(in crate::engine) fn for_each_inside(&self, each: &mut impl FnMut(KindId, u64)) {
        each(self.kind, self.count.into());
        for inner in &self.contents {
            each(inner.kind, u64::from(self.count) * u64::from(inner.count));
        }
    }
}

/// The line at one place.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Line {
    /// First come first.
    pub(in crate::engine) queue: VecDeque<WaitingDelivery>,
    /// How many of them wait for a signal only, and not for room.
    pub(in crate::engine) impatient: usize,
}

/// Every place where deliveries wait, in the order of declaration. No line is empty.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
pub(in crate::engine) struct Landings {
    lines: BTreeMap<PartId, Line>,
}

impl Landings {
    /// Whether nothing waits anywhere.
    pub(in crate::engine) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The places with a line.
    pub(in crate::engine) fn places(&self) -> Vec<PartId> {
        self.lines.keys().copied().collect()
    }

    /// The line of a place, if there is one.
    pub(in crate::engine) fn line(&self, place: PartId) -> Option<&Line> {
        self.lines.get(&place)
    }

    /// Every line with its place.
    pub(in crate::engine) fn lines(&self) -> impl Iterator<Item = (PartId, &Line)> {
        self.lines.iter().map(|(place, line)| (*place, line))
    }

    /// Everything that waits, line by line.
    pub(in crate::engine) fn iter(&self) -> impl Iterator<Item = (PartId, &WaitingDelivery)> {
        self.lines()
            .flat_map(|(place, line)| line.queue.iter().map(move |waiting| (place, waiting)))
    }

    /// Puts a delivery at the end of the line of its place.
    pub(in crate::engine) fn add(&mut self, place: PartId, waiting: WaitingDelivery) {
        let line = self.lines.entry(place).or_default();
        line.impatient += usize::from(!waiting.terms.waits);
        line.queue.push_back(waiting);
    }

    /// One that waits, by its place in the line.
    pub(in crate::engine) fn get_mut(
        &mut self,
        place: PartId,
        number: usize,
    ) -> Option<&mut WaitingDelivery> {
        self.lines.get_mut(&place)?.queue.get_mut(number)
    }

    /// Takes one out of its line.
    pub(in crate::engine) fn remove(&mut self, place: PartId, number: usize) {
        let Some(line) = self.lines.get_mut(&place) else {
            return;
        };
        if let Some(gone) = line.queue.remove(number) {
            line.impatient -= usize::from(!gone.terms.waits);
        }
        if line.queue.is_empty() {
            self.lines.remove(&place);
        }
    }
}
