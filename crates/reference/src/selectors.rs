//! Section 6: selectors.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Selector, Watched};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Article;
use crate::moves::Way;
use crate::predicate::satisfies;
use crate::world::Queued;

impl ReferenceEngine {
    fn selector_part(&self, selector: PartId) -> Selector {
        let Part::Selector(part) = self.network.part(selector) else {
            panic!("{selector} is no selector");
        };
        part.as_ref().clone()
    }

    /// Whether it holds fewer items than it can.
    pub(crate) fn selector_has_room(&self, selector: PartId) -> bool {
        let more = usize::from(self.breaks(Fault::SelectorHoldsOneMore));
        let holds = self.selector_part(selector).holds as usize + more;
        self.world.selector(selector).queue.len() < holds
    }

    /// An item goes in, if there is room; that it is locked does not matter.
    pub(crate) fn accept(&mut self, selector: PartId, article: &Article) -> bool {
        if !self.selector_has_room(selector) {
            return false;
        }
        if self.breaks(Fault::SelectorRefusesWhileLocked) && self.is_locked(selector) {
            return false;
        }
        let ready = self.ready_time(selector);
        let state = self.world.selector_mut(selector);
        state.last_ready = Some(ready);
        state.queue.push(Queued {
            article: article.clone(),
            ready,
        });
        true
    }

    /// When an item accepted now is ready.
    fn ready_time(&self, selector: PartId) -> u64 {
        let part = self.selector_part(selector);
        let state = self.world.selector(selector);
        let longer = u64::from(self.breaks(Fault::SelectorLatencyOneLong));
        let after_latency = self.world.tick + u64::from(part.latency_ticks) + longer;
        let forgets_interval = self.breaks(Fault::SelectorIntervalIgnored)
            || (self.breaks(Fault::SelectorIntervalInsideOnly) && state.queue.is_empty());
        match state.last_ready {
            Some(before) if !forgets_interval => {
                after_latency.max(before + u64::from(part.interval_ticks))
            }
            _ => after_latency,
        }
    }

    /// A selector's turn: at most one item leaves.
    pub(crate) fn selector_turn(&mut self, selector: PartId) {
        self.world.selector_mut(selector).last_turn = self.world.tick.cast_signed();
        if self.is_locked(selector) && !self.breaks(Fault::SelectorLockIgnored) {
            return;
        }
        let has_sent = self.send_first(selector);
        if has_sent && self.breaks(Fault::SelectorMayMoveTwo) {
            self.send_first(selector);
        }
    }

    /// Sends the first item where it belongs, if it is ready and taken there.
    fn send_first(&mut self, selector: PartId) -> bool {
        let Some(first) = self.world.selector(selector).queue.first() else {
            return false;
        };
        if first.ready > self.world.tick {
            return false;
        }
        let part = self.selector_part(selector);
        let is_match = satisfies(&first.article, &part.takes, &self.book);
        let target = if is_match {
            part.match_target
        } else {
            part.rest_target
        };
        if self.hand_on(selector, target) {
            if is_match || self.breaks(Fault::RestSeenAsMatch) {
                self.notify_observers(Watched::Matches(selector));
            }
            return true;
        }
        let may_go_elsewhere = if is_match {
            !self.breaks(Fault::WhenFullForRestOnly)
        } else {
            !self.breaks(Fault::WhenFullForMatchesOnly)
        };
        let elsewhere = part.when_full.filter(|_| may_go_elsewhere);
        let has_gone = elsewhere.is_some_and(|target| self.hand_on(selector, target));
        if has_gone && is_match && self.breaks(Fault::MatchSeenElsewhere) {
            self.notify_observers(Watched::Matches(selector));
        }
        has_gone
    }

    /// Hands the first item on to a target, unless that refuses it.
    fn hand_on(&mut self, selector: PartId, target: PartId) -> bool {
        let article = self.world.selector(selector).queue[0].article.clone();
        let comes_loose = matches!(self.network.part(target), Part::Mouth | Part::Stream(_));
        if !comes_loose && !self.put(&article, target, Way::PushedBy(selector)) {
            return false;
        }
        self.world.selector_mut(selector).queue.remove(0);
        self.emit(Event::ItemMoved {
            from: selector,
            to: target,
            item: article.item(),
        });
        if comes_loose {
            self.come_loose(article, 1, target);
        } else {
            self.notify_of_move(selector, target);
        }
        true
    }
}
