//! Hoppers and selectors: all that a turn needs of each.

use serde::{Deserialize, Serialize};

use super::slots::Slot;
use super::turns::NEAR_TICKS;
use crate::engine::tables::parts::{PartSort, Parts};
use crate::engine::tables::seats::Seated;
use crate::id::PartId;
use crate::network::Network;
use crate::part::{Intake, Part};
use crate::rules::Rules;
use crate::slot::HOPPER_SLOTS;

/// A hopper or selector: all that a turn needs, in one cache line.
/// Its own are `slots`, `free_at` and the work; all else follows from the network, the update order and
/// the rest of the state.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
#[repr(align(64))]
pub(in crate::engine) struct Taker {
    /// A hopper's slots.
    pub(in crate::engine) slots: HopperSlots,
    /// Its work in each turn while nothing changes, in work units; 0 for a selector.
    pub(in crate::engine) standing_work: u32,
    /// A hopper's cooldown is this less the number of turns it has had, if that is more than 0.
    pub(in crate::engine) free_at: u64,
    /// A hopper's work since the start less its standing work in as many turns as it has had, in work
    /// units; wraps below 0.
    pub(in crate::engine) work_offset: u64,
    pub(in crate::engine) part: PartId,
    /// Its place in the update order.
    pub(in crate::engine) rank: u32,
    /// What a hopper pushes into: a seat if it is a hopper, else the number of a part.
    target: u32,
    /// What a hopper draws from: a seat if it is a hopper, else the number of a part.
    above: u32,
    /// The slots of its target, as the cost of a turn counts them, if they are always as many.
    pub(in crate::engine) target_slots: u16,
    /// The slots of what is above, likewise.
    pub(in crate::engine) above_slots: u16,
    target_sort: TargetSort,
    source_sort: SourceSort,
    pub(in crate::engine) flags: Flags,
}

const _: () = assert!(size_of::<Taker>() == 64, "a taker fills one cache line");

/// The slots of a hopper.
pub(in crate::engine) type HopperSlots = [Slot; HOPPER_SLOTS as usize];

/// What a hopper pushes into.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Target {
    None,
    /// The hopper of this seat.
    Hopper(usize),
    Selector(PartId),
    /// Any other inventory.
    Inventory(PartId),
}

/// What a target is, without which one.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
enum TargetSort {
    None,
    Hopper,
    Selector,
    Inventory,
}

/// What a hopper draws from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Source {
    /// The hopper of this seat.
    Hopper(usize),
    /// Any other inventory.
    Inventory(PartId),
    Mouth(PartId),
    Cap,
}

/// What a source is, without which one.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
enum SourceSort {
    Hopper,
    Inventory,
    Mouth,
    Cap,
}

impl Taker {
    /// A hopper or selector with nothing in it that is connected to nothing.
    fn bare(seated: &Seated) -> Self {
        Self {
            slots: HopperSlots::default(),
            standing_work: 0,
            free_at: 0,
            work_offset: 0,
            part: seated.part,
            rank: seated.rank,
            target: 0,
            above: 0,
            target_slots: 0,
            above_slots: 0,
            target_sort: TargetSort::None,
            source_sort: SourceSort::Cap,
            flags: Flags::default(),
        }
    }

    #[inline(always)]
    pub(in crate::engine) fn target(&self) -> Target {
        let number = self.target as usize;
        match self.target_sort {
            TargetSort::None => Target::None,
            TargetSort::Hopper => Target::Hopper(number),
            TargetSort::Selector => Target::Selector(PartId::from_index(number)),
            TargetSort::Inventory => Target::Inventory(PartId::from_index(number)),
        }
    }

    /// The seat of the hopper that one which passes on pushes into; of no meaning for others.
    pub(in crate::engine) fn seat_behind(&self) -> usize {
        self.target as usize
    }

    #[inline(always)]
    pub(in crate::engine) fn source(&self) -> Source {
        let number = self.above as usize;
        match self.source_sort {
            SourceSort::Hopper => Source::Hopper(number),
            SourceSort::Inventory => Source::Inventory(PartId::from_index(number)),
            SourceSort::Mouth => Source::Mouth(PartId::from_index(number)),
            SourceSort::Cap => Source::Cap,
        }
    }

    /// Connects a hopper to what is around it. What is shut, because it sleeps, is to it a place that holds no
    /// inventory, and a mouth that is shut a cap.
    pub(in crate::engine) fn connect(
        &mut self,
        network: &Network,
        parts: &Parts,
        is_shut: impl Fn(PartId) -> bool,
    ) {
        let Part::Hopper(hopper) = network.part(self.part) else {
            return;
        };
        let target = hopper.target.filter(|target| !is_shut(*target));
        let intake = match hopper.intake {
            Intake::Above(part) | Intake::Mouth(part) if is_shut(part) => Intake::Cap,
            Intake::Above(_) | Intake::Mouth(_) | Intake::Cap => hopper.intake,
        };
        self.set_target(target, parts);
        self.set_source(intake, parts);
        self.set_fixed_work(network, target, intake);
        self.flags.clear(Flags::PASSES_ON);
        if self.passes_on(network.rules()) {
            self.flags.set(Flags::PASSES_ON);
        }
    }

