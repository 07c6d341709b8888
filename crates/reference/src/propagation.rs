//! Section 3: how a change of level runs on, and what it schedules.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal, Watched};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::values::inputs_of;
use crate::world::{PendingEvent, Rank};

/// A signal went from one level to another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Change {
    signal: PartId,
    before: u8,
    after: u8,
}

impl Change {
    fn went_on(self) -> bool {
        self.before == 0 && self.after > 0
    }

    fn went_off(self) -> bool {
        self.before > 0 && self.after == 0
    }
}

impl ReferenceEngine {
    /// Gives a signal a level. A change runs on at once; of one that is stuck nobody sees it.
    pub(crate) fn set_level(&mut self, signal: PartId, after: u8) {
        let stands_still = self.breaks(Fault::StuckPartStandsStill);
        if let Some(stuck) = &mut self.world.stuck[signal.index()] {
            if !stands_still {
                stuck.own_level = after;
            }
            return;
        }
        self.show_level(signal, after);
    }

    /// Gives a signal the level that others see.
    pub(crate) fn show_level(&mut self, signal: PartId, after: u8) {
        let before = self.level(signal);
        if before == after {
            return;
        }
        *self.world.level_mut(signal) = after;
        self.emit(Event::SignalChanged {
            signal,
            level: after,
        });
        self.run_on(Change {
            signal,
            before,
            after,
        });
    }

    /// A change reaches, in signal order and each once, those that it concerns.
    fn run_on(&mut self, change: Change) {
        let reached = self.reached_by(change);
        if self.breaks(Fault::BreadthFirst) {
            self.reach_breadth_first(reached, change);
            return;
        }
        for part in &reached {
            self.reach(*part, change);
        }
        if self.breaks(Fault::LocksAreSeenLast) && (change.went_on() || change.went_off()) {
            for part in reached {
                self.notify_observers(Watched::Lock(part));
                self.notify_observers(Watched::Trigger(part));
            }
        }
    }

    /// Those that a change concerns: what watches, has for lock or trigger, or reads the signal.
    fn reached_by(&self, change: Change) -> Vec<PartId> {
        let signal = change.signal;
        let mut reached = self.in_signal_order(|part| watches(part, signal) || heeds(part, signal));
        let observes = |part: &PartId| watches(self.network.part(*part), signal);
        let reads = |part: &PartId| self.network.signal(*part).is_some() && !observes(part);
        if self.breaks(Fault::ObserversLast) {
            reached.sort_by_key(observes);
        }
        if self.breaks(Fault::ReadersFirst) {
            reached.sort_by_key(|part| !reads(part));
        }
        if self.breaks(Fault::ReadersLast) {
            reached.sort_by_key(reads);
        }
        reached
    }

    /// For one broken rule: a part waits until all that were reached before it are done.
    fn reach_breadth_first(&mut self, reached: Vec<PartId>, change: Change) {
        let others_wait = !self.waiting_to_be_reached.is_empty();
        self.waiting_to_be_reached
            .extend(reached.into_iter().map(|part| (part, change)));
        if others_wait {
            return;
        }
        while let Some((part, change)) = self.waiting_to_be_reached.front().copied() {
            self.reach(part, change);
            self.waiting_to_be_reached.pop_front();
        }
    }

    /// A change reaches one part.
    fn reach(&mut self, part: PartId, change: Change) {
        match self.network.part(part) {
            Part::Hopper(_) | Part::Selector(_) => self.change_lock(part, change),
            Part::Dropper(_) => self.change_trigger(part, change),
            Part::Signal(Signal::Observer { .. }) => {
                if self.can_be_seen(change) {
                    self.notice(part);
                }
            }
            Part::Signal(_) => {
                if !self.is_asleep(part) || self.breaks(Fault::SleepingSignalHears) {
                    self.input_changed(part, change);
                }
            }
            Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => {}
            Part::Dock | Part::Shuttle(_) => {}
        }
    }

    /// Whether observers of a signal see a change of it: of wires and delay lines any change of level, of
    /// every other part its going on and its going off.
    fn can_be_seen(&self, change: Change) -> bool {
        let is_of_level = match self.signal_part(change.signal) {
            Signal::Wire { .. } => !self.breaks(Fault::ObserverOfWireSeesOnAndOff),
            Signal::DelayLine { .. } => !self.breaks(Fault::ObserverOfDelayLineSeesOnAndOff),
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Repeater { .. }
            | Signal::Comparator { .. }
            | Signal::Inverter { .. }
            | Signal::Observer { .. }
            | Signal::Hold { .. }
            | Signal::Latch { .. }
            | Signal::Toggle { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. }
            | Signal::Clock { .. } => self.breaks(Fault::ObserverSeesEveryLevel),
        };
        is_of_level || change.went_on() || change.went_off()
    }

