//! How far a signal comes in its time, drawn or not: section 3, reach.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;

use super::finding::Detail;
use crate::blocks::World;
use crate::network::{Ear, ears};

/// Steps that a signal comes without a repeater: a full block, 15 blocks of wire, a full block, a listener.
const REACH_STEPS: u32 = 18;

/// Ticks of one repeater at its fastest.
const REPEATER_TICKS: u64 = 2;

/// How long a signal takes at least that goes so far.
#[must_use]
pub fn least_ticks(distance_steps: u32) -> u64 {
    let beyond = distance_steps.saturating_sub(REACH_STEPS);
    u64::from(beyond.div_ceil(REACH_STEPS)) * REPEATER_TICKS
}

/// Every placed source that a part hears through wires, drawn or not, and through signal parts that stand
/// nowhere, and hears sooner than it could.
pub(super) fn too_fast(
    network: &Network,
    world: &World,
    pieces: &[Option<usize>],
    part: PartId,
    piece: usize,
) -> Vec<(usize, Detail)> {
    let mut found = Vec::new();
    for (source, declared_ticks) in soonest(network, pieces, part) {
        let Some(other) = pieces[source.index()] else {
            continue;
        };
        let Some(distance_steps) = distance(world, other, piece) else {
            continue;
        };
        let needed_ticks = least_ticks(distance_steps);
        if declared_ticks < needed_ticks {
            let detail = Detail::Delay {
                distance_steps,
                needed_ticks,
                declared_ticks,
            };
            found.push((other, detail));
        }
    }
    found
}

fn distance(world: &World, one: usize, other: usize) -> Option<u32> {
    let blocks = |number: usize| world.piece(number).blocks.iter();
    let pairs = blocks(one).flat_map(|a| blocks(other).map(move |b| a.steps_to(*b)));
    pairs.min()
}

/// For each placed source that a part hears through wires, or through signal parts that stand nowhere, after
/// how many ticks it is heard at the soonest.
fn soonest(network: &Network, pieces: &[Option<usize>], part: PartId) -> BTreeMap<PartId, u64> {
    let mut found: BTreeMap<PartId, u64> = BTreeMap::new();
    let mut best: BTreeMap<PartId, u64> = BTreeMap::new();
    let heard = ears(network, part).into_iter();
    let mut open: Vec<(PartId, u64, bool)> = heard
        .filter(|(ear, _)| *ear != Ear::Lift)
        .map(|(_, signal)| (signal, 0, true))
        .collect();
    while let Some((here, ticks, is_next)) = open.pop() {
        let is_wire = matches!(network.signal(here), Some(Signal::Wire { .. }));
        if !is_wire && pieces[here.index()].is_some() {
            if !is_next {
                let soonest = found.entry(here).or_insert(ticks);
                *soonest = ticks.min(*soonest);
            }
            continue;
        }
        if best.get(&here).is_some_and(|known| *known <= ticks) {
            continue;
        }
        best.insert(here, ticks);
        let ticks = ticks.saturating_add(delay(network, here));
        let inputs = inputs_of(network, here).into_iter();
        open.extend(inputs.map(|input| (input, ticks, false)));
    }
    found
}

fn inputs_of(network: &Network, signal: PartId) -> Vec<PartId> {
    if let Some(Signal::Wire { inputs }) = network.signal(signal) {
        return inputs.iter().map(|(input, _)| *input).collect();
    }
    let ears = ears(network, signal).into_iter();
    ears.map(|(_, input)| input).collect()
}

/// Ticks from a change at its input to one of its output, at the soonest.
fn delay(network: &Network, signal: PartId) -> u64 {
    let own = match network.signal(signal) {
        None | Some(Signal::Lever { .. } | Signal::Button { .. } | Signal::Wire { .. }) => 0,
        Some(Signal::Clock { .. } | Signal::Hold { .. }) => 0,
        Some(Signal::Repeater { delay_ticks, .. } | Signal::DelayLine { delay_ticks, .. }) => {
            *delay_ticks
        }
        Some(Signal::Comparator { .. } | Signal::Inverter { .. } | Signal::Observer { .. }) => {
            network.rules().signal_delay_ticks
        }
        Some(Signal::Latch { .. } | Signal::Toggle { .. }) => network.rules().signal_delay_ticks,
        Some(Signal::AllOf { .. } | Signal::NoneOf { .. }) => network.rules().signal_delay_ticks,
    };
    u64::from(own)
}

#[cfg(test)]
mod tests {
    use super::least_ticks;

    #[test]
    fn a_repeater_carries_a_signal_18_steps_further() {
        let of = [0, 18, 19, 36, 37, 54, 55].map(least_ticks);
        assert_eq!(of, [0, 0, 2, 2, 4, 4, 6]);
    }
}
