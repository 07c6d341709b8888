//! Standstill: what stands in its way now, and after how long it is certain to last.
//!
//! It is certain once the run has gone longer without anything happening than every wait in the network
//! put together (tick rules, section 7). It is certain sooner where the state repeats: if nothing but
//! clocks went on for as long as all clocks together take to come round, then they come round to the
//! same state for ever.

use crate::certainty::{certainty_ticks, longest_beat_ticks};
use crate::signals::moved_from_outside;
use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Bench, Lift, Part, Shuttle, Signal};
use hallwright_core::tick::Tick;
use petgraph::algo::toposort;
use petgraph::graph::NodeIndex;
use petgraph::visit::NodeFiltered;

/// The longest that all clocks together may take to come round for it to be waited for, in ticks.
const MOST_ROUND_TICKS: u64 = 72_000;

/// What is known of a network about standing still.
pub struct Standstill {
    /// After so many ticks without anything it is certain that nothing more comes.
    certainty_ticks: u64,
    /// After so many ticks all clocks, and what only they drive, are as they were; `None` if that is
    /// not known.
    round_ticks: Option<u64>,
    longest_beat_ticks: u64,
    /// Something that moves at every end of its cooldown moves again within this time.
    settling_ticks: u64,
    selectors: Vec<PartId>,
    shuttles: Vec<PartId>,
    benches: Vec<PartId>,
}

impl Standstill {
    /// That of a network.
    pub fn new(network: &Network) -> Self {
        let rules = network.rules();
        let all = |is_wanted: fn(&Part) -> bool| -> Vec<PartId> {
            let wanted = network.parts().filter(|(_, part)| is_wanted(part));
            wanted.map(|(id, _)| id).collect()
        };
        Self {
            certainty_ticks: certainty_ticks(network),
            round_ticks: round_ticks(network),
            longest_beat_ticks: longest_beat_ticks(network),
            settling_ticks: u64::from(rules.cooldown_ticks.max(rules.arrival_ticks)),
            selectors: all(|part| part.selector().is_some()),
            shuttles: all(|part| part.shuttle().is_some()),
            benches: all(|part| matches!(part, Part::Bench(_))),
        }
    }

    /// After so many ticks without anything it is certain that nothing more comes.
    #[must_use]
    pub fn certainty_ticks(&self) -> u64 {
        self.certainty_ticks
    }

    /// Something that moves at every end of its cooldown moves again within this time.
    #[must_use]
    pub fn settling_ticks(&self) -> u64 {
        self.settling_ticks
    }

    /// Over so many ticks of a standstill the work is the same, however often they go by.
    pub fn window_ticks(&self) -> u64 {
        self.round_ticks.unwrap_or(self.longest_beat_ticks).max(1)
    }

    /// Whether nothing can happen any more without an input, given the last tick in which anything
    /// moved, a pulse was under way or the operator did something. `view` is between two ticks.
    pub fn is_certain(&self, last: Tick, view: &View<'_>) -> bool {
        // While anything sleeps or is stuck nothing is certain, and the end of it counts as an input.
        let Some(calm_since) = view.no_spell_since() else {
            return false;
        };
        let last = last.max(calm_since);
        let now = view.tick();
        let passed = |ticks: u64| now.0 > last.0 + ticks;
        if !passed(self.settling_ticks) || !self.is_at_rest(view) {
            return false;
        }
        if passed(self.certainty_ticks) {
            return true;
        }
        // What clocks alone drive has come into its beat once every delay has passed.
        let Some(round_ticks) = self.round_ticks.filter(|_| now.0 > self.certainty_ticks) else {
            return false;
        };
        let ticks = self.settling_ticks + round_ticks;
        passed(ticks) && self.shuttles.iter().all(|part| waits(*part, ticks, view))
    }

    /// Whether nothing is loose, in a selector, aboard a shuttle under way, or in a box that will be
    /// lifted.
    pub fn is_at_rest(&self, view: &View<'_>) -> bool {
        view.loose_stacks().next().is_none()
            && self.in_selectors(view).next().is_none()
            && self.aboard(view).next().is_none()
            && self.counting(view).next().is_none()
    }