    /// The lock of a hopper or selector, asleep or not, is what its signal says. Observers of it follow.
    fn change_lock(&mut self, part: PartId, change: Change) {
        if !change.went_on() && !change.went_off() {
            return;
        }
        if self.is_asleep(part) && self.breaks(Fault::SleepersLockUnchanged) {
            return;
        }
        self.emit(if change.went_on() {
            Event::Locked { part }
        } else {
            Event::Unlocked { part }
        });
        let is_unseen = (self.is_asleep(part) && self.breaks(Fault::SleepersLockUnseen))
            || self.breaks(Fault::LocksAreSeenLast);
        let is_missed = change.went_off() && self.breaks(Fault::ObserverMissesLocksOff);
        if !is_unseen && !is_missed {
            self.notify_observers(Watched::Lock(part));
        }
    }

    /// A dropper that is triggered schedules its firing, unless it sleeps. Observers of the trigger follow.
    fn change_trigger(&mut self, dropper: PartId, change: Change) {
        let fires = if self.breaks(Fault::DropperFiresOnFallingEdge) {
            change.went_off()
        } else {
            self.is_rising_edge(change)
        };
        let is_deaf = self.is_asleep(dropper) && !self.breaks(Fault::SleepingDropperHears);
        let is_unseen = (self.is_asleep(dropper) && self.breaks(Fault::SleepersTriggerUnseen))
            || self.breaks(Fault::LocksAreSeenLast);
        let is_missed = change.went_off() && self.breaks(Fault::ObserverMissesLocksOff);
        let is_seen = (change.went_on() || change.went_off()) && !is_unseen && !is_missed;
        let observers_come_first = self.breaks(Fault::TriggerIsSeenFirst);
        if is_seen && observers_come_first {
            self.notify_observers(Watched::Trigger(dropper));
        }
        if fires && !is_deaf {
            self.schedule_firing(dropper);
        }
        if is_seen && !observers_come_first {
            self.notify_observers(Watched::Trigger(dropper));
        }
    }

    fn is_rising_edge(&self, change: Change) -> bool {
        if self.breaks(Fault::AnyRiseIsAnEdge) {
            return change.after > change.before;
        }
        change.went_on()
    }

    /// An input of a signal part has changed.
    fn input_changed(&mut self, reader: PartId, change: Change) {
        match self.signal_part(reader) {
            Signal::Lever { .. }
            | Signal::Button { .. }
            | Signal::Observer { .. }
            | Signal::Clock { .. } => {}
            Signal::Wire { .. } => self.set_level(reader, self.value_given(reader)),
            Signal::Hold { hold_ticks, .. } => self.hold_input_changed(reader, hold_ticks, change),
            Signal::Toggle { .. } => self.toggle_input_changed(reader, change),
            Signal::DelayLine { delay_ticks, .. } => {
                if !self.is_pending(reader) || !self.breaks(Fault::DelayLineLosesChanges) {
                    self.schedule_level(reader, delay_ticks, self.rank_of(reader), change.after);
                }
            }
            Signal::Repeater { .. }
            | Signal::Comparator { .. }
            | Signal::Inverter { .. }
            | Signal::Latch { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. } => {
                let is_input = if let Signal::Repeater { input, .. } = self.signal_part(reader) {
                    input == change.signal
                } else {
                    true
                };
                if is_input || !self.breaks(Fault::RepeaterLockOffUnseen) {
                    self.look(reader);
                }
            }
        }
    }

    /// A hold goes on at once; it goes off later, unless its input comes on again.
    fn hold_input_changed(&mut self, hold: PartId, hold_ticks: u32, change: Change) {
        if change.went_on() {
            if !self.breaks(Fault::HoldNotForgotten) {
                self.forget(hold);
            }
            self.set_level(hold, 15);
        } else if change.went_off() {
            let shorter = u32::from(self.breaks(Fault::HoldOneShort) && hold_ticks > 1);
            self.schedule(hold, hold_ticks - shorter, self.rank_of(hold));
        }
    }

    /// A toggle schedules a flip at each rising edge unless one is pending.
    fn toggle_input_changed(&mut self, toggle: PartId, change: Change) {
        let flips = if self.breaks(Fault::ToggleOnFallingEdge) {
            change.went_off()
        } else {
            self.is_rising_edge(change)
        };
        let may_schedule = !self.is_pending(toggle) || self.breaks(Fault::ToggleCountsAll);
        if flips && may_schedule {
            self.schedule(
                toggle,
                self.book.rules.signal_delay_ticks,
                self.rank_of(toggle),
            );
        }
    }

