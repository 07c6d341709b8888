//! Phase 2: scheduled signal events, and how a change runs through the network (tick rules,
//! section 3).

use super::Engine;
use super::agenda::{EARLY_PRIORITY, PRIORITY, REPEATER_OFF_PRIORITY, Scheduled, Task};
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::{ComparatorMode, Rear, Signal};
use crate::tick::{Phase, Tick};

/// The level of a signal that is fully on.
pub(super) const ON: u8 = 15;

/// One signal's change on its way to the signals that read it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ripple {
    was: u8,
    now: u8,
    /// The readers that have not been told yet, as places in the wiring's list.
    next_reader: usize,
    end: usize,
}

impl Engine<'_> {
    /// Phase 2. Takes what is due from the agenda, in its order.
    pub(super) fn run_signals<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Signals;
        while let Some(scheduled) = self.world.agenda.take_due() {
            self.run_scheduled(scheduled, observer);
        }
    }

    fn run_scheduled<O: Observer + ?Sized>(&mut self, scheduled: Scheduled, observer: &mut O) {
        let Scheduled { part, task } = scheduled;
        if task == Task::Fire {
            let place = self.place(part);
            self.world.droppers[place].is_pending = false;
            self.fire(part, observer);
            return;
        }
        if task == Task::Clock {
            self.schedule_clock_change(part);
        } else {
            let place = self.place(part);
            self.world.signals[place].pending -= 1;
        }
        let level = match task {
            Task::Clock => self.level_at(part, self.world.tick),
            Task::ButtonOff | Task::HoldOff | Task::PulseEnds => 0,
            Task::Evaluate => self.level_from_inputs(part),
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
        self.set_level(part, level, observer);
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

    pub(super) fn level(&self, signal: PartId) -> u8 {
        self.world.signals[self.place(signal)].level
    }

    pub(super) fn is_on(&self, signal: PartId) -> bool {
        self.level(signal) > 0
    }

    /// Schedules an event of a signal's own.
    pub(super) fn schedule(&mut self, part: PartId, delay_ticks: u32, priority: i8, task: Task) {
        let place = self.place(part);
        self.world.signals[place].pending += 1;
        let due = self.world.tick + u64::from(delay_ticks);
        self.world.agenda.schedule(due, priority, part, task);
    }

    /// Schedules the next change of a clock after this tick, if there will be one.
    pub(super) fn schedule_clock_change(&mut self, clock: PartId) {
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
    pub(super) fn level_at(&self, clock: PartId, tick: Tick) -> u8 {
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

    /// Gives a signal a level and lets the change run through everything without delay, depth first,
    /// in the order of the rules.
    pub(super) fn set_level<O: Observer + ?Sized>(
        &mut self,
        signal: PartId,
        level: u8,
        observer: &mut O,
    ) {
        debug_assert!(self.ripples.is_empty(), "one change runs at a time");
        self.change_level(signal, level, observer);
        while let Some(ripple) = self.ripples.last_mut() {
            if ripple.next_reader == ripple.end {
                self.ripples.pop();
                continue;
            }
            let reader = self.wiring.signal_readers.member(ripple.next_reader);
            ripple.next_reader += 1;
            let (was, now) = (ripple.was, ripple.now);
            if let Some(level) = self.input_changed(reader, was, now) {
                self.change_level(reader, level, observer);
            }
        }
    }

    /// Changes a level, tells observers, locks and droppers, and starts a ripple to its readers.
    fn change_level<O: Observer + ?Sized>(&mut self, signal: PartId, level: u8, observer: &mut O) {
        let place = self.place(signal);
        let was = std::mem::replace(&mut self.world.signals[place].level, level);
        if was == level {
            return;
        }
        self.emit(observer, Event::SignalChanged { signal, level });
        for place in self.wiring.signal_observers.range(signal) {
            let watching = self.wiring.signal_observers.member(place);
            self.start_pulse(watching);
        }
        if (was > 0) != (level > 0) {
            self.switch(signal, level > 0, observer);
        }
        let readers = self.wiring.signal_readers.range(signal);
        if !readers.is_empty() {
            let (next_reader, end) = (readers.start, readers.end);
            self.ripples.push(Ripple {
                was,
                now: level,
                next_reader,
                end,
            });
        }
    }

    /// A signal went on or off: locks, triggers, and what it lifts or releases.
    fn switch<O: Observer + ?Sized>(&mut self, signal: PartId, is_on: bool, observer: &mut O) {
        for place in self.wiring.locked_hoppers.range(signal) {
            self.set_lock(self.wiring.locked_hoppers.member(place), is_on, observer);
        }
        for place in self.wiring.locked_selectors.range(signal) {
            self.set_lock(self.wiring.locked_selectors.member(place), is_on, observer);
        }
        for place in self.wiring.triggered.range(signal) {
            let dropper = self.wiring.triggered.member(place);
            if is_on {
                self.trigger(dropper);
            }
            for place in self.wiring.trigger_observers.range(dropper) {
                let watching = self.wiring.trigger_observers.member(place);
                self.start_pulse(watching);
            }
        }
        for place in self.wiring.released.range(signal) {
            self.release_changed(self.wiring.released.member(place));
        }
    }

    fn set_lock<O: Observer + ?Sized>(&mut self, part: PartId, is_on: bool, observer: &mut O) {
        self.lock_changed(part, is_on);
        let event = if is_on {
            Event::Locked { part }
        } else {
            Event::Unlocked { part }
        };
        self.emit(observer, event);
        for place in self.wiring.lock_observers.range(part) {
            let watching = self.wiring.lock_observers.member(place);
            self.start_pulse(watching);
        }
    }

    /// What an observer watches has changed: an idle one begins a pulse.
    pub(super) fn start_pulse(&mut self, observer: PartId) {
        let state = self.world.signals[self.place(observer)];
        if state.pending == 0 && state.level == 0 {
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(observer, delay, PRIORITY, Task::PulseBegins);
        }
    }

    /// An input of a signal went from one level to another. Schedules what follows; what follows at
    /// once is returned as the level to take.
    fn input_changed(&mut self, signal: PartId, was: u8, now: u8) -> Option<u8> {
        let network = self.network;
        let rises = was == 0 && now > 0;
        let falls = was > 0 && now == 0;
        match network.signal(signal)? {
            Signal::Wire { .. } => Some(self.level_from_inputs(signal)),
            Signal::Hold { hold_ticks, .. } => {
                if rises {
                    let place = self.place(signal);
                    if self.world.agenda.forget_hold(signal) {
                        self.world.signals[place].pending -= 1;
                    }
                    return Some(ON);
                }
                if falls {
                    self.schedule(signal, *hold_ticks, PRIORITY, Task::HoldOff);
                }
                None
            }
            Signal::DelayLine { delay_ticks, .. } => {
                self.schedule(
                    signal,
                    *delay_ticks,
                    EARLY_PRIORITY,
                    Task::Arrive { level: now },
                );
                None
            }
            Signal::Toggle { .. } => {
                if rises && self.world.signals[self.place(signal)].pending == 0 {
                    let delay = network.rules().signal_delay_ticks;
                    self.schedule(signal, delay, PRIORITY, Task::Flip);
                }
                None
            }
            _ => {
                self.look_again(signal);
                None
            }
        }
    }

    /// A repeater, comparator, inverter, latch, all of or none of compares its output to what its
    /// inputs give now, and schedules an event if they differ and none is pending.
    pub(super) fn look_again(&mut self, signal: PartId) {
        let state = self.world.signals[self.place(signal)];
        if state.pending > 0 {
            return;
        }
        let network = self.network;
        if let Some(Signal::Repeater {
            input,
            delay_ticks,
            lock,
        }) = network.signal(signal)
        {
            let is_locked = lock.is_some_and(|lock| self.is_on(lock));
            let input_on = self.is_on(*input);
            if !is_locked && input_on != (state.level > 0) {
                let priority = if input_on {
                    EARLY_PRIORITY
                } else {
                    REPEATER_OFF_PRIORITY
                };
                self.schedule(signal, *delay_ticks, priority, Task::Repeat);
            }
        } else if self.level_from_inputs(signal) != state.level {
            self.schedule(
                signal,
                network.rules().signal_delay_ticks,
                PRIORITY,
                Task::Evaluate,
            );
        }
    }

    /// The level that a signal's inputs give now. For those that inputs do not decide alone (levers,
    /// buttons, clocks, toggles, observers) it is the level they have.
    pub(super) fn level_from_inputs(&self, signal: PartId) -> u8 {
        let level = self.level(signal);
        let on_if = |is_on: bool| if is_on { ON } else { 0 };
        let Some(definition) = self.network.signal(signal) else {
            return level;
        };
        match definition {
            Signal::Wire { inputs } => inputs
                .iter()
                .map(|(input, loss)| self.level(*input).saturating_sub(*loss))
                .max()
                .unwrap_or(0),
            Signal::Comparator { rear, side, mode } => {
                let rear = match rear {
                    Rear::Inventory(read) => self
                        .world
                        .inventories
                        .fill_level(self.world.inventories.of(*read)),
                    Rear::Signal(input) => self.level(*input),
                };
                let side = side.map_or(0, |side| self.level(side));
                match mode {
                    ComparatorMode::Compare => {
                        if rear >= side {
                            rear
                        } else {
                            0
                        }
                    }
                    ComparatorMode::Subtract => rear.saturating_sub(side),
                }
            }
            Signal::Inverter { input } => on_if(!self.is_on(*input)),
            Signal::Repeater { input, .. } => on_if(self.is_on(*input)),
            Signal::DelayLine { input, .. } => self.level(*input),
            Signal::Hold { input, .. } => on_if(self.is_on(*input)),
            Signal::Latch { set, reset } => {
                if self.is_on(*reset) {
                    0
                } else if self.is_on(*set) {
                    ON
                } else {
                    level
                }
            }
            Signal::AllOf { inputs } => on_if(inputs.iter().all(|input| self.is_on(*input))),
            Signal::NoneOf { inputs } => on_if(!inputs.iter().any(|input| self.is_on(*input))),
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Observer { .. }
            | Signal::Toggle { .. }
            | Signal::Clock { .. } => level,
        }
    }
}

/// How far into its period a clock is at a tick.
fn clock_position(tick: Tick, period_ticks: u32, phase_ticks: i64) -> u32 {
    let position = (i128::from(tick.0) - i128::from(phase_ticks)).rem_euclid(period_ticks.into());
    u32::try_from(position).expect("less than the period")
}
