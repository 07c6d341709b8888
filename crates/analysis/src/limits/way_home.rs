//! The shortest way of an item out of some parts, from where it is now.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use hallwright_core::engine::{LooseStack, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::Part;
use petgraph::Direction;

use super::constant::EVER;
use super::guarantee::Known;
use crate::ways::{KindWays, Way};

/// The ways out of some parts.
pub(crate) struct WaysHome<'a, 'v> {
    view: &'a View<'v>,
    known: Known<'a>,
    ways: &'a KindWays,
    /// For how long each hopper and selector is sure to be undisturbed.
    undisturbed: &'a [u64],
}

/// Items of one kind at one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Waiting {
    /// The part where they are.
    pub(crate) part: PartId,
    /// Their kind.
    pub(crate) kind: KindId,
    /// How many.
    pub(crate) items: u64,
    /// How many ticks from now until one of them can leave that part, at least.
    pub(crate) stays_ticks: u64,
    /// How many ticks from now until they are lost, if nothing else becomes of them.
    pub(crate) lost_ticks: u64,
}

impl<'a, 'v> WaysHome<'a, 'v> {
    /// The ways from the state as it is now.
    pub(crate) fn new(
        view: &'a View<'v>,
        known: Known<'a>,
        ways: &'a KindWays,
        undisturbed: &'a [u64],
    ) -> Self {
        Self {
            view,
            known,
            ways,
            undisturbed,
        }
    }

    /// What waits in some parts, loose items included. What stands on benches or is aboard shuttles is
    /// left out.
    pub(crate) fn waiting(&self, is_inside: &[bool]) -> Vec<Waiting> {
        let network = self.view.network();
        let now = self.view.tick();
        let mut waiting = Vec::new();
        for (id, part) in network.parts().filter(|(id, _)| is_inside[id.index()]) {
            let plain = |kind, items, stays_ticks| Waiting {
                part: id,
                kind,
                items,
                stays_ticks,
                lost_ticks: EVER,
            };
            match part {
                Part::Hopper(_) | Part::Dropper(_) | Part::Container(_) => {
                    let slots = self.view.slots(id).into_iter().flatten().flatten();
                    waiting
                        .extend(slots.map(|stack| plain(stack.item.kind, stack.count.into(), 0)));
                }
                Part::Selector(_) => {
                    let queue = self.view.queue(id);
                    waiting.extend(queue.map(|queued| {
                        let stays = queued.ready_at.0.saturating_sub(now.0);
                        plain(queued.item.kind, 1, stays)
                    }));
                }
                // What is loose comes below.
                Part::Mouth | Part::Stream(_) => {}
                Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => {}
            }
        }
        let loose = self.view.loose_stacks();
        let loose =
            loose.filter(|stack| is_inside[stack.place.index()] || is_inside[stack.mouth.index()]);
        waiting.extend(loose.map(|stack| self.loose(&stack)));
        waiting
    }

    fn loose(&self, stack: &LooseStack) -> Waiting {
        let network = self.view.network();
        let now = self.view.tick();
        let lost_ticks = stack.lost_at.0.saturating_sub(now.0);
        let despawn_ticks = u64::from(network.rules().despawn_ticks);
        // A stack that is still on a stream has been there as long as it is old.
        let age_ticks = despawn_ticks.saturating_sub(lost_ticks);
        let stream = network.part(stack.place).stream();
        let stays_ticks = stream.filter(|_| !stack.at_rest).map_or(0, |stream| {
            u64::from(stream.transit_ticks).saturating_sub(age_ticks)
        });
        Waiting {
            part: stack.mouth,
            kind: stack.item.kind,
            items: stack.count.into(),
            stays_ticks,
            lost_ticks,
        }
    }

    /// In how many ticks the first of these items can be outside, at the soonest; [`EVER`] if there is
    /// no way out.
    pub(crate) fn soonest(&self, waiting: &Waiting, is_inside: &[bool]) -> u64 {
        let network = self.view.network();
        let mut best = vec![EVER; self.ways.ways().node_count()];
        let mut next = BinaryHeap::new();
        let start = waiting.part.index();
        best[start] = waiting.stays_ticks;
        next.push(Reverse((waiting.stays_ticks, start)));
        while let Some(Reverse((ticks, node))) = next.pop() {
            if ticks > best[node] {
                continue;
            }
            if ticks >= waiting.lost_ticks {
                break;
            }
            if !self.holds_up(node, is_inside) {
                return ticks;
            }
            let onward = self.ways.ways().at(node, Direction::Outgoing);
            for way in onward.filter(|way| !way.kind.is_short_cut()) {
                if !self.ways.carries(way, waiting.kind) {
                    continue;
                }
                let is_first = node == start && ticks == waiting.stays_ticks;
                let there = self.leaves(
                    network.part(PartId::from_index(node)),
                    node,
                    ticks,
                    way,
                    is_first,
                );
                if there < best[way.to] {
                    best[way.to] = there;
                    next.push(Reverse((there, way.to)));
                }
            }
            // A loose item that nothing takes is lost some day.
            if network.part(PartId::from_index(node)).is_loose_place() {
                let age = u64::from(network.rules().despawn_ticks);
                let lost = (ticks + age - 1).min(waiting.lost_ticks);
                if node != start && lost < best[self.ways.ways().boxes()] {
                    best[self.ways.ways().boxes()] = lost;
                    next.push(Reverse((lost, self.ways.ways().boxes())));
                }
            }
        }
        waiting.lost_ticks
    }

    /// Whether an item that has come to a node is still inside: no bench and no shuttle counts, nor
    /// what the operator takes out.
    fn holds_up(&self, node: usize, is_inside: &[bool]) -> bool {
        if node >= is_inside.len() || !is_inside[node] {
            return false;
        }
        let part = PartId::from_index(node);
        let is_plain = match self.view.network().part(part) {
            Part::Hopper(_) | Part::Dropper(_) | Part::Container(_) => true,
            Part::Selector(_) | Part::Mouth | Part::Stream(_) => true,
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
        };
        is_plain && !self.known.supply.withdrawn_from.contains(&part)
    }

    /// When an item that is at a node from so many ticks on can have gone a way, at the soonest.
    fn leaves(&self, part: &Part, node: usize, ticks: u64, way: &Way, is_first: bool) -> u64 {
        let arrival = u64::from(self.view.network().rules().arrival_ticks);
        match part {
            Part::Hopper(_) if way.kind.is_taken() => ticks,
            Part::Hopper(_) => {
                let hopper = PartId::from_index(node);
                if is_first {
                    let cooldown = u64::from(self.view.cooldown_ticks(hopper));
                    return ticks.max(cooldown.saturating_sub(1));
                }
                // Where nothing is promised any more it may leave at once.
                let promise = self.undisturbed[node];
                if promise > ticks {
                    (ticks + arrival - 1).min(promise)
                } else {
                    ticks
                }
            }
            Part::Selector(selector) if !is_first => ticks + u64::from(selector.latency_ticks),
            Part::Stream(stream) if !is_first => ticks + u64::from(stream.transit_ticks),
            Part::Selector(_) | Part::Stream(_) | Part::Container(_) | Part::Dropper(_) => ticks,
            Part::Mouth | Part::Bench(_) | Part::Dock | Part::Shuttle(_) => ticks,
            Part::Signal(_) => ticks,
        }
    }
}
