//! Phase 2: scheduled signal events, and how a change runs through the network (tick rules,
//! section 3).

use crate::engine::Engine;
use crate::engine::state::agenda::{
    EARLY_PRIORITY, PRIORITY, REPEATER_OFF_PRIORITY, Scheduled, Task,
};
use crate::engine::tables::gates::{Gate, Readers, Rule};
use crate::engine::tables::wiring::{Links, Role};
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::Signal;
use crate::tick::{Phase, Tick};

/// The level of a signal that is fully on.
pub(in crate::engine) const ON: u8 = 15;

/// One signal's change on its way to the signals that read it.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Ripple {
    was: u8,
    now: u8,
    /// Those that have not been notified yet.
    readers: Readers,
}

impl Ripple {
    /// One that has notified all.
    const ENDED: Self = Self {
        was: 0,
        now: 0,
        readers: Readers { next: 0, end: 0 },
    };

    fn has_ended(&self) -> bool {
        self.readers.next >= self.readers.end
    }
}

impl Engine<'_> {
    /// Phase 2. Takes what is due from the agenda, in its order.
    pub(in crate::engine) fn run_signals<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Signals;
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
        if task == Task::Clock {
            self.schedule_clock_change(part);
        } else {
            self.world.signals[place].pending -= 1;
        }
        let level = match task {
            Task::Evaluate => self.level_from_inputs(place),
            Task::Clock => self.level_at(part, self.world.tick),
            Task::ButtonOff | Task::HoldOff | Task::PulseEnds => 0,
            Task::Repeat => self.repeat(part),
            Task::PulseBegins => {
                let pulse = self.network.rules().observer_pulse_ticks;
                self.schedule(part, pulse, PRIORITY, Task::PulseEnds);
                ON
            }
            Task::Flip => ON - self.level(part),
            Task::Arrive { level } => level,
            Task::Fire => unreachable!("handled above"),
        };
        self.set_level(place, level, observer);
    }

    /// A repeater's event: the level it takes. It schedules its turning off before its change runs
    /// on.
    fn repeat(&mut self, repeater: PartId) -> u8 {
        let level = self.level(repeater);
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
                self.schedule(repeater, *delay_ticks, REPEATER_OFF_PRIORITY, Task::Repeat);
            }
            ON
        }
    }

    pub(in crate::engine) fn level(&self, signal: PartId) -> u8 {
        self.world.signals[self.place(signal)].level
    }

    pub(in crate::engine) fn is_on(&self, signal: PartId) -> bool {
        self.level(signal) > 0
    }

    /// Schedules an event of a signal's own.
    pub(in crate::engine) fn schedule(
        &mut self,
        part: PartId,
        delay_ticks: u32,
        priority: i8,
        task: Task,
    ) {
        let place = self.place(part);
        self.world.signals[place].pending += 1;
        let due = self.world.tick + u64::from(delay_ticks);
        self.world.agenda.schedule(due, priority, part, task);
    }

    /// Schedules the next change of a clock after this tick, if there will be one.
    pub(in crate::engine) fn schedule_clock_change(&mut self, clock: PartId) {
        let Some(&Signal::Clock {
            period_ticks,
            high_ticks,
            phase_ticks,
        }) = self.network.signal(clock)
        else {
            return;
        };
        if high_ticks == 0 || high_ticks >= period_ticks {
            return;
        }
        let within = clock_position(self.world.tick, period_ticks, phase_ticks);
        let until = if within < high_ticks {
            high_ticks - within
        } else {
            period_ticks - within
        };
        self.world
            .agenda
            .schedule_clock(self.world.tick + u64::from(until), clock);
    }

    /// The level of a clock at a tick.
    pub(in crate::engine) fn level_at(&self, clock: PartId, tick: Tick) -> u8 {
        match self.network.signal(clock) {
            Some(&Signal::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            }) => {
                let is_high = clock_position(tick, period_ticks, phase_ticks) < high_ticks;
                if is_high { ON } else { 0 }
            }
            _ => self.level(clock),
        }
    }

    /// Gives a signal, by its place, a level and lets the change run through everything without delay,
    /// depth first, in the order of the rules.
    pub(in crate::engine) fn set_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) {
        debug_assert!(self.ripples.is_empty(), "one change runs at a time");
        let mut ripple = self.change_level(signal, level, observer);
        loop {
            while !ripple.has_ended() {
                let member = ripple.readers.next as usize;
                ripple.readers.next += 1;
                if self.ripples.is_empty() && self.is_lost_on(member, &ripple) {
                    continue;
                }
                let reader = self.wiring.signals.place(member);
                let Some(level) = self.input_changed(reader, ripple.was, ripple.now) else {
                    continue;
                };
                let inner = self.change_level(reader, level, observer);
                if !inner.has_ended() {
                    self.ripples.push(std::mem::replace(&mut ripple, inner));
                }
            }
            let Some(outer) = self.ripples.pop() else {
                return;
            };
            ripple = outer;
        }
    }

    /// Whether a change is too low for one that reads it to notice. That it need not be notified is sure
    /// only of the first signal of a wave: later ones may find others changed that have not notified it yet.
    fn is_lost_on(&self, member: usize, ripple: &Ripple) -> bool {
        let loss = self.wiring.signals.loss(member);
        ripple.was.saturating_sub(loss) == ripple.now.saturating_sub(loss)
    }

    /// Changes a level, notifies observers, locks and droppers; gives the ripple to its readers, which has
    /// ended already if nothing has changed.
    #[inline]
    fn change_level<O: Observer + ?Sized>(
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
        self.run_on(signal, was, level, observer)
    }

    /// What a change of level does.
    fn run_on<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        was: u8,
        now: u8,
        observer: &mut O,
    ) -> Ripple {
        let &Gate {
            part,
            readers,
            has_more_to_tell,
            ..
        } = self.gates.of(signal);
        let event = Event::SignalChanged {
            signal: part,
            level: now,
        };
        self.emit(observer, event);
        if has_more_to_tell {
            let links = self.wiring.signals.of(signal);
            for member in links.range(Role::Observes) {
                self.start_pulse(self.wiring.signals.place(member));
            }
            if (was > 0) != (now > 0) {
                self.switch(links, now > 0, observer);
            }
        }
        Ripple { was, now, readers }
    }

    /// A signal went on or off: locks, triggers, and what it lifts or releases.
    fn switch<O: Observer + ?Sized>(&mut self, links: Links, is_on: bool, observer: &mut O) {
        for role in [Role::LocksHopper, Role::LocksSelector] {
            for member in links.range(role) {
                self.set_lock(self.wiring.signals.place(member), is_on, observer);
            }
        }
        for member in links.range(Role::Triggers) {
            let dropper = self.wiring.signals.part(member);
            if is_on {
                self.trigger(dropper);
            }
            for member in self.wiring.trigger_observers.range(dropper) {
                self.start_pulse(self.wiring.trigger_observers.member(member));
            }
        }
        for member in links.range(Role::Releases) {
            self.release_changed(self.wiring.signals.part(member));
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
        if state.pending == 0 && state.level == 0 {
            let delay = self.network.rules().signal_delay_ticks;
            let part = self.gates.of(observer).part;
            self.schedule(part, delay, PRIORITY, Task::PulseBegins);
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
            Rule::Wire(inputs) => return Some(self.wire_level(inputs)),
            Rule::Hold { .. } if rises => {
                if self.world.agenda.forget_hold(part) {
                    self.world.signals[signal].pending -= 1;
                }
                return Some(ON);
            }
            Rule::Hold { .. } if !falls => {}
            Rule::Hold { .. } => {
                if let Some(Signal::Hold { hold_ticks, .. }) = self.network.signal(part) {
                    self.schedule(part, *hold_ticks, PRIORITY, Task::HoldOff);
                }
            }
            Rule::DelayLine { .. } => {
                if let Some(Signal::DelayLine { delay_ticks, .. }) = self.network.signal(part) {
                    let task = Task::Arrive { level: now };
                    self.schedule(part, *delay_ticks, EARLY_PRIORITY, task);
                }
            }
            Rule::Toggle => {
                if rises && self.world.signals[signal].pending == 0 {
                    let delay = self.network.rules().signal_delay_ticks;
                    self.schedule(part, delay, PRIORITY, Task::Flip);
                }
            }
            Rule::Repeater { .. }
            | Rule::ReadInventory { .. }
            | Rule::ReadSignal { .. }
            | Rule::Inverter { .. }
            | Rule::Latch { .. }
            | Rule::AllOf(_)
            | Rule::NoneOf(_) => self.look_again(signal),
            Rule::Own => unreachable!("a signal that no input decides reads none"),
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
        let &Gate { part, rule, .. } = self.gates.of(signal);
        if let Rule::Repeater { .. } = rule {
            self.repeater_looks_again(part, state.level);
        } else if self.level_from_inputs(signal) != state.level {
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(part, delay, PRIORITY, Task::Evaluate);
        }
    }

    fn repeater_looks_again(&mut self, repeater: PartId, level: u8) {
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
            let priority = if input_on {
                EARLY_PRIORITY
            } else {
                REPEATER_OFF_PRIORITY
            };
            self.schedule(repeater, *delay_ticks, priority, Task::Repeat);
        }
    }
}

/// How far into its period a clock is at a tick.
fn clock_position(tick: Tick, period_ticks: u32, phase_ticks: i64) -> u32 {
    let position = (i128::from(tick.0) - i128::from(phase_ticks)).rem_euclid(period_ticks.into());
    u32::try_from(position).expect("less than the period")
}
