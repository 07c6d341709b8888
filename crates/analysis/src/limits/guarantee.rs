//! How long parts are sure to behave as an undisturbed line does.
//!
//! In an undisturbed line a hopper never holds more than one item: the one before it hands an item on
//! every 8 ticks at most, and 7 ticks after an item came it is handed on. There an item needs 7 ticks
//! a hopper, whatever else there is on the line. Once a hopper holds two items, one that came last may
//! leave first, at once; so nothing is promised from then on. What can bring a line to that is a lock,
//! a target that refuses, or anything else that puts items into it; each of them takes its time.

use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Hopper, Intake, Part, Selector};
use hallwright_core::timeline::Timeline;

use super::constant::{EVER, calm_ticks, keeps_ticks};
use super::links::Links;
use super::supply::Supply;
use crate::ways::KindSet;

/// What is known of a network beside its state.
#[derive(Clone, Copy)]
pub(crate) struct Known<'a> {
    pub(crate) links: &'a Links,
    pub(crate) supply: &'a Supply,
    pub(crate) timeline: &'a Timeline,
    /// For each node, the kinds that can ever be there.
    pub(crate) present: &'a [KindSet],
    /// For each kind, all items of it that there ever are.
    pub(crate) totals: &'a [u64],
}

/// For how many ticks from now each hopper holds one item at most, and each selector hands items on as
/// they come; 0 where nothing is promised.
pub(crate) fn undisturbed_ticks(view: &View<'_>, known: Known<'_>) -> Vec<u64> {
    let network = view.network();
    let here = Here { view, known };
    // A line that slept, or whose turns begin anew, has another rhythm.
    let calm = calm_ticks(view, known.timeline);
    let outset: Vec<u64> = network
        .parts()
        .map(|(id, part)| match part {
            Part::Hopper(hopper) => here.hopper_outset(id, hopper).min(calm),
            Part::Selector(selector) => here.selector_outset(id, selector).min(calm),
            Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => 0,
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => 0,
        })
        .collect();
    let roomy: Vec<u64> = network.part_ids().map(|id| here.room_ticks(id)).collect();
    let mut promised = outset.clone();
    let mut waiting: Vec<PartId> = network.part_ids().collect();
    while let Some(id) = waiting.pop() {
        // Where it hands things on as long as nothing refuses them.
        let mut regular_targets = Vec::new();
        let allowed = match network.part(id) {
            Part::Hopper(hopper) => {
                regular_targets.extend(hopper.target);
                let target = hopper.target.map_or(0, |target| {
                    here.open_ticks(target, id, &outset, &promised, &roomy)
                });
                target.min(here.spaced_ticks(id, &promised))
            }
            Part::Selector(selector) => {
                let targets = [selector.match_target, selector.rest_target];
                regular_targets.extend(targets);
                let open =
                    targets.map(|target| here.open_ticks(target, id, &outset, &promised, &roomy));
                open[0].min(open[1]).min(here.spaced_ticks(id, &promised))
            }
            Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => continue,
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => continue,
        };
        if allowed < promised[id.index()] {
            promised[id.index()] = allowed;
            let around = &known.links.pushers[id.index()];
            waiting.extend(around);
            waiting.extend(regular_targets);
        }
    }
    promised
}

/// Whether it is a hopper below a mouth.
fn takes_loose(part: &Part) -> bool {
    part.hopper().is_some() && part.mouth().is_some()
}

struct Here<'a, 'v> {
    view: &'a View<'v>,
    known: Known<'a>,
}

impl Here<'_, '_> {
    fn cooldown(&self) -> u64 {
        self.view.network().rules().cooldown_ticks.into()
    }

    fn arrival(&self) -> u64 {
        self.view.network().rules().arrival_ticks.into()
    }

    fn items(&self, part: PartId) -> u64 {
        let slots = self.view.slots(part).into_iter().flatten().flatten();
        slots.map(|stack| u64::from(stack.count)).sum()
    }

