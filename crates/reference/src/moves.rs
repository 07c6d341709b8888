//! Sections 2 and 4: one item goes from here to there, and who is notified.

use hallwright_core::event::{Event, StackId};
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Rear, Signal};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::{Article, Inventory, small};
use crate::world::{LooseStack, PartState};

/// How an item comes into an inventory.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// This hopper, selector or dropper hands it on.
    PushedBy(PartId),
    /// The operator delivers it.
    Delivered,
    /// The receiving hopper pulls it.
    Pulled,
}

impl ReferenceEngine {
    /// The inventory that stands at a part now, if any does, asleep or not.
    pub(crate) fn inventory(&self, part: PartId) -> Option<&Inventory> {
        self.world.inventory(&self.network, part)
    }

    /// The inventory that stands at a part now, if any does and things can go in and out.
    pub(crate) fn open_inventory(&self, part: PartId) -> Option<&Inventory> {
        self.inventory(part).filter(|_| !self.is_shut(part))
    }

    /// Moves one item out of a slot into another inventory or a selector, if it goes in there.
    pub(crate) fn move_item(&mut self, from: PartId, slot: usize, to: PartId, way: Way) -> bool {
        let Some(article) = self
            .inventory(from)
            .and_then(|inventory| inventory.article(slot))
        else {
            return false;
        };
        let article = article.clone();
        if !self.put(&article, to, way) {
            return false;
        }
        self.remove_one(from, slot);
        self.emit(Event::ItemMoved {
            from,
            to,
            item: article.item(),
        });
        self.notify_of_move(from, to);
        true
    }

    /// Tries to put one item into an inventory or a selector. Notifies nobody yet.
    pub(crate) fn put(&mut self, article: &Article, to: PartId, way: Way) -> bool {
        if self.breaks(Fault::LockedRefuses) && way != Way::Pulled && self.is_locked(to) {
            return false;
        }
        let is_let_in = match way {
            Way::Delivered => self.breaks(Fault::SleeperTakesDelivery),
            Way::PushedBy(_) => self.breaks(Fault::SleeperIsPushedInto),
            Way::Pulled => true,
        };
        if self.is_shut(to) && !is_let_in {
            return false;
        }
        if matches!(self.network.part(to), Part::Selector(_)) {
            return self.accept(to, article);
        }
        let was_empty = self.inventory(to).is_some_and(Inventory::is_empty);
        let fits = self
            .world
            .inventory_mut(&self.network, to)
            .is_some_and(|inventory| inventory.insert(article, &self.book));
        if fits && (was_empty || self.breaks(Fault::ArrivalInAnyHopper)) {
            self.arrive(to, way);
        }
        fits
    }

    /// Removes one item from a slot of an inventory. Notifies nobody yet.
    pub(crate) fn remove_one(&mut self, from: PartId, slot: usize) {
        if let Some(inventory) = self.world.inventory_mut(&self.network, from) {
            inventory.remove_one(slot);
        }
    }

    /// Arrival: an item has gone into what was wholly empty. If that is a hopper, it waits.
    fn arrive(&mut self, to: PartId, way: Way) {
        let is_hopper = matches!(self.world.parts[to.index()], PartState::Hopper(_));
        let is_arrival = match way {
            Way::PushedBy(_) => true,
            Way::Delivered => !self.breaks(Fault::DeliveryIsNoArrival),
            Way::Pulled => false,
        };
        if is_hopper && is_arrival {
            self.world.hopper_mut(to).cooldown = self.cooldown_of_arrival(to, way);
        }
    }