    fn set_target(&mut self, target: Option<PartId>, parts: &Parts) {
        let (sort, number) = match target.map(|target| (target, parts.sort(target))) {
            None => (TargetSort::None, 0),
            Some((target, PartSort::Hopper)) => (TargetSort::Hopper, parts.place(target)),
            Some((target, PartSort::Selector)) => (TargetSort::Selector, target.index()),
            Some((target, PartSort::Bench | PartSort::Loose | PartSort::Other)) => {
                (TargetSort::Inventory, target.index())
            }
        };
        (self.target_sort, self.target) = (sort, number as u32);
    }

    fn set_source(&mut self, intake: Intake, parts: &Parts) {
        let (sort, number) = match intake {
            Intake::Above(above) if parts.sort(above) == PartSort::Hopper => {
                (SourceSort::Hopper, parts.place(above))
            }
            Intake::Above(above) => (SourceSort::Inventory, above.index()),
            Intake::Mouth(mouth) => (SourceSort::Mouth, mouth.index()),
            Intake::Cap => (SourceSort::Cap, 0),
        };
        (self.source_sort, self.above) = (sort, number as u32);
    }

    fn set_fixed_work(&mut self, network: &Network, target: Option<PartId>, intake: Intake) {
        let slots = |part: PartId| {
            if let Part::Selector(_) = network.part(part) {
                Some(1)
            } else {
                network.own_slots(part)
            }
        };
        let target = target.map_or(Some(0), slots);
        let above = match intake {
            Intake::Above(above) => slots(above),
            Intake::Mouth(_) | Intake::Cap => Some(0),
        };
        match (target, above) {
            (Some(target), Some(above)) => {
                (self.target_slots, self.above_slots) = (target, above);
                self.flags.clear(Flags::WORK_VARIES);
            }
            _ => self.flags.set(Flags::WORK_VARIES),
        }
    }

    /// Whether most of its turns are of the plainest sort. In a world where a cooldown may be over in the
    /// tick in which it begins, or lasts beyond what is near, none are.
    fn passes_on(&self, rules: &Rules) -> bool {
        let is_paced = |cooldown_ticks| (3..NEAR_TICKS as u32).contains(&cooldown_ticks);
        self.target_sort == TargetSort::Hopper
            && self.source_sort == SourceSort::Cap
            && !self.flags.any(Flags::SLEEPS)
            && is_paced(rules.cooldown_ticks)
            && is_paced(rules.arrival_ticks)
    }
}

/// What is true of a hopper or selector, in one byte that is asked for at every move.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Debug, Serialize, Deserialize)]
pub(in crate::engine) struct Flags(u8);

impl Flags {
    /// Its lock is on.
    pub(in crate::engine) const LOCKED: Self = Self(1);
    /// No visit is marked: it found nothing to do and nothing has changed since.
    pub(in crate::engine) const IDLE: Self = Self(2);
    /// A comparator reads it.
    pub(in crate::engine) const READ: Self = Self(4);
    /// A hopper or selector that pushes into it or pulls from it may stand idle until it changes.
    pub(in crate::engine) const AWAITED: Self = Self(8);
    /// It is a hopper with a cap that pushes into a hopper (`phases/passing.rs`).
    pub(in crate::engine) const PASSES_ON: Self = Self(16);
    /// The cost of its turns depends on what stands at a bench or place.
    pub(in crate::engine) const WORK_VARIES: Self = Self(32);
    /// It is a selector.
    pub(in crate::engine) const SELECTOR: Self = Self(64);
    /// It is asleep (tick rules, section 9).
    pub(in crate::engine) const SLEEPS: Self = Self(128);

    /// Whether any of these is set.
    pub(in crate::engine) fn any(self, flags: Self) -> bool {
        self.0 & flags.0 != 0
    }

    /// Whether it is one that passes on and is not locked.
    pub(in crate::engine) fn are_free_to_pass_on(self) -> bool {
        self.0 & (Self::PASSES_ON.0 | Self::LOCKED.0) == Self::PASSES_ON.0
    }

    pub(in crate::engine) fn set(&mut self, flags: Self) {
        self.0 |= flags.0;
    }

    pub(in crate::engine) fn clear(&mut self, flags: Self) {
        self.0 &= !flags.0;
    }
}

impl std::ops::BitOr for Flags {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

/// Every taker of a network, by seat, with empty slots.
pub(in crate::engine) fn takers(network: &Network, seats: &[Seated], parts: &Parts) -> Vec<Taker> {
    let taker = |seated: &Seated| {
        let part = seated.part;
        let mut taker = Taker::bare(seated);
        taker.connect(network, parts, |_| false);
        if parts.sort(part) == PartSort::Selector {
            taker.flags.set(Flags::SELECTOR);
        }
        if parts.is_read(part) {
            taker.flags.set(Flags::READ);
        }
        taker
    };
    seats.iter().map(taker).collect()
}
