//! Phase 3: loose items, then shuttles (tick rules, sections 5 and 6).

use std::collections::BTreeSet;

use crate::engine::Engine;
use crate::engine::state::loose_items::Loose;
use crate::engine::state::loose_items::LooseStack;
use crate::engine::state::takers::Flags;
use crate::event::{Event, Observer, StackId};
use crate::id::PartId;
use crate::part::{Intake, Part};
use crate::slot::Item;
use crate::tick::Phase;

impl Engine<'_> {
    /// Phase 3. Each loose stack in turn, in the order in which they came loose; then shuttles. Only
    /// stacks are visited that come to rest or are lost in this tick, or that rest above a hopper
    /// which might take something.
    pub(in crate::engine) fn move_loose_items<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Loose;
        if !self.world.loose.is_empty() {
            let mut visits: BTreeSet<StackId> = self.world.loose.due(self.world.tick).collect();
            self.roused_below_mouths.clear();
            let mouths: Vec<PartId> = self.world.loose.mouths().collect();
            for mouth in mouths {
                let mut below = self.wiring.mouth_hoppers.of(mouth);
                if below.any(|seat| self.is_restless(seat)) {
                    visits.extend(self.world.loose.resting_at(mouth));
                }
            }
            while let Some(stack) = visits.pop_first() {
                self.visit_stack(stack, observer);
                while let Some(hopper) = self.roused_below_mouths.pop() {
                    self.add_visits_above(hopper, stack, &mut visits);
                }
            }
        }
        self.move_shuttles(observer);
    }

    /// Whether the hopper of this seat might act if something were offered to it now.
    fn is_restless(&self, seat: usize) -> bool {
        let flags = self.taker(seat).flags;
        !flags.any(Flags::IDLE | Flags::LOCKED | Flags::SLEEPS) && self.cooldown_of(seat) == 0
    }

    /// A hopper was roused during the phase: the stacks above it that have not had their turn yet may
    /// let it act.
    fn add_visits_above(&self, hopper: PartId, after: StackId, visits: &mut BTreeSet<StackId>) {
        if let Some(definition) = self.hopper(hopper)
            && let Intake::Mouth(mouth) = definition.intake
        {
            let resting = self.world.loose.resting_at(mouth);
            visits.extend(resting.filter(|stack| *stack > after));
        }
    }

    fn visit_stack<O: Observer + ?Sized>(&mut self, id: StackId, observer: &mut O) {
        let Some(&loose) = self.world.loose.get(id) else {
            return;
        };
        if !self.world.sleepers.is_empty() && self.lies_still(&loose) {
            return;
        }
        let Loose {
            stack, arrives_at, ..
        } = loose;
        let now = self.world.tick;
        if stack.lost_at <= now {
            self.lose(&stack, observer);
            return;
        }
        if !stack.at_rest && arrives_at <= now {
            if self.merge(&stack, observer) {
                return;
            }
            self.world.loose.come_to_rest(id);
        }
        let hoppers = self.wiring.mouth_hoppers.range(stack.mouth);
        for member in hoppers {
            let seat = self.wiring.mouth_hoppers.member(member);
            if !self
                .world
                .loose
                .get(id)
                .is_some_and(|loose| loose.stack.at_rest)
            {
                return;
            }
            self.offer(seat, id, observer);
        }
    }

    fn lose<O: Observer + ?Sized>(&mut self, stack: &LooseStack, observer: &mut O) {
        self.world.loose.remove(stack.id);
        let lost = &mut self.world.totals.lost;
        self.world
            .inventories
            .for_each_inside(stack.item, stack.count, &mut |kind, count| {
                lost[kind.index()] += count;
            });
        let LooseStack {
            id,
            item,
            count,
            mouth,
            ..
        } = *stack;
        let event = Event::Lost {
            stack: id,
            item,
            count,
            mouth,
        };
        self.emit(observer, event);
    }

    /// A stack that comes to rest merges into the first one there that takes it whole, if any.
    fn merge<O: Observer + ?Sized>(&mut self, newcomer: &LooseStack, observer: &mut O) -> bool {
        let limit = self.world.inventories.limit(newcomer.item.kind);
        if limit <= 1 {
            return false; // Nothing takes it in: no need to look at all that rests there.
        }
        let resting = self.world.loose.resting_at(newcomer.mouth);
        let host = resting
            .filter_map(|id| self.world.loose.get(id))
            .find(|other| {
                other.stack.item == newcomer.item && other.stack.count + newcomer.count <= limit
            });
        let Some(&Loose { stack: host, .. }) = host else {
            return false;
        };
        // The newcomer has aged in this tick. A host that came loose later has not, and will yet.
        let newcomer_lost_at = if host.id < newcomer.id {
            newcomer.lost_at.0
        } else {
            newcomer.lost_at.0 - 1
        };
        if newcomer_lost_at > host.lost_at.0 {
            self.world
                .loose
                .set_lost_at(host.id, crate::tick::Tick(newcomer_lost_at));
        }
        self.world
            .loose
            .set_count(host.id, host.count + newcomer.count);
        self.world.loose.remove(newcomer.id);
        let event = Event::Merged {
            stack: newcomer.id,
            into: host.id,
            kind: newcomer.item.kind,
            count: newcomer.count,
            mouth: newcomer.mouth,
        };
        self.emit(observer, event);
        true
    }

    /// Items come loose at a mouth or onto a stream, as one stack.
    pub(in crate::engine) fn come_loose<O: Observer + ?Sized>(
        &mut self,
        place: PartId,
        item: Item,
        count: u8,
        observer: &mut O,
    ) {
        let now = self.world.tick;
        let (put_on_at, first_turn) = match self.world.sleepers.awake_at(place) {
            // It lies until the place wakes.
            Some(awake_at) => (awake_at, awake_at),
            // What comes loose before phase 3 ages, and may come to rest, in this very tick.
            None if self.phase < Phase::Loose => (now, now),
            None => (now, now + 1),
        };
        let (mouth, arrives_at, is_on_stream) =
            if let Part::Stream(stream) = self.network.part(place) {
                let arrives_at = put_on_at + u64::from(stream.transit_ticks);
                (stream.mouth, arrives_at, true)
            } else {
                (place, first_turn, false)
            };
        let id = StackId(self.world.loose.next_id);
        self.world.loose.next_id += 1;
        let lost_at = first_turn + (u64::from(self.network.rules().despawn_ticks) - 1);
        let stack = LooseStack {
            id,
            item,
            count,
            place,
            mouth,
            at_rest: false,
            lost_at,
        };
        self.world.loose.add(Loose {
            stack,
            arrives_at,
            is_on_stream,
        });
        let event = Event::CameLoose {
            stack: id,
            item,
            count,
            place,
        };
        self.emit(observer, event);
    }
}
