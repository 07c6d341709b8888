//! Mishaps: signals that are stuck, inventories filled by hand, boxes taken away.

use std::sync::Arc;

use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::Part;
use hallwright_core::slot::Filling;

use crate::conservation::count_article;
use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Article;
use crate::landings::count_article_times;

/// How long a signal is stuck, and what it goes by itself meanwhile.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stuck {
    /// The tick in which it comes free.
    pub(crate) free_at: u64,
    /// The level that it has of its own.
    pub(crate) own_level: u8,
}

impl ReferenceEngine {
    /// Whether a signal shows another level than its own, or could.
    pub(crate) fn stuck(&self, signal: PartId) -> Option<Stuck> {
        self.world.stuck[signal.index()]
    }

    /// The level that a signal has of its own: what it goes by itself.
    pub(crate) fn own_level(&self, signal: PartId) -> u8 {
        if self.breaks(Fault::StuckPartHeedsItsLevel) {
            return self.level(signal);
        }
        let stuck = self.stuck(signal);
        stuck.map_or_else(|| self.level(signal), |stuck| stuck.own_level)
    }

    /// Whether the level that a signal has of its own is on.
    pub(crate) fn is_on_itself(&self, signal: PartId) -> bool {
        self.own_level(signal) > 0
    }

    /// The beginning of phase 1: those whose time is over come free, and take the level of their own.
    pub(crate) fn free_stuck(&mut self) {
        if self.world.stuck.iter().all(Option::is_none) {
            return;
        }
        for signal in self.stuck_in_order(|_| true) {
            let Some(stuck) = self.stuck(signal) else {
                continue;
            };
            if stuck.free_at > self.world.tick {
                continue;
            }
            self.world.stuck[signal.index()] = None;
            if self.breaks(Fault::FreedSilently) {
                *self.world.level_mut(signal) = stuck.own_level;
            } else if !self.breaks(Fault::FreedKeepsItsLevel) {
                self.set_level(signal, stuck.own_level);
            }
        }
    }

    /// Signals are stuck from now on, for so many ticks.
    pub(crate) fn stick(&mut self, signals: &[PartId], on: bool, stuck_ticks: u32) {
        let longer = u64::from(self.breaks(Fault::StuckOneTickLong));
        let free_at = self.world.tick + u64::from(stuck_ticks) + longer;
        for signal in self.stuck_in_order(|part| signals.contains(&part)) {
            if self.is_asleep(signal) && self.breaks(Fault::SleeperIsNotStuck) {
                continue;
            }
            let own_level = self.level(signal);
            let level = if on { 15 } else { 0 };
            if self.breaks(Fault::StuckSilently) {
                *self.world.level_mut(signal) = level;
            } else {
                self.show_level_of_stuck(signal, level, Stuck { free_at, own_level });
            }
            self.world.stuck[signal.index()].get_or_insert(Stuck { free_at, own_level });
        }
    }

    fn show_level_of_stuck(&mut self, signal: PartId, level: u8, stuck: Stuck) {
        if !self.breaks(Fault::StuckAfterChange) {
            self.world.stuck[signal.index()] = Some(stuck);
        }
        self.show_level(signal, level);
    }

    /// Signals in signal order.
    fn stuck_in_order(&self, is_meant: impl Fn(PartId) -> bool) -> Vec<PartId> {
        let network = Arc::clone(&self.network);
        let is_signal = |part: &PartId| matches!(network.part(*part), Part::Signal(_));
        let order = self.signal_order.iter().copied();
        let mut signals: Vec<PartId> = order.filter(is_signal).collect();
        signals.retain(|signal| is_meant(*signal));
        if self.breaks(Fault::StuckByDeclaration) {
            signals.sort();
        }
        signals
    }

    /// As many as fit go into an inventory by hand.
    pub(crate) fn fill(&mut self, place: PartId, kind: KindId, contents: &[Filling]) {
        let most = if self.breaks(Fault::FillsOneSlot) {
            self.book.limit(kind)
        } else {
            u32::MAX
        };
        if self.breaks(Fault::FillGoesByLine) && self.has_line(place) {
            return;
        }
        let article = self.world.next_article(kind, contents, &self.book);
        let put = self.deliver(place, kind, most, contents);
        count_article_times(&mut self.world.sent, &article, put);
    }

    /// The box on a bench, or the first box in another inventory, is withdrawn.
    pub(crate) fn take_box(&mut self, place: PartId) {
        if self.is_shut(place) && !self.breaks(Fault::SleeperGivesBox) {
            return;
        }
        let taken = if let Part::Bench(_) = self.network.part(place) {
            self.take_box_off_bench(place)
        } else {
            self.take_box_out_of_slot(place)
        };
        let Some(article) = taken else { return };
        count_article(&mut self.world.withdrawn, &article, 1);
        self.emit(Event::Withdrawn {
            place,
            item: article.item(),
            count: 1,
        });
    }

    fn take_box_off_bench(&mut self, bench: PartId) -> Option<Article> {
        if self.breaks(Fault::BenchKeepsBox) {
            return None;
        }
        let article = self.world.bench_mut(bench).standing.take()?;
        if !self.breaks(Fault::BoxTakenUntold) {
            self.occupation_changed(bench);
        }
        Some(article)
    }

    fn take_box_out_of_slot(&mut self, place: PartId) -> Option<Article> {
        let mut slots = self.filled_slots(place);
        if self.breaks(Fault::TakesLastBox) {
            slots.reverse();
        }
        if self.breaks(Fault::TakesBoxFromFirstSlotOnly) {
            slots.truncate(1);
        }
        let article_in = |slot: usize| self.inventory(place)?.article(slot).cloned();
        let mut boxes = slots
            .into_iter()
            .filter_map(|slot| Some((slot, article_in(slot)?)));
        let (slot, article) = boxes.find(|(_, article)| article.carried.is_some())?;
        self.remove_one(place, slot);
        if !self.breaks(Fault::BoxTakenUntold) {
            self.inventory_changed(place);
        }
        Some(article)
    }
}
