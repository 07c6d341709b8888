//! Deliveries that wait: for room, or for the signal that holds them.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::part::Part;

use crate::conservation::count_article;
use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::Article;
use crate::world::Consignment;

impl ReferenceEngine {
    /// A delivery goes to the end of the line of its place, and the line moves at once.
    pub(crate) fn delivery_is_due(&mut self, delivery: Consignment) {
        let article = self
            .world
            .next_article(delivery.kind, &delivery.contents, &self.book);
        count_article_times(&mut self.world.sent, &article, delivery.count);
        let place = delivery.place;
        if self.breaks(Fault::HeldIsRefused) && self.waits_for_signal(&delivery) {
            self.count_refused(&delivery);
            return;
        }
        if self.breaks(Fault::NewcomerComesFirst) {
            self.world.waiting.insert(0, delivery);
        } else {
            self.world.waiting.push(delivery);
        }
        self.line_moves(place);
    }

    /// The places in the order of declaration.
    pub(crate) fn every_line_moves(&mut self) {
        let places: BTreeSet<PartId> = self.world.waiting.iter().map(|one| one.place).collect();
        let mut places: Vec<PartId> = places.into_iter().collect();
        if self.breaks(Fault::LinesMoveInReverse) {
            places.reverse();
        }
        for place in places {
            self.line_moves(place);
        }
    }

    /// From the first to the last of one line, once.
    fn line_moves(&mut self, place: PartId) {
        let all = std::mem::take(&mut self.world.waiting);
        let (mut line, others): (Vec<_>, Vec<_>) =
            all.into_iter().partition(|one| one.place == place);
        if self.breaks(Fault::LineMovesBackwards) {
            line.reverse();
        }
        let mut staying: Vec<Consignment> = Vec::new();
        for mut one in line {
            let may_come_in = self.may_come_in(&one, &staying);
            if may_come_in {
                one.count -= self.comes_in(&one);
            }
            let is_refused = may_come_in && !self.stays_for_room(&one);
            if is_refused {
                self.count_refused(&one);
            } else if one.count > 0 {
                staying.push(one);
            }
        }
        if self.breaks(Fault::LineMovesBackwards) {
            staying.reverse();
        }
        self.world.waiting = others;
        self.world.waiting.extend(staying);
    }

    /// Whether deliveries wait at a place.
    pub(crate) fn has_line(&self, place: PartId) -> bool {
        self.world.waiting.iter().any(|one| one.place == place)
    }

    /// Whether its signal is off.
    fn waits_for_signal(&self, one: &Consignment) -> bool {
        one.while_on.is_some_and(|signal| !self.is_on(signal))
    }

    /// Whether a delivery is not passed over. `before`: those before it that stay in the line.
    fn may_come_in(&self, one: &Consignment, before: &[Consignment]) -> bool {
        let is_blocking = |other: &Consignment| {
            let is_held = self.waits_for_signal(other);
            (other.waits && !is_held) || (is_held && self.breaks(Fault::HeldStopsTheLine))
        };
        let heeds_line = one.waits || self.breaks(Fault::ImpatientStandsBehind);
        let is_behind = heeds_line && before.iter().any(is_blocking);
        let is_held = self.waits_for_signal(one) && !self.breaks(Fault::HoldIgnored);
        !is_held && (!is_behind || self.breaks(Fault::LineIsNoQueue))
    }

    /// Lets in as many as fit. Gives how many.
    fn comes_in(&mut self, one: &Consignment) -> u32 {
        match self.network.part(one.place) {
            Part::Mouth | Part::Stream(_)
                if self.is_asleep(one.place) && self.breaks(Fault::NothingFallsAsleep) =>
            {
                0
            }
            Part::Mouth | Part::Stream(_) => {
                self.deliver_loose(one.place, one.kind, one.count, &one.contents);
                one.count
            }
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Bench(_)
            | Part::Selector(_)
            | Part::Dock
            | Part::Shuttle(_)
            | Part::Signal(_) => self.deliver(one.place, one.kind, one.count, &one.contents),
        }
    }

    /// Whether one that was let in stays for what is left of it.
    fn stays_for_room(&self, one: &Consignment) -> bool {
        if self.breaks(Fault::NobodyWaitsForRoom) {
            return false;
        }
        one.waits || (one.while_on.is_some() && self.breaks(Fault::HeldWaitsForRoomToo))
    }

    fn count_refused(&mut self, one: &Consignment) {
        let article = self.world.next_article(one.kind, &one.contents, &self.book);
        count_article_times(&mut self.world.refused, &article, one.count);
    }
}

/// Counts each of so many articles with what it holds.
pub(crate) fn count_article_times(counts: &mut [u64], article: &Article, times: u32) {
    for _ in 0..times {
        count_article(counts, article, 1);
    }
}
