//! The state of a run, to look at.

use super::Engine;
use super::relative::Numbers;
use super::state::inventories::Inventory;
use super::state::slots::Slot;
use super::state::takers::Flags;
use super::{LooseStack, QueuedItem, ShuttlePosition, WaitingDelivery};
use crate::event::StackId;
use crate::id::{BoxId, KindId, PartId};
use crate::network::Network;
use crate::part::Part;
use crate::slot::{Item, Stack};
use crate::tick::Tick;

/// The state of a run at one moment, read only.
#[derive(Clone, Copy)]
pub struct View<'a> {
    pub(super) engine: &'a Engine<'a>,
}

impl<'a> View<'a> {
    pub(super) fn new(engine: &'a Engine<'a>) -> Self {
        Self { engine }
    }

    /// The network.
    #[must_use]
    pub fn network(&self) -> &'a Network {
        self.engine.network
    }

    /// The tick that is under way; between two ticks, the next one.
    #[must_use]
    pub fn tick(&self) -> Tick {
        self.engine.world.tick
    }

    /// The slots of an inventory, in order: what each holds, if anything. `None` for a part that has
    /// no slots, and for a bench or shuttle's dock where nothing stands.
    pub fn slots(
        &self,
        part: PartId,
    ) -> Option<impl ExactSizeIterator<Item = Option<Stack>> + use<'a>> {
        let inventory = self.engine.world.inventories.of(part);
        inventory.exists().then(|| self.stacks(inventory))
    }

    /// The slots of a box, wherever it is, in order.
    pub fn box_slots(
        &self,
        box_id: BoxId,
    ) -> impl ExactSizeIterator<Item = Option<Stack>> + use<'a> {
        self.stacks(self.engine.world.inventories.of_box(box_id))
    }

    fn stacks(
        &self,
        inventory: Inventory,
    ) -> impl ExactSizeIterator<Item = Option<Stack>> + use<'a> {
        let inventories = &self.engine.world.inventories;
        let stack = |slot: &Slot| {
            (!slot.is_empty()).then(|| Stack {
                item: inventories.item_in(*slot),
                count: slot.count(),
            })
        };
        inventories.slots(inventory).iter().map(stack)
    }

    /// The box that stands on a bench.
    #[must_use]
    pub fn box_on_bench(&self, bench: PartId) -> Option<Item> {
        self.engine.world.benches[self.engine.place(bench)].standing
    }

    /// The shuttle docked at a place.
    #[must_use]
    pub fn shuttle_at(&self, place: PartId) -> Option<PartId> {
        self.engine.world.docked[self.engine.place(place)]
    }

    /// Where a shuttle is.
    #[must_use]
    pub fn shuttle_position(&self, shuttle: PartId) -> ShuttlePosition {
        self.engine.world.shuttles[self.engine.place(shuttle)]
    }

    /// What waits inside a selector, first in first.
    pub fn queue(&self, selector: PartId) -> impl ExactSizeIterator<Item = QueuedItem> + use<'a> {
        self.engine.selector_state(selector).queue.iter().copied()
    }

    /// When the item that a selector accepted last is or was ready; `None` if it accepted none yet.
    #[must_use]
    pub fn last_ready_at(&self, selector: PartId) -> Option<Tick> {
        self.engine.selector_state(selector).last_ready_at
    }

    /// Whether a selector counts an item as one of those for its match target.
    #[must_use]
    pub fn is_match(&self, selector: PartId, item: Item) -> bool {
        let selector = self.engine.selector(selector);
        selector.is_some_and(|selector| self.engine.satisfies(item, &selector.takes))
    }

    /// All loose stacks, in the order in which they came loose.
    pub fn loose_stacks(&self) -> impl Iterator<Item = LooseStack> + use<'a> {
        self.engine.world.loose.iter().map(|loose| loose.stack)
    }

    /// A loose stack, if it still is one.
    #[must_use]
    pub fn loose_stack(&self, id: StackId) -> Option<LooseStack> {
        self.engine.world.loose.get(id).map(|loose| loose.stack)
    }

    /// The level of a signal, 0 to 15; of one that is stuck, that at which it is.
    #[must_use]
    pub fn level(&self, signal: PartId) -> u8 {
        self.engine.level(signal)
    }

    /// Whether a hopper or selector is locked.
    #[must_use]
    pub fn is_locked(&self, part: PartId) -> bool {
        let taker = self.engine.taker(self.engine.place(part));
        taker.flags.any(Flags::LOCKED)
    }

    /// The first tick in which a part is awake again; `None` if it does not sleep. Between two ticks a
    /// part sleeps if it will in the next.
    #[must_use]
    pub fn awake_at(&self, part: PartId) -> Option<Tick> {
        self.engine.world.sleepers.awake_at(part)
    }

    /// Whether nothing goes into a part or out of it because it sleeps, or because the shuttle that is docked
    /// there does. Streams and mouths that sleep still take what comes loose.
    #[must_use]
    pub fn is_shut(&self, part: PartId) -> bool {
        !self.engine.network.part(part).is_loose_place() && self.engine.is_shut(part)
    }

    /// Since when no spell is under way, in which parts sleep or signals are stuck: the tick in which the
    /// last one was over, 0 if none ever was; `None` while one is.
    #[must_use]
    pub fn no_spell_since(&self) -> Option<Tick> {
        let world = &self.engine.world;
        let awake_since = world.sleepers.all_awake_since()?;
        Some(awake_since.max(world.stuck.all_free_since()?))
    }

    /// The tick in which a signal that is stuck comes free; `None` if it is not stuck.
    #[must_use]
    pub fn free_at(&self, signal: PartId) -> Option<Tick> {
        self.engine.world.stuck.free_at(signal)
    }

    /// The parts that slept until now, perhaps for one tick only, which no other look between two ticks shows.
    pub fn woken(&self) -> impl Iterator<Item = PartId> + use<'a> {
        let (tick, parts) = &self.engine.woken;
        let is_now = *tick == self.engine.world.tick;
        parts.iter().copied().filter(move |_| is_now)
    }

    /// Every part that sleeps, in the order of declaration, with the first tick in which it is awake
    /// again.
    pub fn sleepers(&self) -> impl ExactSizeIterator<Item = (PartId, Tick)> + use<'a> {
        self.engine.world.sleepers.iter()
    }

    /// Every signal that is stuck, in the order of declaration, with the tick in which it comes free.
    pub fn stuck(&self) -> impl ExactSizeIterator<Item = (PartId, Tick)> + use<'a> {
        self.engine.world.stuck.iter()
    }

    /// A hopper's cooldown, in ticks.
    #[must_use]
    pub fn cooldown_ticks(&self, hopper: PartId) -> u32 {
        let left = self.engine.cooldown_of(self.engine.place(hopper));
        u32::try_from(left).unwrap_or(u32::MAX)
    }

    /// The work that a hopper has done since the start, in work units.
    #[must_use]
    pub fn work_units(&self, hopper: PartId) -> u64 {
        self.engine.work_units_of(self.engine.place(hopper))
    }

    /// Whether a scheduled signal event of this signal, or this dropper's firing, is pending. A
    /// clock's changes are never pending.
    #[must_use]
    #[inline]
    pub fn is_pending(&self, part: PartId) -> bool {
        let place = self.engine.place(part);
        match self.engine.network.part(part) {
            Part::Signal(_) => self.engine.world.signals[place].pending > 0,
            Part::Dropper(_) => self.engine.world.droppers[place].is_pending,
            Part::Container(_) | Part::Hopper(_) | Part::Mouth | Part::Stream(_) => false,
            Part::Bench(_) | Part::Selector(_) | Part::Dock | Part::Shuttle(_) => false,
        }
    }

    /// How many items of a kind were lost, those inside boxes included.
    #[must_use]
    pub fn lost(&self, kind: KindId) -> u64 {
        self.engine.world.totals.lost[kind.index()]
    }

    /// How many items of a kind were delivered, those inside boxes included.
    #[must_use]
    pub fn delivered(&self, kind: KindId) -> u64 {
        self.engine.world.totals.delivered[kind.index()]
    }

    /// How many items of a kind all deliveries that were due brought, those inside boxes included: so
    /// many were delivered, refused, or wait.
    #[must_use]
    pub fn sent(&self, kind: KindId) -> u64 {
        self.engine.world.totals.sent[kind.index()]
    }

    /// How many items of a kind were refused because they did not fit, those inside boxes included.
    #[must_use]
    pub fn refused(&self, kind: KindId) -> u64 {
        self.engine.world.totals.refused[kind.index()]
    }

    /// The deliveries that wait for room or their signal, with their places: place by place in the
    /// order of declaration, and there first come first.
    pub fn waiting(&self) -> impl Iterator<Item = (PartId, &'a WaitingDelivery)> + use<'a> {
        self.engine.world.landings.iter()
    }

    /// How many items of a kind the operator withdrew, those inside boxes included.
    #[must_use]
    pub fn withdrawn(&self, kind: KindId) -> u64 {
        self.engine.world.totals.withdrawn[kind.index()]
    }

    /// The portable digest of the state: see `docs/look-up/digest.md`.
    #[must_use]
    pub fn digest(&self) -> u64 {
        self.engine.digest()
    }

    /// The state without its tick, as numbers: two moments of one run with the same numbers have the
    /// same future, as long as no input is still to come.
    #[must_use]
    pub fn relative_state(&self) -> Vec<u64> {
        let mut all = Vec::new();
        self.engine
            .notify_relative(&mut Numbers::new(&mut |number| {
                all.push(number);
                true
            }));
        all
    }

    /// Whether [`View::relative_state`] is this one. It looks no further than the first difference.
    #[must_use]
    pub fn is_like(&self, state: &[u64]) -> bool {
        let mut rest = state.iter();
        let mut is_like = true;
        self.engine
            .notify_relative(&mut Numbers::new(&mut |number| {
                is_like = rest.next() == Some(&number);
                is_like
            }));
        is_like && rest.next().is_none()
    }
}
