//! The state of a run, to look at.

use crate::event::StackId;
use crate::id::{BoxId, KindId, PartId};
use crate::network::Network;
use crate::slot::{Item, Stack};
use crate::tick::Tick;

/// The state of a run at one moment, read only.
pub struct View<'a> {
    network: &'a Network,
}

/// A loose stack.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct LooseStack {
    /// Its number.
    pub id: StackId,
    /// What it is.
    pub item: Item,
    /// How many.
    pub count: u8,
    /// The mouth or stream where it came loose.
    pub place: PartId,
    /// The mouth where it rests or will come to rest.
    pub mouth: PartId,
    /// Whether it rests there.
    pub at_rest: bool,
    /// The tick in which it is lost unless something takes it.
    pub lost_at: Tick,
}

/// An item inside a selector.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct QueuedItem {
    /// What it is.
    pub item: Item,
    /// The first tick in which it can leave.
    pub ready_at: Tick,
}

/// Where a shuttle is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum ShuttlePosition {
    /// At a stop of its round.
    Docked {
        /// The stop, by its place in the round.
        stop: u32,
        /// Since this tick.
        since: Tick,
    },
    /// On the way to a stop.
    UnderWay {
        /// The stop, by its place in the round.
        to: u32,
        /// The first tick in which it can dock.
        arrives_at: Tick,
    },
}

impl<'a> View<'a> {
    /// The network.
    #[must_use]
    pub fn network(&self) -> &'a Network {
        self.network
    }

    /// The tick that is under way; between two ticks, the next one.
    #[must_use]
    pub fn tick(&self) -> Tick {
        unimplemented!()
    }

    /// The slots of an inventory, in order: what each holds, if anything. `None` for a part that has
    /// no slots, and for a bench or shuttle's place where nothing stands.
    pub fn slots(
        &self,
        part: PartId,
    ) -> Option<impl ExactSizeIterator<Item = Option<Stack>> + use<'a>> {
        let _ = part;
        None::<std::vec::IntoIter<Option<Stack>>>
    }

    /// The slots of a box, wherever it is, in order.
    pub fn box_slots(
        &self,
        box_id: BoxId,
    ) -> impl ExactSizeIterator<Item = Option<Stack>> + use<'a> {
        let _ = box_id;
        Vec::new().into_iter()
    }

    /// The box that stands on a bench.
    #[must_use]
    pub fn box_on_bench(&self, bench: PartId) -> Option<Item> {
        unimplemented!("{bench}")
    }

    /// The shuttle docked at a place.
    #[must_use]
    pub fn shuttle_at(&self, place: PartId) -> Option<PartId> {
        unimplemented!("{place}")
    }

    /// Where a shuttle is.
    #[must_use]
    pub fn shuttle_position(&self, shuttle: PartId) -> ShuttlePosition {
        unimplemented!("{shuttle}")
    }

    /// What waits inside a selector, first in first.
    pub fn queue(&self, selector: PartId) -> impl ExactSizeIterator<Item = QueuedItem> + use<'a> {
        let _ = selector;
        Vec::new().into_iter()
    }

    /// All loose stacks, in the order in which they came loose.
    pub fn loose_stacks(&self) -> impl Iterator<Item = LooseStack> + use<'a> {
        Vec::new().into_iter()
    }

    /// The level of a signal, 0 to 15.
    #[must_use]
    pub fn level(&self, signal: PartId) -> u8 {
        unimplemented!("{signal}")
    }

    /// Whether a hopper or selector is locked.
    #[must_use]
    pub fn is_locked(&self, part: PartId) -> bool {
        unimplemented!("{part}")
    }

    /// A hopper's cooldown, in ticks.
    #[must_use]
    pub fn cooldown_ticks(&self, hopper: PartId) -> u32 {
        unimplemented!("{hopper}")
    }

    /// The work that a hopper has done since the start, in work units.
    #[must_use]
    pub fn work_units(&self, hopper: PartId) -> u64 {
        unimplemented!("{hopper}")
    }

    /// Whether a scheduled signal event of this part, a dropper's firing included, is pending.
    #[must_use]
    pub fn is_pending(&self, part: PartId) -> bool {
        unimplemented!("{part}")
    }

    /// How many items of a kind were lost, those inside boxes included.
    #[must_use]
    pub fn lost(&self, kind: KindId) -> u64 {
        unimplemented!("{kind}")
    }

    /// How many items of a kind were delivered, those inside boxes included.
    #[must_use]
    pub fn delivered(&self, kind: KindId) -> u64 {
        unimplemented!("{kind}")
    }

    /// How many items of a kind the operator withdrew, those inside boxes included.
    #[must_use]
    pub fn withdrawn(&self, kind: KindId) -> u64 {
        unimplemented!("{kind}")
    }

    /// The portable digest of the state: see `docs/digest.md`.
    #[must_use]
    pub fn digest(&self) -> u64 {
        unimplemented!()
    }
}