    /// 8, or 7 if the item came from a hopper or selector and the receiver's last turn is not
    /// before the sender's.
    fn cooldown_of_arrival(&self, to: PartId, way: Way) -> u32 {
        let long = self.book.rules.arrival_ticks;
        if self.breaks(Fault::ArrivalNeverShort) {
            return long;
        }
        if self.breaks(Fault::ArrivalAlwaysShort) {
            return long - 1;
        }
        let sender_turn = match way {
            Way::PushedBy(sender) => self.last_turn(sender),
            Way::Delivered | Way::Pulled => None,
        };
        let receiver_turn = self.world.hopper(to).last_turn;
        match sender_turn {
            Some(turn) if receiver_turn >= turn => long - 1,
            _ => long,
        }
    }

    /// The tick of the last turn of a hopper or selector.
    fn last_turn(&self, part: PartId) -> Option<i64> {
        match &self.world.parts[part.index()] {
            PartState::Hopper(hopper) => Some(hopper.last_turn),
            PartState::Selector(_) if self.breaks(Fault::SelectorIsNoHopper) => None,
            PartState::Selector(selector) => Some(selector.last_turn),
            PartState::Container(_) | PartState::Dropper(_) | PartState::Bench(_) => None,
            PartState::Open | PartState::Dock => None,
            PartState::Shuttle(_) | PartState::Signal(_) => None,
        }
    }

    /// Whether something to push into is there and not full.
    pub(crate) fn has_room(&self, target: PartId) -> bool {
        if self.is_shut(target) && !self.breaks(Fault::SleeperIsPushedInto) {
            return false;
        }
        if matches!(self.network.part(target), Part::Selector(_)) {
            return self.selector_has_room(target);
        }
        self.inventory(target)
            .is_some_and(|inventory| !inventory.is_full(&self.book))
    }

    /// A move notifies the readers of its source, then those of its destination.
    pub(crate) fn notify_of_move(&mut self, from: PartId, to: PartId) {
        if self.breaks(Fault::DestinationToldFirst) {
            self.notify_of_insertion(to);
            self.inventory_changed(from);
        } else {
            self.inventory_changed(from);
            self.notify_of_insertion(to);
        }
    }

    fn notify_of_insertion(&mut self, to: PartId) {
        if !self.breaks(Fault::InsertionUntold) {
            self.inventory_changed(to);
        }
    }

    /// Something came to stand at a bench or place, or went away.
    pub(crate) fn occupation_changed(&mut self, place: PartId) {
        if !self.breaks(Fault::OccupationUntold) {
            self.inventory_changed(place);
        }
    }

    /// Notifies the comparators that read an inventory, at once and in signal order.
    pub(crate) fn inventory_changed(&mut self, changed: PartId) {
        let reads_it = |part: &Part| {
            matches!(part, Part::Signal(Signal::Comparator { rear: Rear::Inventory(read), .. })
                if *read == changed)
        };
        let comparators = if self.breaks(Fault::ComparatorsByDeclaration) {
            self.parts_where(reads_it)
        } else {
            self.in_signal_order(reads_it)
        };
        for comparator in comparators {
            if !self.is_asleep(comparator) || self.breaks(Fault::SleepingComparatorNotices) {
                self.look(comparator);
            }
        }
    }

    /// Items come loose at a mouth or on a stream, as one stack.
    pub(crate) fn come_loose(&mut self, article: Article, count: u32, place: PartId) {
        let tick = self.world.tick;
        let (mouth, arrives) = if let Part::Stream(stream) = self.network.part(place) {
            let late = u64::from(self.breaks(Fault::StreamOneTickLong));
            let transit = u64::from(stream.transit_ticks) + late;
            (stream.mouth, self.sets_out(place) + transit)
        } else {
            (place, tick)
        };
        let number = self.world.next_stack;
        self.world.next_stack += 1;
        self.emit(Event::CameLoose {
            stack: StackId(number),
            item: article.item(),
            count: small(count),
            place,
        });
        self.world.loose.push(LooseStack {
            number,
            article,
            count,
            place,
            mouth,
            age: 0,
            since: tick,
            arrives,
            at_rest: place == mouth && self.breaks(Fault::RestsAtOnce),
        });
    }
}