    /// Ticks until a hopper's cooldown lets it act: 0 for in this tick.
    fn acts_in(&self, hopper: PartId) -> u64 {
        u64::from(self.view.cooldown_ticks(hopper)).saturating_sub(1)
    }

    fn lock_ticks(&self, part: PartId, lock: Option<PartId>) -> u64 {
        match lock {
            None => EVER,
            Some(_) if self.view.is_locked(part) => 0,
            Some(lock) => keeps_ticks(self.view, self.known.timeline, lock),
        }
    }

    /// What a hopper's lock, neighbours and contents allow by themselves.
    fn hopper_outset(&self, id: PartId, hopper: &Hopper) -> u64 {
        let links = self.known.links;
        let pushers = &links.pushers[id.index()];
        let is_in_line = hopper.intake == Intake::Cap
            && !links.has_other_inlet[id.index()]
            && pushers.len() <= 1
            && self.arrival() >= 2;
        let is_ready = match self.items(id) {
            0 => true,
            1 => pushers.is_empty() || self.acts_in(id) < self.next_arrival(id),
            _ => false,
        };
        if !is_in_line || !is_ready {
            return 0;
        }
        self.lock_ticks(id, hopper.lock)
    }

    fn selector_outset(&self, id: PartId, selector: &Selector) -> u64 {
        let links = self.known.links;
        let latency = u64::from(selector.latency_ticks);
        let interval = u64::from(selector.interval_ticks);
        let is_in_line = links.pushers[id.index()].len() == 1
            && !links.has_other_inlet[id.index()]
            && latency < self.arrival()
            && interval <= self.arrival();
        if !is_in_line {
            return 0;
        }
        let next = self.next_arrival(id);
        let now = self.view.tick();
        let mut queue = self.view.queue(id);
        let is_ready = match (queue.next(), queue.next()) {
            (None, _) => true,
            (Some(first), None) => first.ready_at <= now && next + latency >= self.arrival(),
            _ => false,
        };
        // The next item must not have to wait for the interval after the last one.
        let last = self.view.last_ready_at(id);
        let waits = last.is_some_and(|last| last.0 + interval > now.0 + next + latency);
        if !is_ready || waits {
            return 0;
        }
        self.lock_ticks(id, selector.lock)
    }

    /// Ticks until something can come into a part that only one hopper or selector pushes into.
    fn next_arrival(&self, part: PartId) -> u64 {
        let links = self.known.links;
        let network = self.view.network();
        let mut pusher = links.pushers[part.index()].first().copied();
        // A selector that holds nothing hands on at once what comes; a few of them may follow.
        for _ in 0..8 {
            let Some(id) = pusher else { return EVER };
            match network.part(id) {
                Part::Hopper(hopper) => return self.next_push(id, hopper),
                Part::Selector(_) => {
                    let inlets = &links.pushers[id.index()];
                    let is_plain = inlets.len() == 1 && !links.has_other_inlet[id.index()];
                    if !is_plain || self.view.queue(id).len() > 0 {
                        return 0;
                    }
                    pusher = inlets.first().copied();
                }
                Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => return 0,
                Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => return 0,
            }
        }
        0
    }

    fn next_push(&self, id: PartId, hopper: &Hopper) -> u64 {
        let links = self.known.links;
        let is_robbed =
            !links.pullers[id.index()].is_empty() || self.known.supply.withdrawn_from.contains(&id);
        let own = self.acts_in(id);
        if links.pushers[id.index()].is_empty() && !links.has_other_inlet[id.index()] {
            return own;
        }
        let by_arrival = self.arrival().saturating_sub(2);
        if self.items(id) > 0 {
            return if is_robbed { own.min(by_arrival) } else { own };
        }
        let pushed_by = |part: &PartId| !takes_loose(self.view.network().part(*part));
        let is_in_line = hopper.intake == Intake::Cap
            && !links.has_other_inlet[id.index()]
            && links.pushers[id.index()].iter().all(pushed_by);
        if is_in_line {
            self.arrival() - 1
        } else {
            own.min(by_arrival)
        }
    }

