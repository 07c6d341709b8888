//! Section 4: hoppers.

use hallwright_core::id::PartId;
use hallwright_core::part::{Hopper, Intake, Part};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Inventory;
use crate::loose::Taken;
use crate::moves::Way;

impl ReferenceEngine {
    /// What a hopper is connected to.
    ///
    /// # Panics
    ///
    /// If the part is no hopper.
    pub(crate) fn hopper_part(&self, hopper: PartId) -> Hopper {
        let Part::Hopper(part) = self.network.part(hopper) else {
            panic!("{hopper} is no hopper");
        };
        part.clone()
    }

    /// Whether the lock of a hopper or selector is on. Nothing else has one.
    pub(crate) fn is_locked(&self, part: PartId) -> bool {
        let lock = match self.network.part(part) {
            Part::Hopper(hopper) => hopper.lock,
            Part::Selector(selector) => selector.lock,
            Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => None,
            Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => None,
        };
        lock.is_some_and(|lock| self.is_on(lock))
    }

    /// Whether a hopper's own lock keeps it from acting.
    fn is_stopped(&self, hopper: PartId) -> bool {
        self.is_locked(hopper) && !self.breaks(Fault::LockIgnored)
    }

    /// A hopper's turn.
    pub(crate) fn hopper_turn(&mut self, hopper: PartId) {
        // Step 1.
        self.count_down(hopper);
        self.world.hopper_mut(hopper).last_turn = self.world.tick.cast_signed();
        // Step 2.
        if self.world.hopper(hopper).cooldown > 0 || self.is_stopped(hopper) {
            self.add_work(hopper, self.cost_of_idling());
            return;
        }
        // Steps 3 to 5.
        let cost = self.cost_of_acting(hopper);
        self.act(hopper, None);
        if self.breaks(Fault::CostAfterTurn) {
            self.add_work(hopper, self.cost_of_acting(hopper));
        } else {
            self.add_work(hopper, cost);
        }
    }

    fn count_down(&mut self, hopper: PartId) {
        if self.breaks(Fault::CooldownWaitsWhileLocked) && self.is_locked(hopper) {
            return;
        }
        let state = self.world.hopper_mut(hopper);
        state.cooldown = state.cooldown.saturating_sub(1);
    }

    /// A loose stack at the mouth of a hopper is offered to it.
    pub(crate) fn offer_to(&mut self, hopper: PartId, stack: u64) {
        if self.is_asleep(hopper) && !self.breaks(Fault::OfferedToSleepers) {
            return;
        }
        let is_locked = self.is_stopped(hopper) && !self.breaks(Fault::OfferIgnoresLock);
        let is_ready =
            self.world.hopper(hopper).cooldown == 0 || self.breaks(Fault::OfferIgnoresCooldown);
        if is_locked || !is_ready {
            return;
        }
        if self.breaks(Fault::CostOfOffers) {
            self.add_work(hopper, self.cost_of_acting(hopper));
        }
        self.act(hopper, Some(stack));
    }

    /// Steps 3 to 5 of a turn. An offered stack is the whole mouth.
    fn act(&mut self, hopper: PartId, offered: Option<u64>) {
        let was_empty = self.inventory(hopper).is_some_and(Inventory::is_empty);
        let (pushed, pulled) = if self.breaks(Fault::PullBeforePush) {
            let pulled = self.pull(hopper, offered);
            (self.push(hopper), pulled)
        } else if self.breaks(Fault::OfferPullsOnly) && offered.is_some() {
            (false, self.pull(hopper, offered))
        } else {
            let pushed = self.push(hopper);
            let skips_pull = pushed && self.breaks(Fault::PushOrPull);
            (pushed, !skips_pull && self.pull(hopper, offered))
        };
        if pushed || pulled {
            self.world.hopper_mut(hopper).cooldown =
                self.cooldown_after(hopper, pushed, pulled, was_empty);
        }
    }

    /// Step 5: the cooldown after a push or pull that succeeded.
    fn cooldown_after(&self, hopper: PartId, pushed: bool, pulled: bool, was_empty: bool) -> u32 {
        let cooldown = self.book.rules.cooldown_ticks;
        if self.breaks(Fault::CooldownOneShort) {
            return cooldown.saturating_sub(1);
        }
        if self.breaks(Fault::OnlyPushCoolsDown) && !pushed {
            return 0;
        }
        if self.breaks(Fault::PullIsArrival) && pulled && was_empty {
            return self.book.rules.arrival_ticks - 1;
        }
        let is_empty = self.inventory(hopper).is_some_and(Inventory::is_empty);
        if self.breaks(Fault::LastItemNeedsNoCooldown) && is_empty {
            return 0;
        }
        cooldown
    }

    /// Step 3: the first slot from which an item goes into the target.
    fn push(&mut self, hopper: PartId) -> bool {
        let Some(target) = self.hopper_part(hopper).target else {
            return false;
        };
        if !self.has_room(target) {
            return false;
        }
        for slot in self.filled_slots(hopper) {
            if self.move_item(hopper, slot, target, Way::PushedBy(hopper)) {
                return true;
            }
            if self.breaks(Fault::PushesFirstSlotOnly) {
                return false;
            }
        }
        false
    }

    /// Step 4: the first item from above, or from the mouth.
    fn pull(&mut self, hopper: PartId, offered: Option<u64>) -> bool {
        if !self.has_room(hopper) {
            return false;
        }
        let offered = offered.filter(|_| !self.breaks(Fault::OfferShowsWholeMouth));
        match (self.hopper_part(hopper).intake, offered) {
            (_, Some(stack)) => self.pull_from_mouth(hopper, vec![stack]),
            (Intake::Above(above), None) => self.pull_from_above(hopper, above),
            (Intake::Mouth(mouth), None) => {
                self.pull_from_mouth(hopper, self.stacks_at_rest(mouth))
            }
            (Intake::Cap, None) => false,
        }
    }

    fn pull_from_above(&mut self, hopper: PartId, above: PartId) -> bool {
        if self.breaks(Fault::LockedKeeps) && self.is_locked(above) {
            return false;
        }
        if self.is_shut(above) && !self.breaks(Fault::SleeperIsPulledFrom) {
            return false;
        }
        for slot in self.filled_slots(above) {
            if self.move_item(above, slot, hopper, Way::Pulled) {
                return true;
            }
            if self.breaks(Fault::PullsFirstSlotOnly) {
                return false;
            }
        }
        false
    }

    /// Takes from each stack what fits. Only a stack taken whole is a success and ends the pull.
    fn pull_from_mouth(&mut self, hopper: PartId, stacks: Vec<u64>) -> bool {
        let mut succeeded = false;
        for stack in stacks {
            match self.collect(hopper, stack) {
                Taken::Whole => succeeded = true,
                Taken::Part => succeeded |= self.breaks(Fault::PartTakenSucceeds),
                Taken::Nothing => {}
            }
            if succeeded && !self.breaks(Fault::WholeTakenGoesOn) {
                return true;
            }
        }
        succeeded
    }

    /// The slots of an inventory that hold something, in the order in which they are tried.
    pub(crate) fn filled_slots(&self, part: PartId) -> Vec<usize> {
        self.inventory(part)
            .map_or_else(Vec::new, |inventory| inventory.filled_slots(&self.book))
    }
}
