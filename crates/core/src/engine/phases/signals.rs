//! Phase 2: scheduled signal events, and how a change runs through the network (tick rules,
//! section 3).

use crate::engine::Engine;
use crate::engine::state::agenda::{EventRank, Scheduled, Task};
use crate::engine::tables::concerned::{Member, Role};
use crate::engine::tables::gates::{Gate, Members, Rule};
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::Signal;
use crate::tick::Phase;

/// The level of a signal that is fully on.
pub(in crate::engine) const ON: u8 = 15;

/// One signal's change on its way to those that it concerns.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Ripple {
    was: u8,
    now: u8,
    /// Those that have not been notified yet.
    members: Members,
}

impl Ripple {
    /// One that has notified all.
    const ENDED: Self = Self {
        was: 0,
        now: 0,
        members: Members { next: 0, end: 0 },
    };

    fn has_ended(&self) -> bool {
        self.members.next >= self.members.end
    }
}

impl Engine<'_> {
    /// Phase 2. Clocks, then what is due from the agenda, in its order.
    pub(in crate::engine) fn run_signals<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Signals;
        while let Some(clock) = self.world.clocks.take_due(self.world.tick) {
            self.change_clock(clock, observer);
        }
        while let Some(scheduled) = self.world.agenda.take_due() {
            self.run_scheduled(scheduled, observer);
        }
    }

    fn run_scheduled<O: Observer + ?Sized>(&mut self, scheduled: Scheduled, observer: &mut O) {
        let Scheduled { part, task } = scheduled;
        let place = self.place(part);
        if task == Task::Fire {
            self.world.droppers[place].is_pending = false;
            self.fire(part, observer);
            return;
        }
        self.world.signals[place].pending -= 1;
        let level = match task {
            Task::Evaluate => self.level_from_inputs(place),
            Task::ButtonOff | Task::HoldOff | Task::PulseEnds => 0,
            Task::Repeat => self.repeat(part, self.own_level(place)),
            Task::PulseBegins => {
                let pulse = self.network.rules().observer_pulse_ticks;
                self.schedule(place, pulse, EventRank::Last, Task::PulseEnds);
                ON
            }
            Task::Flip => ON - self.own_level(place),
            Task::Arrive { level } => level,
            Task::Fire => unreachable!("handled above"),
        };
        self.set_level(place, level, observer);
    }

    /// The event of a repeater with this level of its own: the level it takes. It schedules its turning
    /// off before its change runs on.
    fn repeat(&mut self, repeater: PartId, level: u8) -> u8 {
        let Some(Signal::Repeater {
            input,
            delay_ticks,
            lock,
        }) = self.network.signal(repeater)
        else {
            return level;
        };
        let input_on = self.is_on(*input);
        if lock.is_some_and(|lock| self.is_on(lock)) {
            level
        } else if level > 0 {
            if input_on { level } else { 0 }
        } else {
            if !input_on {
                // Of the second rank, whatever the repeater feeds.
                let place = self.place(repeater);
                self.schedule(place, *delay_ticks, EventRank::Second, Task::Repeat);
            }
            ON
        }
    }

    pub(in crate::engine) fn level(&self, signal: PartId) -> u8 {
        self.world.signals[self.place(signal)].level
    }

    /// What a signal, by its place, goes by itself: the level that it would show if it were not stuck.
    pub(in crate::engine) fn own_level(&self, place: usize) -> u8 {
        self.world.signals[place].own_level
    }

    pub(in crate::engine) fn is_on(&self, signal: PartId) -> bool {
        self.level(signal) > 0
    }

    /// Schedules an event of a signal's own, by its place.
    #[inline]
    pub(in crate::engine) fn schedule(
        &mut self,
        signal: usize,
        delay_ticks: u32,
        rank: EventRank,
        task: Task,
    ) {
        self.world.signals[signal].pending += 1;
        let due = self.world.tick + u64::from(delay_ticks);
        let part = self.gates.of(signal).part;
        self.world.agenda.schedule(due, rank, part, task);
    }

    /// Gives a signal, by its place, a level and lets the change run through everything without delay,
    /// depth first, in the order of the rules.
    pub(in crate::engine) fn set_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) {
        let ripple = self.change_level(signal, level, observer);
        self.run_on(ripple, observer);
    }

    /// As [`Self::set_level`], of what others see alone.
    pub(super) fn show_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) {
        let ripple = self.change_shown_level(signal, level, observer);
        self.run_on(ripple, observer);
    }

    fn run_on<O: Observer + ?Sized>(&mut self, mut ripple: Ripple, observer: &mut O) {
        debug_assert!(self.ripples.is_empty(), "one change runs at a time");
        loop {
            while !ripple.has_ended() {
                let member = self.wiring.signals.member(ripple.members.next as usize);
                ripple.members.next += 1;
                let level = match member.role {
                    Role::Carries => self.level_of_wire(member, &ripple),
                    Role::Reads => self.input_changed(member.place(), ripple.was, ripple.now),
                    Role::ObservesLevel
                    | Role::ObservesSwitch
                    | Role::Locked
                    | Role::Triggered
                    | Role::Released => {
                        self.notify(member, ripple.was, ripple.now, observer);
                        None
                    }
                };
                if let Some(level) = level {
                    let inner = self.change_level(member.place(), level, observer);
                    if !inner.has_ended() {
                        self.ripples.push(std::mem::replace(&mut ripple, inner));
                    }
                }
            }
            let Some(outer) = self.ripples.pop() else {
                return;
            };
            ripple = outer;
        }
    }

    /// The level that a wire takes when an input of it changes; `None` if this makes no difference to it.
    #[inline(always)]
    fn level_of_wire(&self, wire: Member, ripple: &Ripple) -> Option<u8> {
        let place = wire.place();
        // Only the first signal of a wave is sure to be the only one that has changed. And a wire that slept may
        // have missed a change, which it notices at the next, whatever that is.
        let is_alone = self.ripples.is_empty() && !self.world.sleepers.has_woken();
        if is_alone && !wire.is_behind {
            if ripple.was.max(ripple.now) <= wire.loss {
                return None;
            }
            let level = self.world.signals[place].own_level;
            let now = ripple.now.saturating_sub(wire.loss);
            if now >= level {
                return Some(now);
            }
            if ripple.was.saturating_sub(wire.loss) < level {
                return None;
            }
        }
        let Rule::Wire(inputs) = self.gates.of(place).rule else {
            unreachable!("only wires carry")
        };
        Some(self.wire_level(inputs))
    }

    /// Changes the level of a signal, by its place; gives the ripple to those that this concerns, which has
    /// ended already if nothing has changed. Of one that is stuck nobody sees it.
    #[inline]
    fn change_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) -> Ripple {
        let state = &mut self.world.signals[signal];
        state.own_level = level;
        if state.is_stuck {
            return Ripple::ENDED;
        }
        self.change_shown_level(signal, level, observer)
    }

    #[inline]
    fn change_shown_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) -> Ripple {
        let state = &mut self.world.signals[signal];
        if state.level == level {
            return Ripple::ENDED;
        }
        let was = std::mem::replace(&mut state.level, level);
        let &Gate { part, members, .. } = self.gates.of(signal);
        let event = Event::SignalChanged {
            signal: part,
            level,
        };
        self.emit(observer, event);
        Ripple {
            was,
            now: level,
            members,
        }
    }

    /// Tells one that is no signal that reads it of a signal's change.
    fn notify<O: Observer + ?Sized>(&mut self, member: Member, was: u8, now: u8, observer: &mut O) {
        let is_on = now > 0;
        if member.role == Role::ObservesLevel {
            self.start_pulse(member.place());
            return;
        }
        if (was > 0) == is_on {
            return;
        }
        match member.role {
            Role::ObservesSwitch | Role::ObservesLevel => self.start_pulse(member.place()),
            Role::Locked => self.set_lock(member.place(), is_on, observer),
            Role::Triggered => self.trigger_changed(member.part(), is_on),
            Role::Released => self.release_changed(member.part()),
            Role::Reads | Role::Carries => {
                unreachable!("one that reads is notified of its input")
            }
        }
    }

    fn trigger_changed(&mut self, dropper: PartId, is_on: bool) {
        if is_on {
            self.trigger(dropper);
        }
        for member in self.wiring.trigger_observers.range(dropper) {
            self.start_pulse(self.wiring.trigger_observers.member(member));
        }
    }

    fn set_lock<O: Observer + ?Sized>(&mut self, seat: usize, is_on: bool, observer: &mut O) {
        self.lock_changed(seat, is_on);
        let part = self.taker(seat).part;
        let event = if is_on {
            Event::Locked { part }
        } else {
            Event::Unlocked { part }
        };
        self.emit(observer, event);
        for member in self.wiring.lock_observers.range(part) {
            self.start_pulse(self.wiring.lock_observers.member(member));
        }
    }

    /// What an observer, by its place, watches has changed: an idle one begins a pulse.
    pub(in crate::engine) fn start_pulse(&mut self, observer: usize) {
        let state = self.world.signals[observer];
        if state.pending == 0 && state.own_level == 0 {
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(observer, delay, EventRank::Last, Task::PulseBegins);
        }
    }

    /// An input of a signal went from one level to another. Schedules what follows; what follows at
    /// once is returned as the level to take.
    #[inline(always)]
    fn input_changed(&mut self, signal: usize, was: u8, now: u8) -> Option<u8> {
        let &Gate { part, rule, .. } = self.gates.of(signal);
        let rises = was == 0 && now > 0;
        let falls = was > 0 && now == 0;
        match rule {
            Rule::Hold { .. } if rises => {
                let forgotten = self.world.agenda.forget_hold(part);
                self.world.signals[signal].pending -= forgotten;
                return Some(ON);
            }
            Rule::Hold { .. } if !falls => {}
            Rule::Hold { .. } => {
                if let Some(Signal::Hold { hold_ticks, .. }) = self.network.signal(part) {
                    self.schedule(signal, *hold_ticks, EventRank::Last, Task::HoldOff);
                }
            }
            Rule::DelayLine { .. } => {
                if let Some(Signal::DelayLine { delay_ticks, .. }) = self.network.signal(part) {
                    let task = Task::Arrive { level: now };
                    self.schedule(signal, *delay_ticks, EventRank::Third, task);
                }
            }
            Rule::Toggle => {
                if rises && self.world.signals[signal].pending == 0 {
                    let delay = self.network.rules().signal_delay_ticks;
                    self.schedule(signal, delay, EventRank::Last, Task::Flip);
                }
            }
            Rule::Repeater { .. }
            | Rule::ReadHopper { .. }
            | Rule::ReadInventory { .. }
            | Rule::ReadSignal { .. }
            | Rule::Inverter { .. }
            | Rule::Latch { .. }
            | Rule::AllOf(_)
            | Rule::NoneOf(_) => self.look_again(signal),
            Rule::Own | Rule::Wire(_) => {
                unreachable!("a signal that no input decides reads none, and a wire carries")
            }
        }
        None
    }

    /// A repeater, comparator, inverter, latch, all of or none of, by its place, compares its output to
    /// what its inputs give now, and schedules an event if they differ and none is pending.
    pub(in crate::engine) fn look_again(&mut self, signal: usize) {
        let state = self.world.signals[signal];
        if state.pending > 0 {
            return;
        }
        let &Gate {
            part, rule, feeds, ..
        } = self.gates.of(signal);
        if let Rule::Repeater { .. } = rule {
            self.repeater_looks_again(part, state.own_level, feeds);
        } else if self.level_by_rule(signal, rule) != state.own_level {
            let rank = if feeds && rule.is_comparator() {
                EventRank::Third
            } else {
                EventRank::Last
            };
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(signal, delay, rank, Task::Evaluate);
        }
    }

    fn repeater_looks_again(&mut self, repeater: PartId, level: u8, feeds: bool) {
        let Some(Signal::Repeater {
            input,
            delay_ticks,
            lock,
        }) = self.network.signal(repeater)
        else {
            return;
        };
        let is_locked = lock.is_some_and(|lock| self.is_on(lock));
        let input_on = self.is_on(*input);
        if !is_locked && input_on != (level > 0) {
            let rank = match (feeds, input_on) {
                (true, _) => EventRank::First,
                (false, false) => EventRank::Second,
                (false, true) => EventRank::Third,
            };
            self.schedule(self.place(repeater), *delay_ticks, rank, Task::Repeat);
        }
    }
}
