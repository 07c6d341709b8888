//! The state of a run without its tick: what is alike here goes on alike, whenever it is.
//!
//! Every time is notified from now on, and only as far as it still matters: how old an item is that may
//! leave anyway makes no difference. Boxes count by what they hold, loose stacks by their order. What
//! has been counted so far (work, losses, deliveries) is left out, for nothing depends on it. Clocks are
//! in it by their phase. Two moments of a run that are alike have the same future, as long as no input
//! is still to come.

use super::Engine;
use super::state::agenda::Task;
use super::state::slots::Slot;
use super::state::world::ShuttlePosition;
use crate::id::PartId;
use crate::part::Part;
use crate::slot::Item;
use crate::tick::Tick;

/// Takes numbers one by one, for as long as they are wanted.
pub(super) struct Numbers<'t> {
    take: &'t mut dyn FnMut(u64) -> bool,
    is_wanted: bool,
}

impl<'t> Numbers<'t> {
    /// `take` says whether it wants another.
    pub(super) fn new(take: &'t mut dyn FnMut(u64) -> bool) -> Self {
        Self {
            take,
            is_wanted: true,
        }
    }

    fn number(&mut self, number: u64) {
        if self.is_wanted {
            self.is_wanted = (self.take)(number);
        }
    }

    fn place(&mut self, part: PartId) {
        self.number(part.index() as u64);
    }
}

impl Engine<'_> {
    pub(super) fn notify_relative(&self, numbers: &mut Numbers<'_>) {
        // First what is soon another: so a difference is mostly found before the contents are looked at.
        let now = self.world.tick;
        for (tick, clock) in self.world.clocks.iter() {
            numbers.number(tick - now);
            numbers.place(clock);
        }
        numbers.number(self.world.agenda.iter().count() as u64);
        for (tick, rank, scheduled) in self.world.agenda.iter() {
            numbers.number(tick - now);
            numbers.number(rank as u64);
            numbers.place(self.gates.part_of(*scheduled));
            let (task, level) = task_numbers(scheduled.task);
            numbers.number(task);
            numbers.number(level);
        }
        let sleepers = self.world.sleepers.iter();
        numbers.number(sleepers.len() as u64);
        for (part, awake_at) in sleepers {
            numbers.number(awake_at - now);
            numbers.place(part);
        }
        let stuck = self.world.stuck.iter();
        numbers.number(stuck.len() as u64);
        for (signal, free_at) in stuck {
            numbers.number(free_at - now);
            numbers.place(signal);
            numbers.number(self.own_level(self.place(signal)).into());
        }
        let last_turns = self.world.sleepers.last_turns();
        numbers.number(last_turns.len() as u64);
        for (taker, after) in last_turns {
            numbers.number(now.0 - after);
            numbers.place(taker);
        }
        self.notify_loose(numbers);
        for (part, definition) in self.network.parts() {
            if !numbers.is_wanted {
                return;
            }
            self.notify_part(numbers, part, definition);
        }
    }

    fn notify_part(&self, numbers: &mut Numbers<'_>, part: PartId, definition: &Part) {
        let now = self.world.tick;
        let place = self.place(part);
        match definition {
            Part::Container(_) => self.notify_slots(numbers, part),
            Part::Hopper(_) => {
                self.notify_slots(numbers, part);
                numbers.number(self.cooldown_of(place));
            }
            Part::Dropper(_) => {
                self.notify_slots(numbers, part);
                let position = self.world.droppers[place].stream_position_words;
                numbers.number(position as u64);
                numbers.number((position >> 64) as u64);
            }
            Part::Mouth | Part::Stream(_) | Part::Dock => {}
            Part::Bench(bench) => {
                let state = self.world.benches[place];
                numbers.number(state.standing.is_some().into());
                if let Some(item) = state.standing {
                    self.notify_item(numbers, item);
                }
                let held = state.held_since.map(|since| self.own_tick(part) - since);
                let enough = u64::from(bench.after_ticks) + 1;
                numbers.number(held.map_or(0, |held| 1 + held.min(enough)));
            }
            Part::Selector(selector) => {
                let state = self.selector_state(part);
                numbers.number(state.queue.len() as u64);
                for queued in &state.queue {
                    self.notify_item(numbers, queued.item);
                    numbers.number(until(queued.ready_at, now));
                }
                let interval = u64::from(selector.interval_ticks);
                let next = state.last_ready_at.map(|last| until(last + interval, now));
                numbers.number(next.unwrap_or(0));
            }
            Part::Shuttle(shuttle) => {
                self.notify_slots(numbers, part);
                let (code, stop, ticks) = match self.world.shuttles[place] {
                    ShuttlePosition::Docked { stop, since } => {
                        let dwell = u64::from(shuttle.stops[stop as usize].dwell_ticks);
                        let docked = self.own_tick(part) - since;
                        (0, stop, docked.min(dwell))
                    }
                    ShuttlePosition::UnderWay { to, arrives_at } => (1, to, until(arrives_at, now)),
                };
                numbers.number(code);
                numbers.number(stop.into());
                numbers.number(ticks);
            }
            Part::Signal(_) => numbers.number(self.level(part).into()),
        }
    }

    fn notify_slots(&self, numbers: &mut Numbers<'_>, part: PartId) {
        let inventories = &self.world.inventories;
        for slot in inventories.slots(inventories.of(part)) {
            self.notify_slot(numbers, *slot);
        }
    }

    /// There are many slots: one that holds no box is one number.
    fn notify_slot(&self, numbers: &mut Numbers<'_>, slot: Slot) {
        numbers.number(slot.goods().into());
        if slot.is_box() {
            self.notify_item(numbers, self.world.inventories.item_in(slot));
        }
    }

    fn notify_item(&self, numbers: &mut Numbers<'_>, item: Item) {
        numbers.number(item.kind.index() as u64);
        if let Some(id) = item.box_id {
            let inventories = &self.world.inventories;
            for slot in inventories.slots(inventories.of_box(id)) {
                self.notify_slot(numbers, *slot);
            }
        }
    }

    fn notify_loose(&self, numbers: &mut Numbers<'_>) {
        let now = self.world.tick;
        numbers.number(self.world.loose.iter().count() as u64);
        for loose in self.world.loose.iter() {
            let stack = loose.stack;
            self.notify_item(numbers, stack.item);
            numbers.number(stack.count.into());
            numbers.place(stack.place);
            numbers.place(stack.mouth);
            numbers.number(stack.at_rest.into());
            numbers.number(until(stack.lost_at, now));
            numbers.number(until(loose.arrives_at, now));
        }
    }
}

/// Ticks from now until then; 0 if that is over.
fn until(then: Tick, now: Tick) -> u64 {
    then.0.saturating_sub(now.0)
}

/// A number for each task, and the level that it carries.
fn task_numbers(task: Task) -> (u64, u64) {
    match task {
        Task::ButtonOff => (0, 0),
        Task::Repeat => (1, 0),
        Task::Evaluate => (2, 0),
        Task::PulseBegins => (3, 0),
        Task::PulseEnds => (4, 0),
        Task::HoldOff => (5, 0),
        Task::Flip => (6, 0),
        Task::Arrive { level } => (7, level.into()),
        Task::Fire => (8, 0),
    }
}
