//! Phase 4: hoppers and selectors take their turns, then benches are looked at (tick rules,
//! sections 4 and 6).

use super::Engine;
use super::changes::Sender;
use crate::event::{Event, Observer, StackId};
use crate::id::PartId;
use crate::part::{Hopper, Intake, Part};
use crate::slot::Item;
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
            let part = self.order[rank as usize];
            match self.network.part(part) {
                Part::Hopper(hopper) => {
                    self.give_hopper_turn(rank as usize, part, hopper, observer)
                }
                Part::Selector(selector) => {
                    self.give_selector_turn(rank as usize, part, selector, observer);
                }
                _ => unreachable!("only hoppers and selectors take turns"),
            }
        }
        self.turns_begun = self.order.len() as u32;
        self.lift_boxes(observer);
    }

    fn give_hopper_turn<O: Observer + ?Sized>(
        &mut self,
        rank: usize,
        part: PartId,
        hopper: &Hopper,
        observer: &mut O,
    ) {
        if self.takers[rank].is_locked {
            self.takers[rank].is_asleep = true; // Unlocking wakes it.
            return;
        }
        if self.world.free_at[rank] > self.turns_had(rank) {
            return; // A mark from before its cooldown was set anew; there is a later one.
        }
        self.count_try(rank, hopper);
        let pushed = self.push(rank, part, hopper, observer);
        let pulled = self.pull(part, hopper, observer);
        self.finish_acting(rank, hopper, pushed, pulled);
    }

    /// Steps 3 to 5 of a turn, out of turn, with one stack at rest as the whole mouth.
    pub(super) fn offer<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        hopper: &Hopper,
        stack: StackId,
        observer: &mut O,
    ) {
        let rank = self.place(part);
        let ready = self.world.free_at[rank] <= self.turns_had(rank);
        if self.takers[rank].is_locked || !ready {
            return;
        }
        let pushed = self.push(rank, part, hopper, observer);
        let inventory = self.world.inventories.of(part);
        let pulled = if self.world.inventories.is_full(inventory) {
            Outcome::Nothing
        } else {
            self.collect(part, stack, observer)
        };
        if (pushed, pulled) != (Outcome::Nothing, Outcome::Nothing) {
            self.finish_acting(rank, hopper, pushed, pulled);
        }
    }

    /// Step 5, and when to come back.
    fn finish_acting(&mut self, rank: usize, hopper: &Hopper, pushed: Outcome, pulled: Outcome) {
        let turns = self.turns_had(rank);
        if pushed == Outcome::Success || pulled == Outcome::Success {
            self.world.free_at[rank] = turns + u64::from(self.network.rules().cooldown_ticks);
            self.mark_end_of_cooldown(rank);
        } else if pulled == Outcome::Part {
            self.takers[rank].is_asleep = false;
            self.turns.mark(self.world.tick, Tick(turns), rank as u32);
        } else {
            self.takers[rank].is_asleep = true;
        }
        self.restate_work(rank, hopper);
    }

    /// Step 3: for its slots in order, the first of which one item goes into the target.
    fn push<O: Observer + ?Sized>(
        &mut self,
        rank: usize,
        part: PartId,
        hopper: &Hopper,
        observer: &mut O,
    ) -> Outcome {
        let Some(target) = hopper.target else {
            return Outcome::Nothing;
        };
        let own = self.world.inventories.of(part);
        let slots = self.world.inventories.slots(own);
        let found = slots.iter().enumerate().find_map(|(place, slot)| {
            (!slot.is_empty() && self.accepts(target, slot.item())).then(|| (place, slot.item()))
        });
        let Some((place, item)) = found else {
            return Outcome::Nothing;
        };
        self.world.inventories.take(own, place, 1);
        self.put(target, item, 1, Sender::Taker(rank));
        self.contents_changed(part);
        self.contents_changed(target);
        self.emit(
            observer,
            Event::ItemMoved {
                from: part,
                to: target,
                item,
            },
        );
        Outcome::Success
    }

    /// Step 4.
    fn pull<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        hopper: &Hopper,
        observer: &mut O,
    ) -> Outcome {
        if self
            .world
            .inventories
            .is_full(self.world.inventories.of(part))
        {
            return Outcome::Nothing;
        }
        match hopper.intake {
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
        let own = self.world.inventories.of(part);
        let source = self.world.inventories.of(above);
        let slots = self.world.inventories.slots(source);
        let found = slots.iter().enumerate().find_map(|(place, slot)| {
            let fits =
                !slot.is_empty() && self.world.inventories.slot_for(own, slot.item()).is_some();
            fits.then(|| (place, slot.item()))
        });
        let Some((place, item)) = found else {
            return Outcome::Nothing;
        };
        self.world.inventories.take(source, place, 1);
        self.world.inventories.insert(own, item, 1);
        self.contents_changed(above);
        self.contents_changed(part);
        self.emit(
            observer,
            Event::ItemMoved {
                from: above,
                to: part,
                item,
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
        let (item, count): (Item, u8) = (loose.stack.item, loose.stack.count);
        let own = self.world.inventories.of(part);
        let taken = self.world.inventories.insert(own, item, count.into()) as u8;
        if taken == 0 {
            return Outcome::Nothing;
        }
        self.world.loose.set_count(stack, count - taken);
        self.contents_changed(part);
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
