//! Sleep (tick rules, section 9). Whatever a sleep puts off is moved at once, when the part falls asleep, so
//! that nobody has to ask later. What a sleeper is connected to is notified that it is shut, and again when
//! it wakes.

use std::collections::BTreeSet;

use crate::engine::Engine;
use crate::engine::state::loose_items::Loose;
use crate::engine::state::takers::Flags;
use crate::engine::state::world::{ShuttlePosition, UNSURE};
use crate::event::StackId;
use crate::id::PartId;
use crate::part::{Part, Signal};

impl Engine<'_> {
    /// Puts parts to sleep that are awake, for so many ticks.
    pub(super) fn put_to_sleep(&mut self, parts: &[PartId], ticks: u64) {
        let awake_at = self.world.tick + ticks;
        let sleepers: BTreeSet<PartId> = parts.iter().copied().collect();
        for part in &sleepers {
            self.world.sleepers.add(*part, awake_at);
        }
        let is_sleeper = |part| sleepers.contains(&part);
        let is_put_off = |event| is_sleeper(self.gates.part_of(event));
        self.world.agenda.put_off(is_put_off, ticks);
        self.put_off_loose_stacks(is_sleeper, ticks);
        for part in &sleepers {
            self.suspend(*part, ticks);
        }
        for seat in self.seats_around(&sleepers) {
            self.connect_anew(seat);
        }
        self.rewire_for(&sleepers);
    }

    /// A tick is over, or more of them: wakes those that are awake from the next one on.
    pub(in crate::engine) fn wake_up(&mut self) {
        self.world.sleepers.turns_are_over();
        let awake = self.world.sleepers.take_awake(self.world.tick);
        let awake: BTreeSet<PartId> = awake.into_iter().collect();
        if awake.is_empty() {
            return;
        }
        for part in &awake {
            self.take_up(*part);
        }
        for seat in self.seats_around(&awake) {
            self.connect_anew(seat);
            self.rouse(seat);
        }
        self.rewire_for(&awake);
        self.woken = (self.world.tick, awake);
    }

    /// Whether nothing goes into a place or out of it because it sleeps, or the shuttle that is docked there.
    pub(in crate::engine) fn is_shut(&self, part: PartId) -> bool {
        let sleepers = &self.world.sleepers;
        if sleepers.is_empty() {
            return false;
        }
        let is_dock = matches!(self.network.part(part), Part::Dock);
        let docked = is_dock.then(|| self.world.docked[self.place(part)]);
        let docked = docked.flatten();
        sleepers.contains(part) || docked.is_some_and(|shuttle| sleepers.contains(shuttle))
    }

    /// Whether a loose stack lies still in this tick, because where it is sleeps. One that reaches a
    /// sleeping mouth is there from now on.
    pub(super) fn lies_still(&mut self, loose: &Loose) -> bool {
        let now = self.world.tick;
        let reaches_mouth = loose.is_on_stream && loose.arrives_at <= now;
        if !reaches_mouth {
            return self.world.sleepers.contains(loose.spot());
        }
        let Some(awake_at) = self.world.sleepers.awake_at(loose.stack.mouth) else {
            return false;
        };
        let put_off = awake_at - now;
        self.world.loose.put_off(loose.stack.id, put_off, false);
        true
    }

    /// Time stands still for a part.
    fn suspend(&mut self, part: PartId, ticks: u64) {
        let place = self.place(part);
        match self.network.part(part) {
            Part::Hopper(_) => {
                self.suspend_turns(place);
                let turns = self.turns_had(place);
                let taker = self.taker_mut(place);
                if taker.free_at > turns {
                    taker.free_at += ticks;
                }
            }
            Part::Selector(_) => {
                self.suspend_turns(place);
                let state = self.selector_state_mut(part);
                for queued in &mut state.queue {
                    queued.ready_at = queued.ready_at + ticks;
                }
                state.last_ready_at = state.last_ready_at.map(|ready_at| ready_at + ticks);
            }
            Part::Bench(_) => {
                let state = &mut self.world.benches[place];
                state.held_since = state.held_since.map(|since| since + ticks);
            }
            Part::Shuttle(_) => {
                let (ShuttlePosition::Docked { since: tick, .. }
                | ShuttlePosition::UnderWay {
                    arrives_at: tick, ..
                }) = &mut self.world.shuttles[place];
                *tick = *tick + ticks;
            }
            Part::Signal(Signal::Clock { .. }) => self.world.clocks.put_off(part, ticks),
            Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => {}
            Part::Signal(_) => self.world.signals[place].given = UNSURE,
            Part::Dock => {}
        }
    }

    fn suspend_turns(&mut self, seat: usize) {
        let after = self.after_last_turn(seat);
        let taker = self.taker_mut(seat);
        taker.flags.set(Flags::SLEEPS);
        let part = taker.part;
        self.world.sleepers.keep_last_turn(part, after);
    }

    /// Time goes on for a part. Whether it can do something is looked at in its turn.
    fn take_up(&mut self, part: PartId) {
        let place = self.place(part);
        let now = self.world.tick;
        match self.network.part(part) {
            Part::Hopper(_) | Part::Selector(_) => {
                let flags = &mut self.taker_mut(place).flags;
                flags.clear(Flags::SLEEPS);
                flags.set(Flags::IDLE);
            }
            Part::Bench(_) => {
                self.bench_checks.insert((now, part));
            }
            Part::Shuttle(_) => {
                self.shuttle_checks.insert((now, part));
            }
            Part::Dock => self.look_at_all_shuttles(),
            Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => {}
            Part::Signal(_) => {}
        }
    }

    /// The seats of the hoppers and selectors among those parts, and of all that push into one of them, draw
    /// from it, or stand at a place where one of them is docked.
    fn seats_around(&self, parts: &BTreeSet<PartId>) -> BTreeSet<usize> {
        let mut seats = BTreeSet::new();
        for part in parts {
            match self.network.part(*part) {
                Part::Hopper(_) | Part::Selector(_) => {
                    seats.insert(self.place(*part));
                }
                Part::Mouth => seats.extend(self.wiring.mouth_hoppers.of(*part)),
                Part::Shuttle(_) => seats.extend(self.seats_at_shuttle(*part)),
                Part::Container(_) | Part::Dropper(_) | Part::Stream(_) => {}
                Part::Bench(_) | Part::Dock | Part::Signal(_) => {}
            }
            let around = self.parts.neighbours(*part);
            seats.extend(around.map(|member| self.parts.neighbour(member)));
        }
        seats
    }

    fn seats_at_shuttle(&self, part: PartId) -> impl Iterator<Item = usize> {
        let around = match (
            self.network.part(part),
            self.world.shuttles[self.place(part)],
        ) {
            (Part::Shuttle(shuttle), ShuttlePosition::Docked { stop, .. }) => {
                self.parts.neighbours(shuttle.stops[stop as usize].dock)
            }
            _ => 0..0,
        };
        around.map(|member| self.parts.neighbour(member))
    }

    /// Something around this seat, or what sits there, fell asleep or has woken.
    fn connect_anew(&mut self, seat: usize) {
        let mut taker = *self.taker(seat);
        taker.connect(self.network, &self.parts, |part| self.is_shut(part));
        *self.taker_mut(seat) = taker;
        self.restate_work_of_hopper(seat);
    }

    fn rewire_for(&mut self, changed: &BTreeSet<PartId>) {
        let mut changed = changed.iter();
        if changed.any(|part| self.network.signal(*part).is_some()) {
            self.rewire();
        }
    }

    fn put_off_loose_stacks(&mut self, is_sleeper: impl Fn(PartId) -> bool, ticks: u64) {
        let lying = self.world.loose.iter();
        let lying = lying.filter(|loose| is_sleeper(loose.spot()));
        let lying: Vec<(StackId, bool)> = lying
            .map(|loose| (loose.stack.id, loose.is_on_stream))
            .collect();
        for (stack, is_on_stream) in lying {
            self.world.loose.put_off(stack, ticks, is_on_stream);
        }
    }
}
