//! Phase 4: hoppers and selectors take their turns, then benches are looked at (tick rules,
//! sections 4 and 6).

use super::changes::Sender;
use crate::engine::Engine;
use crate::engine::state::slots::{PackedItem, all_empty, is_full, move_first};
use crate::engine::state::takers::{Flags, Source, Target};
use crate::engine::state::turns::Turn;
use crate::event::{Event, Observer, StackId};
use crate::id::PartId;
use crate::tick::{Phase, Tick};

/// More seats than this are not likely to be in a cache when their turns come: 16 MB.
const LARGE: usize = 1 << 18;

/// At how many turns a large hall looks at once: 8 KB of hoppers, with those behind them.
const LOOK_AHEAD: usize = 64;

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
    pub(in crate::engine) fn give_turns<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Hoppers;
        let now = self.world.tick;
        self.turns.begin(now);
        if self.world.inventories.takers.len() > LARGE {
            self.take_turns::<true, _>(observer);
        } else {
            self.take_turns::<false, _>(observer);
        }
        self.turns.finish();
        self.turns_begun = self.world.inventories.takers.len() as u32;
        self.lift_boxes(observer);
    }

    #[inline(never)]
    fn take_turns<const LOOKS_AHEAD: bool, O: Observer + ?Sized>(&mut self, observer: &mut O) {
        while let Some(turn) = self.turns.take_next() {
            if LOOKS_AHEAD {
                self.look_ahead();
            }
            self.turns_begun = turn.rank() + 1;
            let has_passed = if self.looks_at_itself() {
                self.pass_on_compared(turn, observer)
            } else {
                self.pass_on(turn, observer)
            };
            if !has_passed {
                self.give_turn(turn.seat(), observer);
            }
        }
    }

    /// Once in so many turns, looks at the hoppers of the next ones and at those that sit behind them. One
    /// would wait for memory after the other in its turn; here they wait together.
    #[inline(always)]
    fn look_ahead(&self) {
        let Some(next) = self.turns.next_of_each(LOOK_AHEAD) else {
            return;
        };
        let takers = &self.world.inventories.takers;
        let rank_of = |seat: usize| takers.get(seat).map_or(0, |taker| taker.rank);
        let ranks = next.iter().map(|turn| {
            let seat = turn.seat();
            rank_of(seat).wrapping_add(rank_of(seat + 1))
        });
        // Nobody needs the sum, but without it nothing would be looked at.
        std::hint::black_box(ranks.fold(0, u32::wrapping_add));
    }

    /// The long way of a turn, with everything that can be in one.
    #[inline(never)]
    pub(super) fn give_turn<O: Observer + ?Sized>(&mut self, seat: usize, observer: &mut O) {
        let taker = self.taker(seat);
        let part = taker.part;
        if !taker.flags.any(Flags::SELECTOR) {
            self.give_hopper_turn(seat, observer);
        } else if let Some(selector) = self.selector(part) {
            self.give_selector_turn(seat, part, selector, observer);
        }
    }

    fn give_hopper_turn<O: Observer + ?Sized>(&mut self, seat: usize, observer: &mut O) {
        let turns = self.world.tick.0 + 1;
        let taker = self.taker_mut(seat);
        if taker.flags.any(Flags::LOCKED | Flags::SLEEPS) {
            taker.flags.set(Flags::IDLE); // Unlocking rouses it, or waking.
            return;
        }
        if taker.free_at > turns {
            return; // A mark from before its cooldown was set anew; there is a later one.
        }
        let is_empty = all_empty(&taker.slots);
        self.count_try(seat, is_empty);
        let pushed = if is_empty {
            Outcome::Nothing
        } else {
            self.push(seat, observer)
        };
        let pulled = self.pull(seat, observer);
        self.finish_acting(seat, turns, pushed, pulled);
    }

    /// Steps 3 to 5 of a turn, out of turn, with one stack at rest as the whole mouth.
    pub(in crate::engine) fn offer<O: Observer + ?Sized>(
        &mut self,
        seat: usize,
        stack: StackId,
        observer: &mut O,
    ) {
        let part = self.taker(seat).part;
        if self.taker(seat).flags.any(Flags::LOCKED | Flags::SLEEPS) || self.cooldown_of(seat) > 0 {
            return;
        }
        let pushed = self.push(seat, observer);
        let pulled = if is_full(&self.taker(seat).slots) {
            Outcome::Nothing
        } else {
            self.collect(part, stack, observer)
        };
        if (pushed, pulled) != (Outcome::Nothing, Outcome::Nothing) {
            let turns = self.turns_had(seat);
            self.finish_acting(seat, turns, pushed, pulled);
        }
    }

    /// Step 5, and when to come back, of a hopper that has had so many turns.
    #[inline(always)]
    fn finish_acting(&mut self, seat: usize, turns: u64, pushed: Outcome, pulled: Outcome) {
        let taker = &mut self.world.inventories.takers[seat];
        let turn = Turn::new(taker.rank, seat);
        if pushed == Outcome::Success || pulled == Outcome::Success {
            let rules = self.network.rules();
            let free_at = turns + u64::from(rules.cooldown_ticks);
            taker.free_at = free_at;
            taker.flags.clear(Flags::IDLE);
            let is_idle_until_then = taker.standing_work == rules.work_idle && free_at > turns + 1;
            let tick = Tick(free_at.max(turns + 1) - 1);
            self.turns.mark(self.world.tick, tick, turn);
            if is_idle_until_then {
                return;
            }
        } else if pulled == Outcome::Part {
            taker.flags.clear(Flags::IDLE);
            self.turns.mark(self.world.tick, Tick(turns), turn);
        } else {
            self.stand_idle(seat);
        }
        self.restate_work(seat);
    }

    /// Step 3: for its slots in order, the first of which one item goes into the target.
    #[inline(always)]
    fn push<O: Observer + ?Sized>(&mut self, seat: usize, observer: &mut O) -> Outcome {
        let target = self.taker(seat).target();
        let item = match target {
            Target::None => None,
            Target::Hopper(target) => self.push_into_hopper(seat, target),
            Target::Selector(target) => self.push_into_selector(seat, target),
            Target::Inventory(target) => self.world.inventories.push_first(seat, target),
        };
        let Some(item) = item else {
            return Outcome::Nothing;
        };
        self.notify_around_hopper(seat);
        let to = match target {
            Target::Hopper(target) => {
                self.hopper_changed(target);
                self.taker(target).part
            }
            Target::Selector(target) | Target::Inventory(target) => {
                self.contents_changed(target);
                target
            }
            Target::None => return Outcome::Nothing,
        };
        let item = self.world.inventories.unpack(item);
        let from = self.taker(seat).part;
        self.emit(observer, Event::ItemMoved { from, to, item });
        Outcome::Success
    }

    /// Puts the first item that goes in into the target; says which.
    fn push_into_hopper(&mut self, seat: usize, target: usize) -> Option<PackedItem> {
        let takers = &mut self.world.inventories.takers;
        let [own, into] = takers.get_disjoint_mut([seat, target]).ok()?;
        let starts_arrival = all_empty(&into.slots);
        let item = move_first(&mut own.slots, &mut into.slots)?;
        if starts_arrival {
            self.start_arrival(target, Sender::Taker(seat));
        }
        Some(item)
    }

    /// Puts the first item into a selector, which takes anything while it has room; says which.
    fn push_into_selector(&mut self, seat: usize, target: PartId) -> Option<PackedItem> {
        if self.is_selector_full(target) {
            return None;
        }
        let slots = &mut self.taker_mut(seat).slots;
        let slot = slots.iter_mut().find(|slot| !slot.is_empty())?;
        let packed = slot.packed();
        slot.take(1);
        let item = self.world.inventories.unpack(packed);
        let selector = self.selector(target)?;
        self.put_into_selector(target, selector, item, 1);
        Some(packed)
    }

    /// Step 4.
    fn pull<O: Observer + ?Sized>(&mut self, seat: usize, observer: &mut O) -> Outcome {
        match self.taker(seat).source() {
            Source::Hopper(above) => self.pull_from_hopper(above, seat, observer),
            Source::Inventory(above) => self.pull_from(above, seat, observer),
            Source::Mouth(mouth) if !is_full(&self.taker(seat).slots) => {
                self.collect_any(mouth, self.taker(seat).part, observer)
            }
            Source::Mouth(_) | Source::Cap => Outcome::Nothing,
        }
    }

    fn pull_from_hopper<O: Observer + ?Sized>(
        &mut self,
        above: usize,
        seat: usize,
        observer: &mut O,
    ) -> Outcome {
        let takers = &mut self.world.inventories.takers;
        let Ok([own, source]) = takers.get_disjoint_mut([seat, above]) else {
            return Outcome::Nothing;
        };
        let Some(item) = move_first(&mut source.slots, &mut own.slots) else {
            return Outcome::Nothing;
        };
        let (from, to) = (source.part, own.part);
        self.hopper_changed(above);
        self.notify_around_hopper(seat);
        let item = self.world.inventories.unpack(item);
        self.emit(observer, Event::ItemMoved { from, to, item });
        Outcome::Success
    }

    fn pull_from<O: Observer + ?Sized>(
        &mut self,
        above: PartId,
        seat: usize,
        observer: &mut O,
    ) -> Outcome {
        let Some(item) = self.world.inventories.pull_first(seat, above) else {
            return Outcome::Nothing;
        };
        self.contents_changed(above);
        self.notify_around_hopper(seat);
        let item = self.world.inventories.unpack(item);
        let (from, to) = (above, self.taker(seat).part);
        self.emit(observer, Event::ItemMoved { from, to, item });
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
        self.notify_around(part);
        let event = Event::Collected {
            hopper: part,
            stack,
            item,
            count: taken,
        };
        self.emit(observer, event);
        if taken == count {
            Outcome::Success
        } else {
            Outcome::Part
        }
    }
}
