//! Requests: from the tokens laid on a desk until the boxes have arrived at the counter.

use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Desk, Stop};
use serde::{Deserialize, Serialize};

use super::ledger::{Move, Spot};
use crate::findings::{DeskFinding, RequestFinding};
use hallwright_analysis::groups::Groups;

/// Watches every desk and its counter.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct RequestMeasure {
    declared: Vec<Desk>,
    desks: Groups,
    counters: Groups,
    found: Vec<DeskFinding>,
}

impl RequestMeasure {
    pub(crate) fn new(desks: &[Desk], view: &View<'_>) -> Self {
        let network = view.network();
        let parts = network.part_count();
        let finding = |desk: &Desk| DeskFinding {
            name: desk.name.clone(),
            kind: network.kind(desk.kind).name.clone(),
            requests: Vec::new(),
            unasked_boxes: 0,
        };
        Self {
            declared: desks.to_vec(),
            desks: Groups::new(
                parts,
                desks.iter().map(|desk| std::slice::from_ref(&desk.desk)),
            ),
            counters: Groups::new(parts, desks.iter().map(|desk| desk.counter.as_slice())),
            found: desks.iter().map(finding).collect(),
        }
    }

    /// The parts that it watches, by desk.
    pub(crate) fn groups(&self) -> [&Groups; 2] {
        [&self.desks, &self.counters]
    }

    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move, view: &View<'_>) {
        let Some(to) = moved.to else { return };
        match (moved.from, moved.item) {
            (None, Some(item)) => self.delivered(tick, to, item, moved.arrives),
            (Some(from), item) => self.arrived(tick, (from, to), item, view),
            (None, None) => {}
        }
    }

    /// The operator laid something down: tokens on a desk are a request.
    fn delivered(&mut self, at: Tick, to: Spot, item: Item, tokens: u64) {
        for index in self.desks.of_spot(to) {
            if self.declared[index].token != item.kind {
                continue;
            }
            let requests = &mut self.found[index].requests;
            match requests.last_mut() {
                Some(last) if last.at == at => {
                    last.asked_boxes += tokens;
                    last.owed_boxes += tokens;
                }
                _ => requests.push(RequestFinding {
                    at,
                    asked_boxes: tokens,
                    first_at: None,
                    last_at: None,
                    owed_boxes: tokens,
                    stopped_ticks: 0,
                }),
            }
        }
    }

    /// Something came to a counter: a box, or a shuttle with all that it holds.
    fn arrived(
        &mut self,
        tick: Tick,
        (from, to): (Spot, Spot),
        item: Option<Item>,
        view: &View<'_>,
    ) {
        for index in self.counters.of_spot(to) {
            if self.counters.contains(from, index) {
                continue;
            }
            let kind = self.declared[index].kind;
            let boxes = match item {
                Some(item) => u64::from(is_box_of(item, kind, view)),
                None => boxes_aboard(to, kind, view),
            };
            for _ in 0..boxes {
                box_arrived(&mut self.found[index], tick);
            }
        }
    }

    /// Every request so far, by desk.
    pub(crate) fn found(&self) -> &[DeskFinding] {
        &self.found
    }

    /// The run is over. `stops`: while which the hall was stopped.
    pub(crate) fn finish(mut self, stops: &[Stop], end: Tick) -> Vec<DeskFinding> {
        for request in self.found.iter_mut().flat_map(|desk| &mut desk.requests) {
            let last = request.last_at.filter(|_| request.owed_boxes == 0);
            request.stopped_ticks = stopped_ticks(stops, request.at, last.unwrap_or(end));
        }
        self.found
    }
}

/// A box arrived at a counter: it belongs to the oldest request that is owed one.
fn box_arrived(desk: &mut DeskFinding, tick: Tick) {
    let owed = desk.requests.iter_mut().find(|one| one.owed_boxes > 0);
    let Some(request) = owed else {
        desk.unasked_boxes += 1;
        return;
    };
    request.owed_boxes -= 1;
    request.first_at.get_or_insert(tick);
    request.last_at = Some(tick);
}

/// Whether an item is a box with nothing but this kind inside, or an empty box of this kind.
pub(crate) fn is_box_of(item: Item, kind: KindId, view: &View<'_>) -> bool {
    let Some(box_id) = item.box_id else {
        return false;
    };
    let mut inside = view.box_slots(box_id).flatten().peekable();
    match inside.peek() {
        None => item.kind == kind,
        Some(_) => inside.all(|stack| stack.item.kind == kind),
    }
}

/// The boxes of a kind in a shuttle that has just docked.
fn boxes_aboard(spot: Spot, kind: KindId, view: &View<'_>) -> u64 {
    let shuttle: Option<PartId> = spot.also;
    let slots = shuttle.and_then(|shuttle| view.slots(shuttle));
    let stacks = slots.into_iter().flatten().flatten();
    stacks
        .filter(|stack| is_box_of(stack.item, kind, view))
        .count() as u64
}

/// How many ticks from one to another the hall was stopped.
pub(crate) fn stopped_ticks(stops: &[Stop], from: Tick, until: Tick) -> u64 {
    let stopped = stops.iter().map(|stop| {
        let ended = stop.restart.as_ref();
        let ended = ended.map_or(until, |restart| stop.at + restart.after_ticks);
        let (begun, ended) = (stop.at.max(from), ended.min(until));
        ended.0.saturating_sub(begun.0)
    });
    stopped.sum()
}