    /// A part looks at its inputs and schedules an event if they give something new: the
    /// scheduling rule, and that of repeaters.
    pub(crate) fn look(&mut self, part: PartId) {
        let given = self.value_given(part);
        let is_level = self.own_level(part) == given;
        let must_wait = self.is_pending(part) && !self.breaks(Fault::SchedulesWhilePending);
        if is_level || must_wait {
            return;
        }
        if let Signal::Repeater {
            delay_ticks, lock, ..
        } = self.signal_part(part)
        {
            if !self.is_held(lock) {
                self.schedule(part, delay_ticks, self.rank_of(part));
            }
            return;
        }
        let delay =
            self.book.rules.signal_delay_ticks + u32::from(self.breaks(Fault::SignalDelayOneLong));
        if self.breaks(Fault::ValueKeptFromScheduling) {
            self.schedule_level(part, delay, self.rank_of(part), given);
        } else {
            self.schedule(part, delay, self.rank_of(part));
        }
    }

    /// Whether a repeater's lock keeps its output as it is.
    pub(crate) fn is_held(&self, lock: Option<PartId>) -> bool {
        lock.is_some_and(|lock| self.is_on(lock)) && !self.breaks(Fault::RepeaterLockIgnored)
    }

    /// Something that observers can watch has changed.
    pub(crate) fn notify_observers(&mut self, watched: Watched) {
        let watches_it = |part: &Part| matches!(part, Part::Signal(Signal::Observer { watches }) if *watches == watched);
        let observers = if self.breaks(Fault::ObserversByDeclaration) {
            self.parts_where(watches_it)
        } else {
            self.in_signal_order(watches_it)
        };
        for observer in observers {
            self.notice(observer);
        }
    }

    /// An observer has a change before it. If it is idle it schedules its rise; asleep, it misses it.
    fn notice(&mut self, observer: PartId) {
        if self.is_asleep(observer) && !self.breaks(Fault::SleepingObserverSees) {
            return;
        }
        let is_idle = !self.is_pending(observer) && !self.is_on_itself(observer);
        if is_idle || self.breaks(Fault::ObserverSeesDuringPulse) {
            let later = u32::from(self.breaks(Fault::ObserverRiseOneLong));
            let delay = self.book.rules.signal_delay_ticks + later;
            self.schedule(observer, delay, self.rank_of(observer));
        }
    }

    /// Schedules an event.
    pub(crate) fn schedule(&mut self, part: PartId, after_ticks: u32, rank: Rank) {
        self.schedule_level(part, after_ticks, rank, 0);
    }

    /// Schedules an event that brings a level.
    pub(crate) fn schedule_level(&mut self, part: PartId, after_ticks: u32, rank: Rank, level: u8) {
        self.world.pending.push(PendingEvent {
            due: self.world.tick + u64::from(after_ticks),
            rank,
            part,
            level,
        });
    }

    /// A part schedules its own next event, and then its change runs on.
    pub(crate) fn schedule_and_set(
        &mut self,
        part: PartId,
        after_ticks: u32,
        rank: Rank,
        level: u8,
    ) {
        if self.breaks(Fault::NextEventAfterChange) {
            self.set_level(part, level);
            self.schedule(part, after_ticks, rank);
        } else {
            self.schedule(part, after_ticks, rank);
            self.set_level(part, level);
        }
    }

    /// Whether an event of this part is pending.
    pub(crate) fn is_pending(&self, part: PartId) -> bool {
        self.world.pending.iter().any(|event| event.part == part)
    }

    /// Forgets the pending events of a part.
    pub(crate) fn forget(&mut self, part: PartId) {
        self.world.pending.retain(|event| event.part != part);
    }
}

/// Whether a part is an observer of this signal.
fn watches(part: &Part, signal: PartId) -> bool {
    let watched = Watched::Signal(signal);
    matches!(part, Part::Signal(Signal::Observer { watches }) if *watches == watched)
}

/// Whether a part has this signal for its lock, for its trigger or among what it reads.
fn heeds(part: &Part, signal: PartId) -> bool {
    match part {
        Part::Hopper(hopper) => hopper.lock == Some(signal),
        Part::Selector(selector) => selector.lock == Some(signal),
        Part::Dropper(dropper) => dropper.trigger == Some(signal),
        Part::Signal(reader) => inputs_of(reader).contains(&signal),
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
        Part::Dock | Part::Shuttle(_) => false,
    }
}
