//! Phase 1, and the operator actions of section 6.

use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::Signal;
use hallwright_core::slot::Filling;
use hallwright_core::timeline::Action;

use crate::conservation::count_article;
use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Article;
use crate::moves::Way;
use crate::world::{Consignment, Rank};

impl ReferenceEngine {
    /// What waits, then operator actions and deliveries due now, in the order of the scenario.
    pub(crate) fn apply_inputs(&mut self) {
        let now = self.tick();
        let mut due: Vec<Action> = self
            .timeline
            .iter()
            .filter(|(tick, _)| *tick == now)
            .map(|(_, action)| action.clone())
            .collect();
        if self.breaks(Fault::InputsInReverse) {
            due.reverse();
        }
        let is_sleep = |action: &Action| matches!(action, Action::Sleep { .. });
        if self.breaks(Fault::SleepComesFirst) {
            due.sort_by_key(|action| !is_sleep(action));
        }
        if self.breaks(Fault::SleepComesLast) {
            due.sort_by_key(is_sleep);
        }
        self.wake();
        if !self.breaks(Fault::StuckComesFreeLast) {
            self.free_stuck();
        }
        if !self.breaks(Fault::LinesMoveLast) {
            self.every_line_moves();
        }
        for action in due {
            self.apply(action);
        }
        if self.breaks(Fault::LinesMoveLast) {
            self.every_line_moves();
        }
        if self.breaks(Fault::StuckComesFreeLast) {
            self.free_stuck();
        }
    }

    fn apply(&mut self, action: Action) {
        match action {
            Action::MoveLever { lever, on } => self.move_lever(lever, on),
            Action::Press { button } => self.press(button),
            Action::Deliver {
                place,
                kind,
                count,
                contents,
                terms,
            } => self.delivery_is_due(Consignment {
                place,
                kind,
                count,
                contents,
                waits: terms.waits,
                while_on: terms.while_on,
            }),
            Action::Withdraw { place, count } => self.withdraw(place, count),
            Action::Sleep { parts, sleep_ticks } => self.put_to_sleep(&parts, sleep_ticks),
            Action::Stick {
                signals,
                on,
                stuck_ticks,
            } => self.stick(&signals, on, stuck_ticks),
            Action::Fill {
                place,
                kind,
                contents,
            } => self.fill(place, kind, &contents),
            Action::TakeBox { place } => self.take_box(place),
            Action::Reopen { orders } => self.reopen(&orders),
        }
    }

    /// A lever takes its position, unless it sleeps.
    fn move_lever(&mut self, lever: PartId, on: bool) {
        if !self.is_asleep(lever) || self.breaks(Fault::SleepingLeverMoves) {
            self.set_level(lever, if on { 15 } else { 0 });
        }
    }

    /// A button goes on and schedules its going off. Pressing it while on or asleep does nothing.
    fn press(&mut self, button: PartId) {
        if self.is_asleep(button) && !self.breaks(Fault::SleepingButtonIsPressed) {
            return;
        }
        let Some(Signal::Button { hold_ticks }) = self.network.signal(button) else {
            panic!("{button} is no button");
        };
        let hold_ticks = *hold_ticks + u32::from(self.breaks(Fault::ButtonOneTickLong));
        if self.is_on_itself(button) {
            if self.breaks(Fault::PressedAgainStaysLonger) {
                self.forget(button);
                self.schedule(button, hold_ticks, Rank::Last);
            }
            return;
        }
        self.schedule_and_set(button, hold_ticks, Rank::Last, 15);
    }

    /// The next item that the operator brings, which counts from now on.
    fn bring(&mut self, article: &Article) {
        self.world.next_box += usize::from(article.carried.is_some());
        count_article(&mut self.world.delivered, article, 1);
    }

    /// Into an inventory or selector: as many as fit. Gives how many.
    pub(crate) fn deliver(
        &mut self,
        place: PartId,
        kind: KindId,
        count: u32,
        contents: &[Filling],
    ) -> u32 {
        let before = self.world.clone();
        let mut fitted = 0;
        while fitted < count {
            let article = self.world.next_article(kind, contents, &self.book);
            if !self.put(&article, place, Way::Delivered) {
                break;
            }
            self.bring(&article);
            fitted += 1;
        }
        if fitted < count && self.breaks(Fault::DeliveryAllOrNothing) {
            self.world = before;
            return 0;
        }
        if fitted > 0 {
            self.emit(Event::Delivered {
                place,
                kind,
                count: fitted,
            });
            self.inventory_changed(place);
        }
        fitted
    }

    /// Loose: in stacks up to the stack limit, full ones first.
    pub(crate) fn deliver_loose(
        &mut self,
        place: PartId,
        kind: KindId,
        count: u32,
        contents: &[Filling],
    ) {
        let limit = if self.breaks(Fault::LooseDeliveryInOneStackEach) {
            1
        } else {
            self.book.limit(kind)
        };
        let mut stacks = vec![limit; (count / limit) as usize];
        if !count.is_multiple_of(limit) {
            stacks.push(count % limit);
        }
        if self.breaks(Fault::LooseDeliveryFullStacksLast) {
            stacks.reverse();
        }
        for size in stacks {
            let article = self.world.next_article(kind, contents, &self.book);
            for _ in 0..size {
                self.bring(&article);
            }
            self.come_loose(article, size, place);
        }
    }

    /// Up to `count` items, first slots first. What sleeps gives nothing.
    fn withdraw(&mut self, place: PartId, count: u32) {
        if self.is_shut(place) && !self.breaks(Fault::SleeperGivesWithdrawal) {
            return;
        }
        let mut left = count;
        let mut slots = self.filled_slots(place);
        if self.breaks(Fault::WithdrawsFromTheBack) {
            slots.reverse();
        }
        if self.breaks(Fault::WithdrawsFirstSlotOnly) {
            slots.truncate(1);
        }
        for slot in slots {
            left -= self.withdraw_from_slot(place, slot, left);
        }
    }

    /// Takes up to `most` items out of one slot. Gives how many.
    fn withdraw_from_slot(&mut self, place: PartId, slot: usize, most: u32) -> u32 {
        let Some(article) = self
            .inventory(place)
            .and_then(|slots| slots.article(slot))
            .cloned()
        else {
            return 0;
        };
        let mut taken = 0;
        while taken < most && self.slot_is_filled(place, slot) {
            self.remove_one(place, slot);
            count_article(&mut self.world.withdrawn, &article, 1);
            taken += 1;
        }
        if taken > 0 {
            self.emit(Event::Withdrawn {
                place,
                item: article.item(),
                count: taken,
            });
            self.inventory_changed(place);
        }
        taken
    }

    fn slot_is_filled(&self, place: PartId, slot: usize) -> bool {
        self.inventory(place)
            .is_some_and(|slots| slots.article(slot).is_some())
    }
}
