//! What the engine keeps of each part, to find its way without looking into the network.

use super::world::World;
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Intake, Part};

/// A hopper or selector, by its rank in the update order. What a turn needs first is in one cache
/// line. All but `free_at` and `work_units` follows from the network and the rest of the state.
#[derive(Clone, Copy, Debug)]
#[repr(align(64))]
pub(super) struct Taker {
    /// A hopper's cooldown is this less the number of turns it has had, if that is more than 0.
    pub(super) free_at: u64,
    /// A hopper's work in the turns that are counted, in work units.
    pub(super) work_units: u64,
    /// How many of its turns are counted.
    pub(super) turns_counted: u64,
    /// Its work in each turn while nothing changes, in work units; 0 for a selector.
    pub(super) standing_work: u32,
    /// The work of a turn that gets as far as pushing while the hopper holds nothing; of no meaning
    /// if it depends on what stands at a bench or place.
    pub(super) work_of_bare_try: u32,
    /// What is added while it holds something.
    pub(super) work_of_target: u32,
    pub(super) part: PartId,
    /// What a hopper pushes into.
    pub(super) target: Option<PartId>,
    pub(super) intake: Intake,
    /// For a selector its place among the selectors, by rank.
    pub(super) selector: u32,
    pub(super) is_locked: bool,
    /// Whether no visit is marked: it found nothing to do and nothing has changed since.
    pub(super) is_asleep: bool,
    /// Whether the work of a try follows from `work_of_bare_try` and `work_of_target`.
    pub(super) has_fixed_work: bool,
}

const _: () = assert!(size_of::<Taker>() == 64, "a taker fills one cache line");

/// What sort of part it is, without what the network says of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Sort {
    Hopper,
    Selector,
    Bench,
    /// A mouth or a stream.
    Loose,
    Other,
}

/// What is looked up of a part when something about it changes.
#[derive(Clone, Copy, Debug)]
pub(super) struct PartEntry {
    /// Its place in the table of its own sort: a hopper's and selector's rank, a signal's place among
    /// the signals, and so on.
    pub(super) place: u32,
    /// The hoppers and selectors that push into it or pull from it.
    pub(super) neighbours: Neighbours,
    pub(super) sort: Sort,
    /// Whether a comparator reads it.
    pub(super) is_read: bool,
}

/// The hoppers and selectors that push into a part or pull from it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Neighbours {
    None,
    /// The one of this rank.
    One(u32),
    /// Several, which stand in the wiring.
    Several,
}

/// Every taker of a network, in update order.
pub(super) fn takers(network: &Network, order: &[PartId], world: &World) -> Vec<Taker> {
    let mut selectors = 0..;
    let table = order.iter().map(|part| {
        let mut taker = Taker {
            free_at: 0,
            work_units: 0,
            turns_counted: world.tick.0,
            standing_work: 0,
            work_of_bare_try: 0,
            work_of_target: 0,
            part: *part,
            target: None,
            intake: Intake::Cap,
            selector: 0,
            is_locked: false,
            is_asleep: false,
            has_fixed_work: true,
        };
        match network.part(*part) {
            Part::Hopper(hopper) => {
                taker.target = hopper.target;
                taker.intake = hopper.intake;
                set_fixed_work(network, &mut taker);
            }
            _ => taker.selector = selectors.next().unwrap_or_default(),
        }
        taker
    });
    table.collect()
}

fn set_fixed_work(network: &Network, taker: &mut Taker) {
    let rules = network.rules();
    let slots = |part: PartId| network.own_slots(part).map(u32::from);
    let target = match taker.target {
        None => Some(0),
        Some(target) if matches!(network.part(target), Part::Selector(_)) => Some(1),
        Some(target) => slots(target),
    };
    let above = match taker.intake {
        Intake::Above(above) => slots(above),
        Intake::Mouth(_) => Some(rules.work_mouth),
        Intake::Cap => Some(rules.work_cap),
    };
    match (target, above) {
        (Some(target), Some(above)) => {
            taker.work_of_target = target;
            taker.work_of_bare_try = rules.work_try + above;
        }
        _ => taker.has_fixed_work = false,
    }
}

/// The entries of all parts.
pub(super) fn entries(network: &Network, order: &[PartId]) -> Vec<PartEntry> {
    let [
        mut signals,
        mut droppers,
        mut benches,
        mut shuttles,
        mut places,
    ] = [0; 5];
    let next = |counter: &mut u32| {
        *counter += 1;
        *counter - 1
    };
    let mut entry = |part: &Part| PartEntry {
        place: match part {
            Part::Signal(_) => next(&mut signals),
            Part::Dropper(_) => next(&mut droppers),
            Part::Bench(_) => next(&mut benches),
            Part::Shuttle(_) => next(&mut shuttles),
            Part::Place => next(&mut places),
            Part::Hopper(_) | Part::Selector(_) => 0, // Their rank: below.
            Part::Container(_) | Part::Mouth | Part::Stream(_) => 0,
        },
        neighbours: Neighbours::None,
        sort: match part {
            Part::Hopper(_) => Sort::Hopper,
            Part::Selector(_) => Sort::Selector,
            Part::Bench(_) => Sort::Bench,
            Part::Mouth | Part::Stream(_) => Sort::Loose,
            _ => Sort::Other,
        },
        is_read: false,
    };
    let mut table: Vec<PartEntry> = network.parts().map(|(_, part)| entry(part)).collect();
    for (rank, part) in order.iter().enumerate() {
        table[part.index()].place = rank as u32;
    }
    for edge in network.graph().raw_edges() {
        if edge.weight == Link::Signal(SignalRole::Reading) {
            table[edge.source().index()].is_read = true;
        }
    }
    for (part, neighbour) in neighbours(network) {
        let rank = table[neighbour.index()].place;
        let entry = &mut table[part.index()];
        entry.neighbours = match entry.neighbours {
            Neighbours::None => Neighbours::One(rank),
            Neighbours::One(other) if other == rank => Neighbours::One(rank),
            Neighbours::One(_) | Neighbours::Several => Neighbours::Several,
        };
    }
    table
}

/// Pairs of an inventory or selector and a hopper or selector that pushes into it or pulls from it.
pub(super) fn neighbours(network: &Network) -> impl Iterator<Item = (PartId, PartId)> {
    network.graph().raw_edges().iter().filter_map(|edge| {
        let from = PartId::from_index(edge.source().index());
        let to = PartId::from_index(edge.target().index());
        match edge.weight {
            Link::Push => {
                let takes_turns = matches!(network.part(from), Part::Hopper(_) | Part::Selector(_));
                takes_turns.then_some((to, from))
            }
            Link::Pull => Some((from, to)),
            _ => None,
        }
    })
}
