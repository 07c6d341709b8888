//! Phase 4: hoppers and selectors take their turns, then benches are looked at (tick rules,
//! sections 4 and 6).

use super::Engine;
use super::changes::Sender;
use super::slots::PackedItem;
use super::takers::Sort;
use crate::event::{Event, Observer, StackId};
use crate::id::PartId;
use crate::part::Intake;
use crate::tick::{Phase, Tick};

/// What an attempt to push or pull came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Outcome {
    /// Nothing moved.
    Nothing,
    /// Something was moved that does not count as a success: a part of a stack.
    Part,
    /// A success.
    Success,
}

impl Engine<'_> {
    /// Phase 4. Visits the marked hoppers and selectors in update order; a visit can mark later
    /// ranks for this same tick. Reads and writes everything but signals.
    pub(super) fn give_turns<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Hoppers;
        let now = self.world.tick;
        self.turns.bring_near(now);
        let mut from = 0;
        while let Some(rank) = self.turns.take_next(now, from) {
            self.turns_begun = rank + 1;
            from = rank + 1;
            let part = self.takers[rank as usize].part;
            if self.sort(part) == Sort::Hopper {
                self.give_hopper_turn(rank as usize, observer);
            } else if let Some(selector) = self.selector(part) {
                self.give_selector_turn(rank as usize, part, selector, observer);
            }
        }
        self.turns_begun = self.takers.len() as u32;
        self.lift_boxes(observer);
    }

    fn give_hopper_turn<O: Observer + ?Sized>(&mut self, rank: usize, observer: &mut O) {
        let taker = &mut self.takers[rank];
        if taker.is_locked {
            taker.is_asleep = true; // Unlocking wakes it.
            return;
        }
        if taker.free_at > self.world.tick.0 + 1 {
            return; // A mark from before its cooldown was set anew; there is a later one.
        }
        self.count_try(rank);
        let pushed = self.push(rank, observer);
        let pulled = self.pull(rank, observer);
        self.finish_acting(rank, pushed, pulled);
    }

    /// Steps 3 to 5 of a turn, out of turn, with one stack at rest as the whole mouth.
    pub(super) fn offer<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        stack: StackId,
        observer: &mut O,
    ) {
        let rank = self.place(part);
        let ready = self.takers[rank].free_at <= self.turns_had(rank);
        if self.takers[rank].is_locked || !ready {
            return;
        }
        let pushed = self.push(rank, observer);
        let inventory = self.world.inventories.of(part);
        let pulled = if self.world.inventories.is_full(inventory) {
            Outcome::Nothing
        } else {
            self.collect(part, stack, observer)
        };
        if (pushed, pulled) != (Outcome::Nothing, Outcome::Nothing) {
            self.finish_acting(rank, pushed, pulled);
        }
    }

    /// Step 5, and when to come back.
    fn finish_acting(&mut self, rank: usize, pushed: Outcome, pulled: Outcome) {
        let turns = self.turns_had(rank);
        if pushed == Outcome::Success || pulled == Outcome::Success {
            let cooldown = u64::from(self.network.rules().cooldown_ticks);
            self.takers[rank].free_at = turns + cooldown;
            self.mark_end_of_cooldown(rank);
        } else if pulled == Outcome::Part {
            self.takers[rank].is_asleep = false;
            self.turns.mark(self.world.tick, Tick(turns), rank as u32);
        } else {
            self.takers[rank].is_asleep = true;
        }
        self.restate_work(rank);
    }

    /// Step 3: for its slots in order, the first of which one item goes into the target.
    fn push<O: Observer + ?Sized>(&mut self, rank: usize, observer: &mut O) -> Outcome {
        let part = self.takers[rank].part;
        let Some(target) = self.takers[rank].target else {
            return Outcome::Nothing;
        };
        let own = self.world.inventories.of(part);
        let found = match self.sort(target) {
            Sort::Selector => self.push_into_selector(part, target),
            _ => self.push_into_inventory(rank, part, target),
        };
        let Some((place, item)) = found else {
            return Outcome::Nothing;
        };
        self.world.inventories.take(own, place, 1);
        self.tell_around(part);
        match self.sort(target) {
            Sort::Hopper => {
                self.wake(self.place(target));
                self.tell_around(target);
            }
            _ => self.contents_changed(target),
        }
        self.emit(
            observer,
            Event::ItemMoved {
                from: part,
                to: target,
                item: item.item(),
            },
        );
        Outcome::Success
    }

    /// Puts the first item that goes in into the target, and tells it with its place in the hopper,
    /// where it must be taken out.
    fn push_into_inventory(
        &mut self,
        rank: usize,
        part: PartId,
        target: PartId,
    ) -> Option<(usize, PackedItem)> {
        let inventories = &mut self.world.inventories;
        let into = inventories.of(target);
        let slots = inventories.slots(inventories.of(part)).iter().enumerate();
        let (place, item, place_there) = slots
            .filter(|(_, slot)| !slot.is_empty())
            .map(|(place, slot)| (place, slot.packed()))
            .find_map(|(place, item)| Some((place, item, inventories.place_for(into, item)?)))?;
        let starts_arrival =
            self.parts[target.index()].sort == Sort::Hopper && inventories.is_empty(into);
        inventories.put_at(into, place_there, item);
        if starts_arrival {
            self.start_arrival(self.place(target), Sender::Taker(rank));
        }
        Some((place, item))
    }

    /// The same for a selector, which takes anything while it has room.
    fn push_into_selector(&mut self, part: PartId, target: PartId) -> Option<(usize, PackedItem)> {
        if self.is_selector_full(target) {
            return None;
        }
        let slots = self
            .world
            .inventories
            .slots(self.world.inventories.of(part));
        let place = slots.iter().position(|slot| !slot.is_empty())?;
        let item = slots[place].packed();
        let selector = self.selector(target)?;
        self.put_into_selector(target, selector, item.item(), 1);
        Some((place, item))
    }

    /// Step 4.
    fn pull<O: Observer + ?Sized>(&mut self, rank: usize, observer: &mut O) -> Outcome {
        let (part, intake) = (self.takers[rank].part, self.takers[rank].intake);
        if intake == Intake::Cap
            || self
                .world
                .inventories
                .is_full(self.world.inventories.of(part))
        {
            return Outcome::Nothing;
        }
        match intake {
            Intake::Above(above) => self.pull_from(above, part, observer),
            Intake::Mouth(mouth) => self.collect_any(mouth, part, observer),
            Intake::Cap => Outcome::Nothing,
        }
    }

    fn pull_from<O: Observer + ?Sized>(
        &mut self,
        above: PartId,
        part: PartId,
        observer: &mut O,
    ) -> Outcome {
        let inventories = &mut self.world.inventories;
        let own = inventories.of(part);
        let source = inventories.of(above);
        let slots = inventories.slots(source).iter().enumerate();
        let found = slots
            .filter(|(_, slot)| !slot.is_empty())
            .map(|(place, slot)| (place, slot.packed()))
            .find_map(|(place, item)| Some((place, item, inventories.place_for(own, item)?)));
        let Some((place, item, place_here)) = found else {
            return Outcome::Nothing;
        };
        inventories.take(source, place, 1);
        inventories.put_at(own, place_here, item);
        self.contents_changed(above);
        self.tell_around(part);
        self.emit(
            observer,
            Event::ItemMoved {
                from: above,
                to: part,
                item: item.item(),
            },
        );
        Outcome::Success
    }

    /// Collects from the stacks at rest at a mouth, oldest first, until one is taken whole.
    fn collect_any<O: Observer + ?Sized>(
        &mut self,
        mouth: PartId,
        part: PartId,
        observer: &mut O,
    ) -> Outcome {
        let mut outcome = Outcome::Nothing;
        let mut last = None;
        while let Some(stack) = self.world.loose.next_resting_at(mouth, last) {
            match self.collect(part, stack, observer) {
                Outcome::Success => return Outcome::Success,
                Outcome::Part => outcome = Outcome::Part,
                Outcome::Nothing => {}
            }
            last = Some(stack);
        }
        outcome
    }

    /// Takes as much of one stack as fits.
    fn collect<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        stack: StackId,
        observer: &mut O,
    ) -> Outcome {
        let Some(loose) = self.world.loose.get(stack) else {
            return Outcome::Nothing;
        };
        let (item, count) = (loose.stack.item, loose.stack.count);
        let inventories = &mut self.world.inventories;
        let own = inventories.of(part);
        let taken = inventories.insert(own, inventories.pack(item), count.into()) as u8;
        if taken == 0 {
            return Outcome::Nothing;
        }
        self.world.loose.set_count(stack, count - taken);
        self.tell_around(part);
        self.emit(
            observer,
            Event::Collected {
                hopper: part,
                stack,
                item,
                count: taken,
            },
        );
        if taken == count {
            Outcome::Success
        } else {
            Outcome::Part
        }
    }
}
