//! What the engine keeps of each part, to find its way without looking into the network.

use super::slots::Slot;
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Hopper, Intake, Part};
use crate::slot::HOPPER_SLOTS;

/// A hopper or selector, by its rank in the update order: all that a turn needs, in one cache line.
/// Its own are `slots`, `free_at` and the work; all else follows from the network and the rest of
/// the state.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
#[repr(align(64))]
pub(super) struct Taker {
    /// A hopper's slots.
    pub(super) slots: HopperSlots,
    /// Its work in each turn while nothing changes, in work units; 0 for a selector.
    pub(super) standing_work: u32,
    /// A hopper's cooldown is this less the number of turns it has had, if that is more than 0.
    pub(super) free_at: u64,
    /// A hopper's work since the start less its standing work in as many turns as it has had, in work
    /// units; wraps below 0.
    pub(super) work_offset: u64,
    /// What a hopper pushes into.
    pub(super) target: Target,
    pub(super) intake: Intake,
    /// The work of a turn that gets as far as pushing while the hopper holds nothing; of no meaning
    /// if it depends on what stands at a bench or place.
    pub(super) work_of_bare_try: u32,
    /// What is added while it holds something.
    pub(super) work_of_target: u16,
    pub(super) flags: Flags,
}

const _: () = assert!(size_of::<Taker>() == 64, "a taker fills one cache line");

/// The slots of a hopper.
pub(super) type HopperSlots = [Slot; HOPPER_SLOTS as usize];

/// What a hopper pushes into.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) enum Target {
    None,
    /// The hopper of this rank.
    Hopper(u32),
    Selector(PartId),
    /// Any other inventory.
    Inventory(PartId),
}

/// What is true of a hopper or selector, in one byte that is asked for at every move.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Debug)]
pub(super) struct Flags(u8);

impl Flags {
    /// Its lock is on.
    pub(super) const LOCKED: Self = Self(1);
    /// No visit is marked: it found nothing to do and nothing has changed since.
    pub(super) const ASLEEP: Self = Self(2);
    /// A comparator reads it.
    pub(super) const READ: Self = Self(4);
    /// A hopper or selector that pushes into it or pulls from it may sleep until it changes.
    pub(super) const AWAITED: Self = Self(8);
    /// It is a hopper with a cap that pushes into a hopper ([`super::passing`]).
    pub(super) const PASSES_ON: Self = Self(16);
    /// The work of a try depends on what stands at a bench or place.
    pub(super) const WORK_VARIES: Self = Self(32);

    /// Whether any of these is set.
    pub(super) fn any(self, flags: Self) -> bool {
        self.0 & flags.0 != 0
    }

    pub(super) fn set(&mut self, flags: Self) {
        self.0 |= flags.0;
    }

    pub(super) fn clear(&mut self, flags: Self) {
        self.0 &= !flags.0;
    }
}

impl std::ops::BitOr for Flags {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

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
    /// Whether a hopper or selector that pushes into it or pulls from it may sleep until it changes;
    /// of a hopper its flag tells.
    pub(super) is_awaited: bool,
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

/// Every taker of a network, in update order, with empty slots.
pub(super) fn takers(network: &Network, order: &[PartId], entries: &[PartEntry]) -> Vec<Taker> {
    let taker = |part: &PartId| {
        let mut taker = Taker {
            slots: HopperSlots::default(),
            standing_work: 0,
            free_at: 0,
            work_offset: 0,
            target: Target::None,
            intake: Intake::Cap,
            work_of_bare_try: 0,
            work_of_target: 0,
            flags: Flags::default(),
        };
        if let Part::Hopper(hopper) = network.part(*part) {
            set_ways(network, hopper, entries, &mut taker);
            set_fixed_work(network, hopper, &mut taker);
        }
        if entries[part.index()].is_read {
            taker.flags.set(Flags::READ);
        }
        taker
    };
    order.iter().map(taker).collect()
}

fn set_ways(network: &Network, hopper: &Hopper, entries: &[PartEntry], taker: &mut Taker) {
    taker.intake = hopper.intake;
    taker.target = match hopper.target {
        None => Target::None,
        Some(target) => match entries[target.index()].sort {
            Sort::Hopper => Target::Hopper(entries[target.index()].place),
            Sort::Selector => Target::Selector(target),
            _ => Target::Inventory(target),
        },
    };
    let rules = network.rules();
    // So that whoever has just moved something is sure to be in cooldown.
    let cools_down = rules.cooldown_ticks > 1 && rules.arrival_ticks > 2;
    let is_capped = hopper.intake == Intake::Cap;
    if cools_down && is_capped && matches!(taker.target, Target::Hopper(_)) {
        taker.flags.set(Flags::PASSES_ON);
    }
}

fn set_fixed_work(network: &Network, hopper: &Hopper, taker: &mut Taker) {
    let rules = network.rules();
    let slots = |part: PartId| network.own_slots(part);
    let target = match hopper.target {
        None => Some(0),
        Some(target) if matches!(network.part(target), Part::Selector(_)) => Some(1),
        Some(target) => slots(target),
    };
    let above = match hopper.intake {
        Intake::Above(above) => slots(above).map(u32::from),
        Intake::Mouth(_) => Some(rules.work_mouth),
        Intake::Cap => Some(rules.work_cap),
    };
    match (target, above) {
        (Some(target), Some(above)) => {
            taker.work_of_target = target;
            taker.work_of_bare_try = rules.work_try + above;
        }
        _ => taker.flags.set(Flags::WORK_VARIES),
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
        is_awaited: false,
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
