//! How far a signal comes in its time, drawn or not: section 3, reach.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;

use super::finding::Detail;
use crate::blocks::World;
use crate::network::{Ear, Role, ears, links};
use hallwright_declared::space::Block;

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
/// nowhere, and hears sooner than it could: the source, its piece, and how far and how soon. What is in a room
/// stands anywhere in it. A way that only blocks make is not asked, for they are looked at themselves; to what is
/// in a room, or from there, they make none.
pub(super) fn too_fast(
    network: &Network,
    world: &World,
    pieces: &[Option<usize>],
    part: PartId,
    piece: usize,
) -> Vec<(PartId, usize, Detail)> {
    let search = Search {
        network,
        world,
        pieces,
        room: world.piece(piece).is_room().then_some(piece),
    };
    let mut found = Vec::new();
    for (source, declared_ticks) in search.soonest(part) {
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
            found.push((source, other, detail));
        }
    }
    found
}

fn distance(world: &World, one: usize, other: usize) -> Option<u32> {
    let (one, other) = (ranges(world, one), ranges(world, other));
    let pairs = one
        .iter()
        .flat_map(|a| other.iter().map(move |b| steps_between(*a, *b)));
    pairs.min()
}

/// The blocks of a piece, from one to another: a room is one range, anything else goes block by block.
fn ranges(world: &World, number: usize) -> Vec<(Block, Block)> {
    let piece = world.piece(number);
    let blocks = piece.blocks.iter();
    match (piece.is_room(), piece.blocks.first(), piece.blocks.last()) {
        // A box is filled from its smallest coordinates to its largest.
        (true, Some(first), Some(last)) => vec![(*first, *last)],
        _ => blocks.map(|block| (*block, *block)).collect(),
    }
}

/// The least steps from a block of one range to one of another.
fn steps_between(one: (Block, Block), other: (Block, Block)) -> u32 {
    let gap = |from: i32, to: i32, other_from: i32, other_to: i32| {
        let before = i64::from(other_from) - i64::from(to);
        let behind = i64::from(from) - i64::from(other_to);
        i32::try_from(before.max(behind).max(0)).unwrap_or(i32::MAX)
    };
    let way = Block::new(
        gap(one.0.x, one.1.x, other.0.x, other.1.x),
        gap(one.0.y, one.1.y, other.0.y, other.1.y),
        gap(one.0.z, one.1.z, other.0.z, other.1.z),
    );
    Block::default().steps_to(way)
}

/// A signal on its way back from a listener.
struct Step {
    /// What is heard.
    signal: PartId,
    /// After how many ticks.
    ticks: u64,
    /// Whether the listener hears it itself.
    is_next: bool,
    /// Whether it is what lifts a bench's box, which is asked of rooms alone.
    is_lift: bool,
    /// The room with a wire through which it has come: what else is there is no further away.
    passed: Option<usize>,
}

/// The search for what a listener hears soonest.
struct Search<'a> {
    network: &'a Network,
    world: &'a World,
    pieces: &'a [Option<usize>],
    /// The room of the listener.
    room: Option<usize>,
}

impl Search<'_> {
    /// The room in which a part is.
    fn room_of(&self, part: PartId) -> Option<usize> {
        self.pieces[part.index()].filter(|piece| self.world.piece(*piece).is_room())
    }

    /// For each placed source that a part hears through wires, or through signal parts that stand nowhere,
    /// after how many ticks it is heard at the soonest. What is in its own room is left out.
    fn soonest(&self, part: PartId) -> BTreeMap<PartId, u64> {
        let mut found: BTreeMap<PartId, u64> = BTreeMap::new();
        let mut best: BTreeMap<(PartId, bool, Option<usize>), u64> = BTreeMap::new();
        let is_wire = |part| matches!(self.network.signal(part), Some(Signal::Wire { .. }));
        let heard = ears(self.network, part).into_iter();
        let heard = heard.map(|(ear, signal)| (signal, ear == Ear::Lift));
        // A wire in a room is itself the end of a way, and has no ears.
        let inputs = inputs_of(self.network, part).into_iter();
        let is_end = self.room.is_some() && is_wire(part);
        let inputs = inputs.filter(|_| is_end).map(|input| (input, false));
        let watched = watched_signal(self.network, part).map(|signal| (signal, false));
        let first = heard.chain(inputs).chain(watched);
        let mut open: Vec<Step> = first
            .map(|(signal, is_lift)| Step {
                signal,
                ticks: 0,
                is_next: true,
                is_lift,
                passed: None,
            })
            .collect();
        while let Some(step) = open.pop() {
            let here = step.signal;
            let (room, is_wire) = (self.room_of(here), is_wire(here));
            if room.is_some() && room == self.room {
                continue; // It is asked itself what it hears.
            }
            let is_end = !is_wire && self.pieces[here.index()].is_some();
            if is_end || room.is_some() {
                let by_walls = room.is_some() || self.room.is_some();
                let by_blocks = step.is_next && !by_walls;
                let is_asked = !by_blocks && (!step.is_lift || room.is_some());
                if is_asked && (room.is_none() || room != step.passed) {
                    let soonest = found.entry(here).or_insert(step.ticks);
                    *soonest = step.ticks.min(*soonest);
                }
            }
            if is_end {
                continue;
            }
            let passed = room.or(step.passed);
            let known = best.entry((here, step.is_lift, passed)).or_insert(u64::MAX);
            if *known <= step.ticks {
                continue;
            }
            *known = step.ticks;
            let ticks = step.ticks.saturating_add(delay(self.network, here));
            let inputs = inputs_of(self.network, here).into_iter();
            let inputs = inputs.chain(watched_signal(self.network, here));
            open.extend(inputs.map(|signal| Step {
                signal,
                ticks,
                is_next: false,
                is_lift: step.is_lift,
                passed,
            }));
        }
        found
    }
}

/// The signal part that an observer watches, if it watches one that is no wire.
fn watched_signal(network: &Network, part: PartId) -> Option<PartId> {
    let links = links(network, part).into_iter();
    let mut watched = links.filter(|(role, _)| *role == Role::WatchesSignal);
    watched.next().map(|(_, signal)| signal)
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