    /// The selectors that hold something.
    pub fn in_selectors<'a>(&'a self, view: &'a View<'_>) -> impl Iterator<Item = PartId> {
        let selectors = self.selectors.iter().copied();
        selectors.filter(|part| view.queue(*part).len() > 0)
    }

    /// The shuttles under way that hold something.
    pub fn aboard<'a>(&'a self, view: &'a View<'_>) -> impl Iterator<Item = PartId> {
        self.shuttles.iter().copied().filter(|part| {
            let position = view.shuttle_position(*part);
            matches!(position, ShuttlePosition::UnderWay { .. })
                && view.slots(*part).into_iter().flatten().flatten().count() > 0
        })
    }

    /// The benches that count to lifting their box: its condition is on.
    pub fn counting<'a>(&'a self, view: &'a View<'_>) -> impl Iterator<Item = PartId> {
        let benches = self.benches.iter().copied();
        benches.filter(|part| is_counting(*part, view))
    }

    /// The benches that a signal has lift.
    pub fn lifted_by_signal(&self, network: &Network) -> Vec<PartId> {
        let benches = self.benches.iter().copied();
        let by_signal = benches.filter(|part| {
            matches!(network.part(*part), Part::Bench(bench) if matches!(bench.lift, Lift::Signal(_)))
        });
        by_signal.collect()
    }
}

/// Whether a box stands on a bench whose condition to lift it is on.
pub fn is_counting(part: PartId, view: &View<'_>) -> bool {
    let Part::Bench(Bench { lift, .. }) = view.network().part(part) else {
        return false;
    };
    if view.box_on_bench(part).is_none() {
        return false;
    }
    let mut slots = view.slots(part).into_iter().flatten();
    match lift {
        Lift::Signal(signal) => view.level(*signal) > 0,
        Lift::Empty => slots.all(|slot| slot.is_none()),
        Lift::Full => slots.all(|slot| {
            slot.is_some_and(|stack| {
                let limit = view.network().kind(stack.item.kind).stack_limit.items();
                stack.count >= limit
            })
        }),
    }
}

/// Whether a shuttle has waited for so many ticks for something to let it dock or depart: by itself it
/// does neither.
fn waits(part: PartId, ticks: u64, view: &View<'_>) -> bool {
    let Some(Shuttle { stops, .. }) = view.network().part(part).shuttle() else {
        return true;
    };
    let free_at = match view.shuttle_position(part) {
        ShuttlePosition::Docked { stop, since } => {
            since + u64::from(stops[stop as usize].dwell_ticks)
        }
        ShuttlePosition::UnderWay { arrives_at, .. } => arrives_at,
    };
    free_at.0 + ticks < view.tick().0
}

/// After how many ticks all clocks, and what only clocks drive, are as they were. `None` where such a
/// signal remembers how often it was moved, or goes round in a ring.
fn round_ticks(network: &Network) -> Option<u64> {
    let is_moved = moved_from_outside(network);
    let mut round: u64 = 1;
    for (id, part) in network.parts() {
        let Some(signal) = part.signal() else {
            continue;
        };
        if let Some((period_ticks, _)) = signal.beat() {
            round = least_common_multiple(round, u64::from(period_ticks).max(1));
            if round > MOST_ROUND_TICKS {
                return None;
            }
        }
        if matches!(signal, Signal::Toggle { .. }) && !is_moved[id.index()] {
            return None;
        }
    }
    let by_clocks = |node: NodeIndex| {
        let part = PartId::from_index(node.index());
        network.signal(part).is_some() && !is_moved[part.index()]
    };
    let by_clocks = NodeFiltered::from_fn(network.graph(), by_clocks);
    // Deep chains are walked without recursion.
    toposort(&by_clocks, None).is_ok().then_some(round)
}

fn least_common_multiple(one: u64, other: u64) -> u64 {
    let (mut larger, mut smaller) = (one, other);
    while smaller > 0 {
        (larger, smaller) = (smaller, larger % smaller);
    }
    one / larger * other
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_come_round_together_after_their_least_common_multiple() {
        assert_eq!(least_common_multiple(1, 8), 8);
        assert_eq!(least_common_multiple(8, 20), 40);
        assert_eq!(least_common_multiple(7, 7), 7);
    }
}
