//! Loss: what was lost, where, and why no hopper took it.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, LooseRecord};
use crate::findings::{KindCount, Loss, LossReason, LossRow};

/// Watches losses, and the hoppers that could have prevented them.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct LossMeasure {
    /// For each mouth, its hoppers.
    hoppers: Vec<Vec<PartId>>,
    /// For each hopper, since when it has been locked.
    locked_since: Vec<Option<Tick>>,
    /// For each mouth, when a hopper last took from it.
    last_taken: Vec<Option<Tick>>,
    loss: Loss,
}

impl LossMeasure {
    pub(crate) fn new(view: &View<'_>) -> Self {
        let network = view.network();
        let count = network.part_count();
        let mut hoppers = vec![Vec::new(); count];
        let mut locked_since = vec![None; count];
        for (id, part) in network.parts() {
            if part.hopper().is_some() {
                if let Some(mouth) = part.mouth() {
                    hoppers[mouth.index()].push(id);
                }
                locked_since[id.index()] = view.is_locked(id).then_some(Tick(0));
            }
        }
        Self {
            hoppers,
            locked_since,
            last_taken: vec![None; count],
            loss: Loss::default(),
        }
    }

    pub(crate) fn event(&mut self, at: Tick, event: &Event, ledger: &Ledger, view: &View<'_>) {
        match *event {
            Event::Locked { part } => self.locked_since[part.index()] = Some(at),
            Event::Unlocked { part } => self.locked_since[part.index()] = None,
            Event::Collected { hopper, .. } => {
                if let Some(mouth) = view.network().part(hopper).mouth() {
                    self.last_taken[mouth.index()] = Some(at);
                }
            }
            Event::Lost { mouth, .. } => {
                if let Some(record) = ledger.gone() {
                    self.lost(at, mouth, record, view);
                }
            }
            _ => {}
        }
    }

    fn lost(&mut self, at: Tick, mouth: PartId, record: &LooseRecord, view: &View<'_>) {
        let network = view.network();
        let inside: u64 = record.box_contents.iter().map(|(_, items)| items).sum();
        self.loss.items += record.count + inside;
        self.loss.stacks += 1;
        if self.loss.rows.len() >= Loss::ROWS {
            return;
        }
        let name = |kind: KindId| network.kind(kind).name.clone();
        let contents = record.box_contents.iter();
        let row = LossRow {
            kind: name(record.item.kind),
            items: record.count,
            contents: contents
                .map(|(kind, items)| KindCount {
                    kind: name(*kind),
                    items: *items,
                })
                .collect(),
            mouth: network.name(mouth).to_owned(),
            came_loose_at: network.name(record.spot.part).to_owned(),
            at,
            age_ticks: network.rules().despawn_ticks.into(),
            loose_ticks: at - record.since,
            reason: self.reason(at, mouth, record, view),
        };
        self.loss.rows.push(row);
    }

    /// Why nothing took a stack while it lay at its mouth.
    fn reason(&self, at: Tick, mouth: PartId, record: &LooseRecord, view: &View<'_>) -> LossReason {
        let network = view.network();
        let rested_since = record.since + transit_ticks(network, record.spot.part);
        let hoppers = &self.hoppers[mouth.index()];
        if at <= rested_since && record.spot.part != mouth {
            return LossReason::StillOnStream;
        }
        if hoppers.is_empty() {
            return LossReason::NoHopper;
        }
        let always_locked = |hopper: &PartId| {
            self.locked_since[hopper.index()].is_some_and(|since| since <= rested_since)
        };
        if hoppers.iter().all(always_locked) {
            return LossReason::Locked;
        }
        if self.last_taken[mouth.index()].is_some_and(|taken| taken >= rested_since) {
            return LossReason::Busy;
        }
        let limit = network.kind(record.item.kind).stack_limit.items();
        let has_room = |hopper: &PartId| {
            let mut slots = view.slots(*hopper).into_iter().flatten().flatten();
            // The slots that hold nothing were left out: there must be five that hold something.
            let refuses = slots
                .by_ref()
                .filter(|stack| stack.item.kind != record.item.kind || stack.count >= limit);
            refuses.count() < usize::from(hallwright_core::slot::HOPPER_SLOTS)
        };
        if hoppers.iter().any(has_room) {
            LossReason::LockedInPart
        } else {
            LossReason::Full
        }
    }

    /// Items lost so far.
    pub(crate) fn items(&self) -> u64 {
        self.loss.items
    }

    pub(crate) fn finish(self) -> Loss {
        self.loss
    }
}

/// Ticks from coming loose at a mouth or onto a stream to resting.
fn transit_ticks(network: &Network, place: PartId) -> u64 {
    let stream = network.part(place).stream();
    stream.map_or(0, |stream| stream.transit_ticks.into())
}
