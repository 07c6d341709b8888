//! Section 5: loose stacks on streams and at mouths.

use hallwright_core::event::{Event, StackId};
use hallwright_core::id::PartId;
use hallwright_core::part::{Intake, Part};

use crate::conservation::count_article;
use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::small;
use crate::moves::Way;
use crate::world::LooseStack;

/// How much of a stack a hopper took.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    Whole,
    Part,
    Nothing,
}

impl ReferenceEngine {
    /// Phase 3, first half: each loose stack in turn, each finishing before the next begins.
    pub(crate) fn move_loose_items(&mut self) {
        let mut numbers: Vec<u64> = self.world.loose.iter().map(|stack| stack.number).collect();
        if self.breaks(Fault::YoungestLooseFirst) {
            numbers.reverse();
        }
        for number in numbers {
            self.stack_turn(number);
        }
    }

    /// It ages; then it is lost; or else it comes to rest, merges, is offered. Where it is asleep, it
    /// does nothing.
    fn stack_turn(&mut self, number: u64) {
        if self.lies_asleep(number) {
            self.sleep_through_stack_turn(number);
            return;
        }
        let late = u32::from(self.breaks(Fault::DespawnOneLate));
        if self.grow_older(number) >= self.book.rules.despawn_ticks + late {
            self.lose(number);
            return;
        }
        let has_come_to_rest = self.come_to_rest(number);
        let tries_to_merge = has_come_to_rest || self.breaks(Fault::MergesEveryTick);
        if tries_to_merge && self.merge(number) {
            return;
        }
        self.offer(number);
    }

    /// The age of a stack grows by 1. Gives the new age.
    pub(crate) fn grow_older(&mut self, number: u64) -> u32 {
        let tick = self.world.tick;
        let waits_a_tick = self.breaks(Fault::AgesFromNextTick);
        let stops_on_streams = self.breaks(Fault::StreamStopsAge);
        let Some(stack) = self.world.stack_mut(number) else {
            return 0;
        };
        let stands_still =
            (waits_a_tick && stack.since == tick) || (stops_on_streams && stack.arrives > tick);
        if !stands_still {
            stack.age += 1;
        }
        stack.age
    }

    /// A stack that has reached its mouth comes to rest there. Whether it did so just now.
    pub(crate) fn come_to_rest(&mut self, number: u64) -> bool {
        let tick = self.world.tick;
        match self.world.stack_mut(number) {
            Some(stack) if !stack.at_rest && tick >= stack.arrives => {
                stack.at_rest = true;
                true
            }
            _ => false,
        }
    }

    /// Takes a stack out of the world.
    fn remove_stack(&mut self, number: u64) -> Option<LooseStack> {
        let place = self.world.place_of_stack(number)?;
        Some(self.world.loose.remove(place))
    }

    pub(crate) fn lose(&mut self, number: u64) {
        if let Some(stack) = self.remove_stack(number) {
            count_article(&mut self.world.lost, &stack.article, stack.count);
            self.emit(Event::Lost {
                stack: StackId(number),
                item: stack.article.item(),
                count: small(stack.count),
                mouth: stack.mouth,
            });
        }
    }

    /// The stacks at rest at a mouth, oldest first.
    pub(crate) fn stacks_at_rest(&self, mouth: PartId) -> Vec<u64> {
        if self.is_asleep(mouth) && !self.breaks(Fault::SleepingMouthIsOpen) {
            return Vec::new();
        }
        let mut numbers: Vec<u64> = self
            .world
            .loose
            .iter()
            .filter(|stack| stack.at_rest && stack.mouth == mouth)
            .map(|stack| stack.number)
            .collect();
        if self.breaks(Fault::YoungestStackFirst) {
            numbers.reverse();
        }
        numbers
    }

