//! The portable digest of a state: `docs/look-up/digest.md` says what goes into it.

use super::Engine;
use super::state::agenda::Task;
use super::state::slots::Slot;
use super::state::world::ShuttlePosition;
use crate::fnv::Fnv64;
use crate::id::PartId;
use crate::part::Part;
use crate::slot::{BOX_SLOTS, Item};
use crate::tick::Tick;

impl Engine<'_> {
    pub(super) fn digest(&self) -> u64 {
        let mut hash = Fnv64::default();
        hash.number(self.world.tick.0);
        for (part, definition) in self.network.parts() {
            self.hash_part(&mut hash, part, definition);
        }
        self.hash_loose_stacks(&mut hash);
        self.hash_agenda(&mut hash);
        let totals = &self.world.totals;
        for kind in 0..self.network.kinds().len() {
            hash.number(totals.lost[kind]);
            hash.number(totals.delivered[kind]);
            hash.number(totals.withdrawn[kind]);
        }
        hash.number(self.world.loose.next_id);
        self.hash_waiting(&mut hash);
        self.hash_sleep(&mut hash);
        self.hash_stuck(&mut hash);
        hash.value()
    }

    fn hash_part(&self, hash: &mut Fnv64, part: PartId, definition: &Part) {
        let place = self.place(part);
        match definition {
            Part::Container(_) => self.hash_slots(hash, part),
            Part::Hopper(_) => {
                self.hash_slots(hash, part);
                hash.number(self.cooldown_of(place));
                hash.number(self.work_units_of(place));
            }
            Part::Dropper(_) => {
                self.hash_slots(hash, part);
                let position = self.world.droppers[place].stream_position_words;
                hash.number(position as u64);
                hash.number((position >> 64) as u64);
            }
            Part::Mouth | Part::Stream(_) | Part::Dock => {}
            Part::Bench(_) => {
                let state = self.world.benches[place];
                hash.number(state.standing.is_some().into());
                if let Some(item) = state.standing {
                    self.hash_item(hash, item);
                    let now = self.own_tick(part);
                    hash.number(state.held_since.map_or(0, |since| now - since));
                }
            }
            Part::Selector(_) => self.hash_selector(hash, part),
            Part::Shuttle(_) => self.hash_shuttle(hash, part),
            Part::Signal(_) => hash.number(self.level(part).into()),
        }
    }

    fn hash_slots(&self, hash: &mut Fnv64, part: PartId) {
        let inventories = &self.world.inventories;
        for slot in inventories.slots(inventories.of(part)) {
            self.hash_slot(hash, *slot);
        }
    }

    fn hash_slot(&self, hash: &mut Fnv64, slot: Slot) {
        hash.number(slot.count().into());
        if !slot.is_empty() {
            self.hash_item(hash, self.world.inventories.item_in(slot));
        }
    }

    fn hash_item(&self, hash: &mut Fnv64, item: Item) {
        hash.number(item.kind.index() as u64 + 1);
        if let Some(id) = item.box_id {
            let inventories = &self.world.inventories;
            for slot in inventories.slots(inventories.of_box(id)) {
                self.hash_slot(hash, *slot);
            }
        }
    }

    fn hash_selector(&self, hash: &mut Fnv64, part: PartId) {
        let state = self.selector_state(part);
        hash.number(state.queue.len() as u64);
        for queued in &state.queue {
            self.hash_item(hash, queued.item);
            hash.number(queued.ready_at.0);
        }
        hash.number(state.last_ready_at.map_or(0, |Tick(tick)| tick + 1));
    }

    fn hash_shuttle(&self, hash: &mut Fnv64, part: PartId) {
        self.hash_slots(hash, part);
        let (code, stop, tick) = match self.world.shuttles[self.place(part)] {
            ShuttlePosition::Docked { stop, since } => (0, stop, since),
            ShuttlePosition::UnderWay { to, arrives_at } => (1, to, arrives_at),
        };
        hash.number(code);
        hash.number(stop.into());
        hash.number(tick.0);
    }

    fn hash_loose_stacks(&self, hash: &mut Fnv64) {
        let despawn = u64::from(self.network.rules().despawn_ticks);
        hash.number(self.world.loose.iter().count() as u64);
        for loose in self.world.loose.iter() {
            let stack = loose.stack;
            hash.number(stack.id.0);
            self.hash_item(hash, stack.item);
            hash.number(stack.count.into());
            hash.number(stack.place.index() as u64);
            let now = self.own_tick(loose.spot());
            hash.number(despawn + now.0 - 1 - stack.lost_at.0);
            hash.number(stack.at_rest.into());
        }
    }

    /// What waits at its place; nothing at all if nothing does.
    fn hash_waiting(&self, hash: &mut Fnv64) {
        let waiting = || self.world.landings.iter();
        let count = waiting().count();
        if count > 0 {
            hash.number(count as u64);
        }
        for (place, waiting) in waiting() {
            hash.number(place.index() as u64);
            hash.number(waiting.count.into());
            hash.number(waiting.kind.index() as u64 + 1);
            if self.network.kind(waiting.kind).is_box {
                let mut slots = [(0, 0); BOX_SLOTS as usize];
                for inner in &waiting.contents {
                    let kind = inner.kind.index() as u64 + 1;
                    slots[usize::from(inner.slot)] = (inner.count.into(), kind);
                }
                for (count, kind) in slots {
                    hash.number(count);
                    if count > 0 {
                        hash.number(kind);
                    }
                }
            }
            hash.number(waiting.terms.waits.into());
            let gate = waiting.terms.while_on;
            hash.number(gate.map_or(0, |gate| gate.index() as u64 + 1));
        }
    }

    /// Who sleeps, and for how long clocks have slept; nothing at all if nobody does and none has.
    fn hash_sleep(&self, hash: &mut Fnv64) {
        let sleepers = self.world.sleepers.iter();
        let sleepers = sleepers.map(|(part, awake_at)| (part, awake_at.0));
        hash_list(hash, sleepers);
        hash_list(hash, self.world.clocks.sleepers());
    }

    /// Which signals are stuck, until when, and what each goes by itself; nothing at all if none is.
    fn hash_stuck(&self, hash: &mut Fnv64) {
        let stuck = self.world.stuck.iter();
        hash_list(hash, stuck.map(|(signal, free_at)| (signal, free_at.0)));
        for (signal, _) in self.world.stuck.iter() {
            hash.number(self.own_level(self.place(signal)).into());
        }
    }

    fn hash_agenda(&self, hash: &mut Fnv64) {
        let events = || self.world.agenda.iter();
        hash.number(events().count() as u64);
        for (tick, rank, scheduled) in events() {
            hash.number(tick.0);
            hash.number(rank as u64);
            hash.number(self.gates.part_of(*scheduled).index() as u64);
            hash.number(match scheduled.task {
                Task::Arrive { level } => level.into(),
                Task::ButtonOff
                | Task::Repeat
                | Task::Evaluate
                | Task::PulseBegins
                | Task::PulseEnds
                | Task::HoldOff
                | Task::Flip
                | Task::Fire => 0,
            });
        }
    }
}

/// How many parts with a number each, and these; nothing at all if there are none.
fn hash_list(hash: &mut Fnv64, list: impl ExactSizeIterator<Item = (PartId, u64)>) {
    if list.len() > 0 {
        hash.number(list.len() as u64);
    }
    for (part, number) in list {
        hash.number(part.index() as u64);
        hash.number(number);
    }
}
