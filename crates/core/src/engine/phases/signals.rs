//! Phase 2: scheduled signal events, and how a change runs through the network (tick rules,
//! section 3).

use crate::engine::Engine;
use crate::engine::state::agenda::{EventRank, Scheduled, Task};
use crate::engine::state::world::UNSURE;
use crate::engine::tables::concerned::{Member, Members, Role};
use crate::engine::tables::gates::{Gate, Rule, Sole};
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::Signal;
use crate::tick::Phase;

/// The level of a signal that is fully on.
pub(in crate::engine) const ON: u8 = 15;

/// A signal's change.
#[derive(Clone, Copy, Debug)]
struct Change {
    /// The place of the signal.
    signal: usize,
    was: u8,
    now: u8,
    /// A wire that takes off as much need not hear of it: the higher of the two levels if no other change is on its
    /// way, else more than any wire takes off.
    reach: u8,
    /// Whom it concerns alone, if it reaches none of the others, and what these take off.
    sole: Sole,
    others_loss: u8,
}

impl Change {
    /// As a change beside others of which not everyone has heard: all that it concerns must hear of it.
    fn beside_others(self) -> Self {
        let reach = u8::MAX;
        Self { reach, ..self }
    }

    /// Whom alone it concerns.
    #[inline(always)]
    fn sole(&self) -> Sole {
        if self.reach <= self.others_loss {
            self.sole
        } else {
            Sole::OneOfMany
        }
    }
}

/// A change on its way to those that it concerns.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Ripple {
    change: Change,
    /// Those that have not been notified yet.
    members: Members,
}

