//! Deliveries that are due, and those that wait in line at their places (tick rules, "deliveries that wait").

use crate::engine::Engine;
use crate::engine::state::landings::WaitingDelivery;
use crate::event::{DeliveryNews, Moment, Observer};
use crate::id::{KindId, PartId};
use crate::slot::Filling;
use crate::timeline::Terms;

impl Engine<'_> {
    /// A delivery is due. It goes to the end of the line of its place, and the line moves; where
    /// nothing waits, that comes to this.
    pub(super) fn receive<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        (kind, sent): (KindId, u32),
        contents: &[Filling],
        terms: Terms,
        observer: &mut O,
    ) {
        count_outside(&mut self.world.totals.sent, kind, contents, sent);
        let has_line = !self.world.landings.is_empty() && self.world.landings.line(place).is_some();
        let is_held = terms.while_on.is_some_and(|gate| !self.is_on(gate));
        let notified = DeliveryNews {
            place,
            kind,
            arrival: terms.arrival,
            sent,
            delivered: 0,
            refused: 0,
        };
        let waiting = |count| WaitingDelivery {
            kind,
            count,
            contents: contents.to_vec(),
            terms,
        };
        if has_line || is_held {
            self.world.landings.add(place, waiting(sent));
            self.notify_of_delivery(notified, observer);
            self.move_line(place, observer);
            return;
        }
        if self.network.part(place).is_loose_place() {
            self.deliver_loose(place, kind, sent, contents, observer);
            let delivered = sent;
            self.notify_of_delivery(
                DeliveryNews {
                    delivered,
                    ..notified
                },
                observer,
            );
            return;
        }
        let delivered = self.put_from_outside(place, kind, sent, contents);
        let left = sent - delivered;
        let mut refused = 0;
        if left > 0 && terms.waits {
            self.world.landings.add(place, waiting(left));
        } else if left > 0 {
            refused = left;
            count_outside(&mut self.world.totals.refused, kind, contents, left);
        }
        self.notify_delivered(place, kind, delivered, observer);
        let notified = DeliveryNews {
            delivered,
            refused,
            ..notified
        };
        self.notify_of_delivery(notified, observer);
    }

    /// So many were put into a place by hand, whoever waits in its line.
    pub(super) fn put_by_hand<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        (kind, put): (KindId, u32),
        contents: &[Filling],
        observer: &mut O,
    ) {
        if put == 0 {
            return;
        }
        count_outside(&mut self.world.totals.sent, kind, contents, put);
        self.notify_delivered(place, kind, put, observer);
        let notified = DeliveryNews {
            place,
            kind,
            arrival: None,
            sent: put,
            delivered: put,
            refused: 0,
        };
        self.notify_of_delivery(notified, observer);
    }

    /// The beginning of phase 1: every line moves, the places in the order of declaration.
    pub(super) fn move_lines<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        if self.world.landings.is_empty() {
            return;
        }
        for place in self.world.landings.places() {
            self.move_line(place, observer);
        }
    }

    /// Whether the line of some place would move now. It is asked between two ticks, and nothing that
    /// it depends on changes while an engine leaps.
    pub(in crate::engine) fn is_a_line_ready(&self) -> bool {
        self.world.landings.lines().any(|(place, line)| {
            let mut waits_for_room = false;
            for waiting in &line.queue {
                let terms = waiting.terms;
                if terms.while_on.is_some_and(|gate| !self.is_on(gate)) {
                    continue;
                }
                if !terms.waits {
                    return true;
                }
                if waits_for_room {
                    continue;
                }
                if self.network.part(place).is_loose_place()
                    || self.accepts(place, self.sample_of(waiting.kind))
                {
                    return true;
                }
                waits_for_room = true;
                if line.impatient == 0 {
                    break;
                }
            }
            false
        })
    }

    /// Lets those in line at a place come in, first come first.
    fn move_line<O: Observer + ?Sized>(&mut self, place: PartId, observer: &mut O) {
        let mut waits_for_room = false;
        let mut number = 0;
        while let Some(line) = self.world.landings.line(place) {
            let Some(waiting) = line.queue.get(number) else {
                break;
            };
            if waits_for_room && line.impatient == 0 {
                break;
            }
            let terms = waiting.terms;
            let is_held = terms.while_on.is_some_and(|gate| !self.is_on(gate));
            if is_held || (terms.waits && waits_for_room) {
                number += 1;
                continue;
            }
            if self.let_in(place, number, observer) {
                waits_for_room = true;
                number += 1;
            }
        }
    }

    /// Lets one in line come in as far as it fits. Says whether it still waits for room; if not, it
    /// has left the line.
    fn let_in<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        number: usize,
        observer: &mut O,
    ) -> bool {
        let Some(waiting) = self.world.landings.get_mut(place, number) else {
            return false;
        };
        let (kind, count, terms) = (waiting.kind, waiting.count, waiting.terms);
        let contents = std::mem::take(&mut waiting.contents);
        let is_loose = self.network.part(place).is_loose_place();
        let delivered = if is_loose {
            count
        } else {
            self.put_from_outside(place, kind, count, &contents)
        };
        let left = count - delivered;
        let stays = left > 0 && terms.waits;
        let refused = if stays { 0 } else { left };
        if stays {
            if let Some(waiting) = self.world.landings.get_mut(place, number) {
                waiting.count = left;
                waiting.contents = contents;
            }
        } else {
            self.world.landings.remove(place, number);
            count_outside(&mut self.world.totals.refused, kind, &contents, refused);
            if is_loose {
                self.deliver_loose(place, kind, count, &contents, observer);
            }
        }
        if !is_loose {
            self.notify_delivered(place, kind, delivered, observer);
        }
        if delivered + refused > 0 {
            let notified = DeliveryNews {
                place,
                kind,
                arrival: terms.arrival,
                sent: 0,
                delivered,
                refused,
            };
            self.notify_of_delivery(notified, observer);
        }
        stays
    }

    fn notify_of_delivery<O: Observer + ?Sized>(&self, notified: DeliveryNews, observer: &mut O) {
        let moment = Moment {
            tick: self.world.tick,
            phase: self.phase,
        };
        observer.delivery(moment, &notified, &self.view());
    }
}

/// Adds so many items from outside to the counts, and what is in them.
fn count_outside(counts: &mut [u64], kind: KindId, contents: &[Filling], count: u32) {
    counts[kind.index()] += u64::from(count);
    for inner in contents {
        counts[inner.kind.index()] += u64::from(count) * u64::from(inner.count);
    }
}