    /// For how long what pushes into a part leaves as many ticks between two items as the rule of
    /// arrival says.
    fn spaced_ticks(&self, part: PartId, promised: &[u64]) -> u64 {
        let links = self.known.links;
        let Some(pusher) = links.pushers[part.index()].first() else {
            return EVER;
        };
        let pushing = self.view.network().part(*pusher);
        if pushing.hopper().is_none() {
            return promised[pusher.index()];
        }
        let is_head = links.pushers[pusher.index()].is_empty()
            && !takes_loose(pushing)
            && self.cooldown() >= self.arrival();
        if is_head {
            EVER
        } else {
            promised[pusher.index()]
        }
    }

    /// For how long a part refuses nothing that `from` hands it.
    fn open_ticks(
        &self,
        target: PartId,
        from: PartId,
        outset: &[u64],
        promised: &[u64],
        roomy: &[u64],
    ) -> u64 {
        let network = self.view.network();
        let is_from_hopper = network.part(from).hopper().is_some();
        let promise = promised[target.index()];
        match network.part(target) {
            Part::Mouth | Part::Stream(_) => EVER,
            Part::Selector(_) => promise,
            Part::Hopper(_) if promise == 0 => 0,
            Part::Hopper(_) => {
                // One slot is taken, and one item takes one slot at most.
                let fills = if is_from_hopper {
                    4 * self.least_gap()
                } else {
                    0
                };
                outset[target.index()].min((promise + fills).min(EVER))
            }
            Part::Container(_) | Part::Dropper(_) if roomy[target.index()] == EVER => EVER,
            Part::Container(_) | Part::Dropper(_) => {
                let is_alone = self.known.links.pushers[target.index()].len() == 1
                    && !self.known.links.has_other_inlet[target.index()];
                let free = roomy[target.index()];
                match (is_alone, is_from_hopper) {
                    (false, _) => 0,
                    (true, true) => free * self.least_gap(),
                    (true, false) => (free * self.arrival()).min(promised[from.index()]),
                }
            }
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => 0,
        }
    }

    /// The least ticks between two pushes of any hopper without a mouth.
    fn least_gap(&self) -> u64 {
        self.cooldown().min(self.arrival() - 1)
    }

    /// The free slots of a container or dropper, or [`EVER`] if all that can come there fits.
    fn room_ticks(&self, part: PartId) -> u64 {
        let network = self.view.network();
        match network.part(part) {
            Part::Container(_) | Part::Dropper(_) => {}
            Part::Hopper(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => return 0,
            Part::Selector(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => return 0,
        }
        let slots = u64::from(network.own_slots(part).unwrap_or(0));
        if self.never_refuses(part, slots) {
            return EVER;
        }
        let taken = self.view.slots(part).into_iter().flatten().flatten();
        slots.saturating_sub(taken.count() as u64)
    }

    /// Whether no item that can come there can ever find every slot taken.
    fn never_refuses(&self, part: PartId, slots: u64) -> bool {
        let network = self.view.network();
        let links = self.known.links;
        let is_drained = !links.pullers[part.index()].is_empty()
            || network.part(part).dropper().is_some()
            || self.known.supply.withdrawn_from.contains(&part);
        let all = self.known.totals;
        let limit = |kind: KindId| u64::from(network.kind(kind).stack_limit.items());
        // Slots that a kind can take, and slots that it can fill.
        let taken = |kind: KindId| {
            let items = all[kind.index()];
            if is_drained {
                items
            } else {
                items.div_ceil(limit(kind))
            }
        };
        let kinds: Vec<KindId> = self.known.present[part.index()].iter().collect();
        let sum: u64 = kinds.iter().map(|kind| taken(*kind)).sum();
        kinds.iter().all(|kind| {
            let full = all[kind.index()] / limit(*kind);
            sum - taken(*kind) + full < slots
        })
    }
}