impl Engine<'_> {
    /// Phase 2. Clocks, then what is due from the agenda, in its order.
    pub(in crate::engine) fn run_signals<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Signals;
        let due = self.world.clocks.take_due(self.world.tick);
        if !due.is_empty() {
            self.change_clocks(due, observer);
        }
        self.run_agenda(observer);
    }

    #[inline(never)]
    fn run_agenda<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        while let Some(rank) = self.world.agenda.rank_due() {
            while let Some(scheduled) = self.world.agenda.take_due(rank) {
                let place = scheduled.number as usize;
                let level = if scheduled.task == Task::Evaluate {
                    self.level_to_take(place)
                } else if scheduled.task == Task::Fire {
                    self.fire(self.gates.part_of(scheduled), observer);
                    continue;
                } else {
                    self.level_by_event(scheduled)
                };
                self.take_level(place, level, observer);
            }
        }
    }

    /// The level that the inputs of a signal, by its place, give when its event comes.
    #[inline]
    fn level_to_take(&mut self, signal: usize) -> u8 {
        let state = &mut self.world.signals[signal];
        state.pending -= 1;
        let given = state.given;
        if given == UNSURE {
            return self.level_from_inputs(signal);
        }
        debug_assert_eq!(given, self.level_from_inputs(signal), "no change is missed");
        given
    }

    /// The level that a signal takes when an event of any other sort comes.
    fn level_by_event(&mut self, scheduled: Scheduled) -> u8 {
        let place = scheduled.number as usize;
        self.world.signals[place].pending -= 1;
        match scheduled.task {
            Task::Evaluate | Task::Fire => unreachable!("handled already"),
            Task::ButtonOff | Task::PulseEnds => 0,
            Task::HoldOff => {
                self.world.agenda.take_first_off(scheduled.number);
                0
            }
            Task::Repeat => self.repeat(place),
            Task::PulseBegins => {
                let pulse = self.network.rules().observer_pulse_ticks;
                self.schedule(place, pulse, EventRank::Last, Task::PulseEnds);
                ON
            }
            Task::Flip => ON - self.own_level(place),
            Task::Arrive { level } => level,
        }
    }

    /// The event of a repeater, by its place: the level it takes. It schedules its turning off before its change
    /// runs on.
    fn repeat(&mut self, repeater: usize) -> u8 {
        let level = self.own_level(repeater);
        let Some(Signal::Repeater {
            input,
            delay_ticks,
            lock,
        }) = self.network.signal(self.gates.of(repeater).part)
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
                self.schedule(repeater, *delay_ticks, EventRank::Second, Task::Repeat);
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
    pub(super) fn schedule(&mut self, signal: usize, delay: u32, rank: EventRank, task: Task) {
        self.world.signals[signal].pending += 1;
        let agenda = &mut self.world.agenda;
        agenda.schedule(delay, rank, signal as u32, task);
    }

    /// Gives a signal, by its place, a level and lets the change run through everything without delay,
    /// depth first, in the order of the rules.
    #[inline(never)]
    pub(in crate::engine) fn set_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) {
        self.take_level(signal, level, observer);
    }

    /// As [`Self::set_level`], compiled into the loop that takes events: with it the chain that most changes run
    /// along, from a comparator by a wire to an inverter, or from an inverter to a lock. In a chain a
    /// change reaches one part alone, and no wave is needed to find that.
    #[inline(always)]
    fn take_level<O: Observer + ?Sized>(&mut self, signal: usize, level: u8, observer: &mut O) {
        if let Some(change) = self.change_level(signal, level, true, observer)
            && !self.end_chain(&change, observer)
        {
            let Sole::Wire { place, loss } = change.sole() else {
                return self.run_on(change, observer);
            };
            if let Some(change) = self.carry(place as usize, loss, &change, observer)
                && !self.end_chain(&change, observer)
            {
                self.run_far(change, observer);
            }
        }
    }

    /// Lets a change run on that a wire has carried: first along further wires.
    #[inline(never)]
    fn run_far<O: Observer + ?Sized>(&mut self, mut change: Change, observer: &mut O) {
        while let Sole::Wire { place, loss } = change.sole() {
            let Some(carried) = self.carry(place as usize, loss, &change, observer) else {
                return;
            };
            change = carried;
        }
        if !self.end_chain(&change, observer) {
            self.run_on(change, observer);
        }
    }

    /// A change that concerns one wire alone: what becomes of it there.
    #[inline(always)]
    fn carry<O: Observer + ?Sized>(
        &mut self,
        wire: usize,
        loss: u8,
        change: &Change,
        observer: &mut O,
    ) -> Option<Change> {
        if loss >= change.reach {
            return None;
        }
        let level = self.level_of_wire(wire, loss, change)?;
        self.change_level(wire, level, true, observer)
    }

    /// As [`Self::set_level`], of what others see alone.
    pub(super) fn show_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        observer: &mut O,
    ) {
        if let Some(change) = self.change_level(signal, level, false, observer) {
            self.run_on(change, observer);
        }
    }

    /// The last step of a chain: the signal concerns one part alone, which is no wire. Says whether that was so.
    #[inline(always)]
    fn end_chain<O: Observer + ?Sized>(&mut self, change: &Change, observer: &mut O) -> bool {
        let (was, now) = (change.was > 0, change.now > 0);
        match change.sole() {
            Sole::Wire { .. } | Sole::OneOfMany => return false,
            Sole::Nobody => {}
            Sole::Inverter(place) => self.invert_again(place as usize, now),
            Sole::Lock(seat) if was != now => self.set_lock(seat as usize, now, observer),
            Sole::Lock(_) => {}
            Sole::Reader(place) => self.look_again(place as usize),
        }
        true
    }

    /// Lets a change run on.
    #[inline(always)]
    fn run_on<O: Observer + ?Sized>(&mut self, change: Change, observer: &mut O) {
        debug_assert!(self.ripples.is_empty(), "one change runs at a time");
        let mut ripple = self.ripple(change);
        loop {
            while let Some(member) = self.next_that_hears(&mut ripple) {
                ripple.members.next += 1;
                let place = member.place();
                let Change { was, now, .. } = ripple.change;
                let goes_on = match member.role {
                    Role::Carries => self.level_of_wire(place, member.loss, &ripple.change),
                    Role::CatchesUp => Some(self.level_from_inputs(place)),
                    Role::Reads => self.input_changed(place, was, now),
                    Role::Inverts => {
                        self.invert_again(place, now > 0);
                        None
                    }
                    Role::Locked => {
                        if (was > 0) != (now > 0) {
                            self.set_lock(place, now > 0, observer);
                        }
                        None
                    }
                    Role::ObservesLevel
                    | Role::ObservesSwitch
                    | Role::Triggered
                    | Role::Released => {
                        self.notify(member, was, now);
                        None
                    }
                };
                if let Some(level) = goes_on
                    && let Some(inner) = self.change_level(place, level, true, observer)
                    && let inner = inner.beside_others()
                    && !self.end_chain(&inner, observer)
                {
                    // Most often those after a wire are out of reach, and there is nothing to come back to.
                    if self.next_that_hears(&mut ripple).is_some() {
                        self.ripples.push(ripple);
                    }
                    ripple = self.ripple(inner);
                }
            }
            let Some(outer) = self.ripples.pop() else {
                return;
            };
            ripple = outer;
        }
    }

    /// A change as it sets out: none of those that it concerns has heard of it.
    #[inline(always)]
    fn ripple(&self, change: Change) -> Ripple {
        let members = self.wiring.signals.range(change.signal);
        Ripple { change, members }
    }

    /// Goes on to the next one that a change concerns, if any.
    #[inline(always)]
    fn next_that_hears(&self, ripple: &mut Ripple) -> Option<Member> {
        while ripple.members.next < ripple.members.end {
            let member = self.wiring.signals.member(ripple.members.next);
            if member.loss < ripple.change.reach {
                return Some(member);
            }
            ripple.members.next += 1;
        }
        None
    }

    /// The level that a wire takes when an input of it changes from which it takes so much off; `None` if this makes no
    /// difference to it.
    #[inline(always)]
    fn level_of_wire(&self, wire: usize, loss: u8, change: &Change) -> Option<u8> {
        // Beside other changes this one need not be all that is new to it.
        if change.reach <= ON {
            let level = self.world.signals[wire].own_level;
            let now = change.now.saturating_sub(loss);
            if now >= level {
                return Some(now);
            }
            if change.was.saturating_sub(loss) < level {
                return None;
            }
        }
        let Rule::Wire(inputs) = self.gates.of(wire).rule else {
            unreachable!("only wires carry")
        };
        Some(self.wire_level(inputs))
    }

    /// Changes the level of a signal, by its place, or only what others see of it; gives the change if they do. Of the
    /// own level of one that is stuck nobody sees anything.
    #[inline]
    fn change_level<O: Observer + ?Sized>(
        &mut self,
        signal: usize,
        level: u8,
        is_own: bool,
        observer: &mut O,
    ) -> Option<Change> {
        let state = &mut self.world.signals[signal];
        if is_own {
            state.own_level = level;
        }
        if is_own && state.is_stuck || state.level == level {
            return None;
        }
        let was = std::mem::replace(&mut state.level, level);
        let gate = self.gates.of(signal);
        let change = Change {
            signal,
            was,
            now: level,
            reach: was.max(level),
            sole: gate.sole,
            others_loss: gate.others_loss,
        };
        let signal = gate.part;
        self.emit(observer, Event::SignalChanged { signal, level });
        Some(change)
    }

    /// Tells one of a signal's change that neither reads it nor is locked by it.
    fn notify(&mut self, member: Member, was: u8, now: u8) {
        let is_on = now > 0;
        if member.role != Role::ObservesLevel && (was > 0) == is_on {
            return;
        }
        match member.role {
            Role::ObservesSwitch | Role::ObservesLevel => self.start_pulse(member.place()),
            Role::Triggered => self.trigger_changed(member.part(), is_on),
            Role::Released => self.release_changed(member.part()),
            Role::Reads | Role::Inverts | Role::Carries | Role::CatchesUp | Role::Locked => {
                unreachable!("told already")
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

    #[inline(always)]
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
    #[inline(never)]
    pub(in crate::engine) fn start_pulse(&mut self, observer: usize) {
        let state = self.world.signals[observer];
        if state.pending == 0 && state.own_level == 0 {
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(observer, delay, EventRank::Last, Task::PulseBegins);
        }
    }

    /// An input of a signal went from one level to another. Schedules what follows; what follows at
    /// once is returned as the level to take.
    #[inline(never)]
    fn input_changed(&mut self, signal: usize, was: u8, now: u8) -> Option<u8> {
        let &Gate { part, rule, .. } = self.gates.of(signal);
        let rises = was == 0 && now > 0;
        let falls = was > 0 && now == 0;
        match rule {
            Rule::Hold(_) if rises => {
                let forgotten = self.world.agenda.forget_hold(signal as u32);
                self.world.signals[signal].pending -= forgotten;
                return Some(ON);
            }
            Rule::Hold(_) if !falls => {}
            Rule::Hold(_) => {
                if let Some(Signal::Hold { hold_ticks, .. }) = self.network.signal(part) {
                    self.schedule(signal, *hold_ticks, EventRank::Last, Task::HoldOff);
                }
            }
            Rule::DelayLine(_) => {
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
            Rule::Repeater(_)
            | Rule::ReadHopper { .. }
            | Rule::ReadInventory { .. }
            | Rule::ReadSignal { .. }
            | Rule::Latch { .. }
            | Rule::AllOf(_)
            | Rule::NoneOf(_) => self.look_again(signal),
            Rule::Own | Rule::Clock { .. } | Rule::Wire(_) | Rule::Inverter(_) => {
                unreachable!("these read nothing, carry, or are told as inverters")
            }
        }
        None
    }

    /// A repeater, comparator, inverter, latch, all of or none of, by its place, compares its output to
    /// what its inputs give now, and schedules an event if they differ and none is pending.
    #[inline(always)]
    pub(in crate::engine) fn look_again(&mut self, signal: usize) {
        let state = &mut self.world.signals[signal];
        if state.pending > 0 {
            state.given = UNSURE;
            return;
        }
        let &Gate { rule, feeds, .. } = self.gates.of(signal);
        let given = if let Rule::ReadHopper { seat, side } = rule {
            self.level_of_reader(seat as usize, side)
        } else if let Rule::Repeater(_) = rule {
            return self.repeater_looks_again(signal, feeds);
        } else {
            self.level_from_inputs(signal)
        };
        let rank = if feeds && rule.is_comparator() {
            EventRank::Third
        } else {
            EventRank::Last
        };
        self.schedule_to_take(signal, given, rank);
    }

    /// Has a signal without an event take the level that its inputs give now, if that is another one.
    #[inline]
    fn schedule_to_take(&mut self, signal: usize, given: u8, rank: EventRank) {
        let state = &mut self.world.signals[signal];
        if given != state.own_level {
            state.given = given;
            let delay = self.network.rules().signal_delay_ticks;
            self.schedule(signal, delay, rank, Task::Evaluate);
        }
    }

    /// As [`Self::look_again`], of an inverter whose input is on or off now.
    #[inline(always)]
    fn invert_again(&mut self, inverter: usize, is_on: bool) {
        let state = &mut self.world.signals[inverter];
        if state.pending > 0 {
            state.given = UNSURE;
        } else {
            self.schedule_to_take(inverter, if is_on { 0 } else { ON }, EventRank::Last);
        }
    }

    fn repeater_looks_again(&mut self, repeater: usize, feeds: bool) {
        let Some(Signal::Repeater {
            input,
            delay_ticks,
            lock,
        }) = self.network.signal(self.gates.of(repeater).part)
        else {
            return;
        };
        let is_locked = lock.is_some_and(|lock| self.is_on(lock));
        let input_on = self.is_on(*input);
        if !is_locked && input_on != (self.own_level(repeater) > 0) {
            let rank = match (feeds, input_on) {
                (true, _) => EventRank::First,
                (false, false) => EventRank::Second,
                (false, true) => EventRank::Third,
            };
            self.schedule(repeater, *delay_ticks, rank, Task::Repeat);
        }
    }
}