    /// A stack that has come to rest merges into the first other one that has room for all of it.
    pub(crate) fn merge(&mut self, number: u64) -> bool {
        let Some(newcomer) = self.world.stack(number).cloned() else {
            return false;
        };
        let Some(into) = self.stack_to_merge_into(&newcomer) else {
            return false;
        };
        if self.breaks(Fault::MergedStackMovesBack) {
            self.swap_places(number, into);
        }
        let age = |resting: u32| self.age_of_merged(newcomer.age, resting, number < into);
        let age = self.world.stack(into).map(|resting| age(resting.age));
        if let (Some(resting), Some(age)) = (self.world.stack_mut(into), age) {
            resting.count += newcomer.count;
            resting.age = age;
        }
        self.remove_stack(number);
        self.emit(Event::Merged {
            stack: StackId(number),
            into: StackId(into),
            kind: newcomer.article.kind,
            count: small(newcomer.count),
            mouth: newcomer.mouth,
        });
        true
    }

    /// The younger of the two ages. A stack that came loose later has not had its turn yet, and will
    /// age in it.
    fn age_of_merged(&self, newcomer: u32, resting: u32, into_later: bool) -> u32 {
        if self.breaks(Fault::MergeTakesOlderAge) {
            return resting.max(newcomer);
        }
        let is_older = self.breaks(Fault::MergedAgeOneMore)
            || (into_later && self.breaks(Fault::MergeAgesLaterStack));
        resting.min(newcomer) + u32::from(is_older)
    }

    fn stack_to_merge_into(&self, newcomer: &LooseStack) -> Option<u64> {
        if self.breaks(Fault::NeverMerges) || !newcomer.at_rest {
            return None;
        }
        let limit = self.book.limit(newcomer.article.kind);
        let takes_it = |resting: &&LooseStack| {
            let sum = resting.count + newcomer.count;
            resting.number != newcomer.number
                && resting.at_rest
                && resting.mouth == newcomer.mouth
                && resting.article.kind == newcomer.article.kind
                && sum <= limit - u32::from(self.breaks(Fault::MergesWithLesserSum))
        };
        let mut all = self.world.loose.iter();
        let found = if self.breaks(Fault::MergesIntoLast) {
            all.rfind(takes_it)
        } else {
            all.find(takes_it)
        };
        found.map(|stack| stack.number)
    }

    /// For one broken rule: two stacks change places in the order.
    fn swap_places(&mut self, one: u64, other: u64) {
        let place_of = |number| self.world.place_of_stack(number);
        if let (Some(first), Some(second)) = (place_of(one), place_of(other)) {
            self.world.loose.swap(first, second);
        }
    }

    /// A stack at rest is offered to the hoppers of its mouth until it is gone.
    pub(crate) fn offer(&mut self, number: u64) {
        let Some(mouth) = self
            .world
            .stack(number)
            .filter(|stack| stack.at_rest)
            .map(|stack| stack.mouth)
        else {
            return;
        };
        if self.breaks(Fault::NothingOffered) {
            return;
        }
        let is_below = |part: &Part| matches!(part, Part::Hopper(hopper) if hopper.intake == Intake::Mouth(mouth));
        let mut hoppers = self.parts_where(is_below);
        if self.breaks(Fault::OfferedInReverse) {
            hoppers.reverse();
        }
        for hopper in hoppers {
            if self.world.stack(number).is_some() {
                self.offer_to(hopper, number);
            }
        }
    }

    /// A hopper takes as much of a stack as fits.
    pub(crate) fn collect(&mut self, hopper: PartId, number: u64) -> Taken {
        let Some(stack) = self.world.stack(number).cloned() else {
            return Taken::Nothing;
        };
        let mut taken = 0;
        while taken < stack.count && self.put(&stack.article, hopper, Way::Pulled) {
            taken += 1;
        }
        if taken == 0 {
            return Taken::Nothing;
        }
        self.emit(Event::Collected {
            hopper,
            stack: StackId(number),
            item: stack.article.item(),
            count: small(taken),
        });
        let is_whole = taken == stack.count;
        if is_whole {
            self.remove_stack(number);
        } else if let Some(left) = self.world.stack_mut(number) {
            left.count -= taken;
        }
        self.inventory_changed(hopper);
        if is_whole { Taken::Whole } else { Taken::Part }
    }
}
