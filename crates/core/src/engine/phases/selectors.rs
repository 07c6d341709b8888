//! Selectors (tick rules, section 6).

use super::changes::Sender;
use crate::engine::Engine;
use crate::engine::state::takers::Flags;
use crate::engine::state::world::QueuedItem;
use crate::engine::state::world::SelectorState;
use crate::event::{Event, Observer};
use crate::goods::StackLimit;
use crate::id::PartId;
use crate::part::Selector;
use crate::predicate::Predicate;
use crate::slot::Item;
use crate::tick::Tick;

impl Engine<'_> {
    fn selector_place(&self, selector: PartId) -> usize {
        self.selector_places[self.place(selector)] as usize
    }

    pub(in crate::engine) fn selector_state(&self, selector: PartId) -> &SelectorState {
        &self.world.selectors[self.selector_place(selector)]
    }

    pub(super) fn selector_state_mut(&mut self, selector: PartId) -> &mut SelectorState {
        let place = self.selector_place(selector);
        &mut self.world.selectors[place]
    }

    /// Whether it holds as many items as it can.
    pub(in crate::engine) fn is_selector_full(&self, part: PartId) -> bool {
        let selector = self.selector(part);
        let holds = selector.map_or(0, |selector| selector.holds as usize);
        self.world.selectors[self.selector_place(part)].queue.len() >= holds
    }

    /// Accepts up to `count` items; says how many.
    pub(in crate::engine) fn put_into_selector(
        &mut self,
        part: PartId,
        selector: &Selector,
        item: Item,
        count: u32,
    ) -> u32 {
        let place = self.selector_place(part);
        let now = self.world.tick;
        let state = &mut self.world.selectors[place];
        let room = (selector.holds as usize).saturating_sub(state.queue.len());
        let accepted = count.min(u32::try_from(room).unwrap_or(u32::MAX));
        for _ in 0..accepted {
            let earliest = now + u64::from(selector.latency_ticks);
            let ready_at = match state.last_ready_at {
                Some(last) => earliest.max(last + u64::from(selector.interval_ticks)),
                None => earliest,
            };
            state.queue.push_back(QueuedItem { item, ready_at });
            state.last_ready_at = Some(ready_at);
        }
        accepted
    }

    /// Marks a selector for the first turn in which its first item may leave.
    pub(in crate::engine) fn mark_selector(&mut self, seat: usize) {
        let queue = &self.selector_state(self.taker(seat).part).queue;
        let Some(&QueuedItem { ready_at, .. }) = queue.front() else {
            self.taker_mut(seat).flags.set(Flags::IDLE);
            return;
        };
        let next_turn = Tick(self.turns_had(seat));
        self.taker_mut(seat).flags.clear(Flags::IDLE);
        self.turns
            .mark(self.world.tick, ready_at.max(next_turn), self.turn_of(seat));
    }

    pub(in crate::engine) fn give_selector_turn<O: Observer + ?Sized>(
        &mut self,
        seat: usize,
        part: PartId,
        selector: &Selector,
        observer: &mut O,
    ) {
        let place = self.selector_place(part);
        let flags = &mut self.taker_mut(seat).flags;
        flags.set(Flags::IDLE);
        if flags.any(Flags::LOCKED | Flags::SLEEPS) {
            return;
        }
        let Some(&first) = self.world.selectors[place].queue.front() else {
            return;
        };
        if first.ready_at > self.world.tick {
            self.mark_selector(seat);
            return;
        }
        let is_match = self.satisfies(first.item, &selector.takes);
        let wanted = if is_match {
            selector.match_target
        } else {
            selector.rest_target
        };
        let mut targets = [Some(wanted), selector.when_full].into_iter().flatten();
        let Some(target) = targets.find(|target| self.takes_in(*target, first.item)) else {
            // A change at a target rouses it.
            self.await_change(wanted);
            if let Some(target) = selector.when_full {
                self.await_change(target);
            }
            return;
        };
        self.world.selectors[place].queue.pop_front();
        self.hand_on(seat, part, target, first.item, observer);
        if is_match && target == selector.match_target {
            self.notify_match_observers(part);
        }
        self.taker_mut(seat).flags.set(Flags::IDLE);
        self.mark_selector(seat);
    }

    /// Whether a selector's target takes an item: mouths and streams always do.
    fn takes_in(&self, target: PartId, item: Item) -> bool {
        self.network.part(target).is_loose_place() || self.accepts(target, item)
    }

    fn hand_on<O: Observer + ?Sized>(
        &mut self,
        seat: usize,
        from: PartId,
        to: PartId,
        item: Item,
        observer: &mut O,
    ) {
        if self.network.part(to).is_loose_place() {
            self.contents_changed(from);
            self.emit(observer, Event::ItemMoved { from, to, item });
            self.come_loose(to, item, 1, observer);
        } else {
            self.put(to, item, 1, Sender::Taker(seat));
            self.contents_changed(from);
            self.contents_changed(to);
            self.emit(observer, Event::ItemMoved { from, to, item });
        }
    }

    fn notify_match_observers(&mut self, selector: PartId) {
        for member in self.wiring.match_observers.range(selector) {
            self.start_pulse(self.wiring.match_observers.member(member));
        }
    }

    /// Whether an item satisfies a predicate.
    pub(in crate::engine) fn satisfies(&self, item: Item, predicate: &Predicate) -> bool {
        let inventories = &self.world.inventories;
        let contents = item.box_id.map(|id| inventories.of_box(id));
        match predicate {
            Predicate::Kinds(kinds) => kinds.contains(&item.kind),
            Predicate::BoxOf(kinds) => contents.is_some_and(|contents| {
                let mut held = inventories
                    .slots(contents)
                    .iter()
                    .filter(|slot| !slot.is_empty());
                !inventories.is_empty(contents)
                    && held.all(|slot| kinds.contains(&inventories.item_in(*slot).kind))
            }),
            Predicate::BoxFull => contents.is_some_and(|contents| inventories.is_full(contents)),
            Predicate::BoxEmpty => contents.is_some_and(|contents| inventories.is_empty(contents)),
            Predicate::Box => contents.is_some(),
            Predicate::Single => self.network.kind(item.kind).stack_limit == StackLimit::One,
            Predicate::All(all) => all.iter().all(|each| self.satisfies(item, each)),
            Predicate::Any(any) => any.iter().any(|each| self.satisfies(item, each)),
            Predicate::Not(inner) => !self.satisfies(item, inner),
        }
    }
}
