//! Section 3: how a change of level runs on, and what it schedules.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal, Watched};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::world::PendingEvent;

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
    /// Gives a signal a level. A change runs on at once.
    pub(crate) fn set_level(&mut self, signal: PartId, after: u8) {
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

    /// Observers, locks, triggers, readers, in this order.
    fn run_on(&mut self, change: Change) {
        let observers_come_last = self.breaks(Fault::ObserversLast);
        let readers_come_early = self.breaks(Fault::ReadersBeforeLocks);
        if !observers_come_last {
            self.notify_observers(Watched::Signal(change.signal));
        }
        if readers_come_early {
            self.change_readers(change);
        }
        if change.went_on() || change.went_off() {
            self.change_locks(change);
        }
        self.change_triggers(change);
        if !readers_come_early {
            self.change_readers(change);
        }
        if observers_come_last {
            self.notify_observers(Watched::Signal(change.signal));
        }
    }

    /// The hoppers, then the selectors, that a signal locks, each with the observers of that lock.
    fn change_locks(&mut self, change: Change) {
        let lock = Some(change.signal);
        let hoppers =
            self.parts_where(|part| matches!(part, Part::Hopper(hopper) if hopper.lock == lock));
        let selectors = self
            .parts_where(|part| matches!(part, Part::Selector(selector) if selector.lock == lock));
        for part in hoppers.into_iter().chain(selectors) {
            self.emit(if change.went_on() {
                Event::Locked { part }
            } else {
                Event::Unlocked { part }
            });
            if change.went_on() || !self.breaks(Fault::ObserverMissesLocksOff) {
                self.notify_observers(Watched::Lock(part));
            }
        }
    }

    /// The droppers that a signal triggers, each with the observers of that trigger.
    fn change_triggers(&mut self, change: Change) {
        let trigger = Some(change.signal);
        let droppers = self.parts_where(
            |part| matches!(part, Part::Dropper(dropper) if dropper.trigger == trigger),
        );
        for dropper in droppers {
            let fires = if self.breaks(Fault::DropperFiresOnFallingEdge) {
                change.went_off()
            } else {
                self.is_rising_edge(change)
            };
            if fires {
                self.schedule_firing(dropper);
            }
            let is_seen = change.went_on()
                || (change.went_off() && !self.breaks(Fault::ObserverMissesLocksOff));
            if is_seen {
                self.notify_observers(Watched::Trigger(dropper));
            }
        }
    }

    fn is_rising_edge(&self, change: Change) -> bool {
        if self.breaks(Fault::AnyRiseIsAnEdge) {
            return change.after > change.before;
        }
        change.went_on()
    }

    /// The signals that read a change, depth first.
    fn change_readers(&mut self, change: Change) {
        let mut readers = self.readers_of(change.signal);
        if self.breaks(Fault::ReadersInReverse) {
            readers.reverse();
        }
        if self.breaks(Fault::BreadthFirst) {
            self.change_breadth_first(readers, change);
            return;
        }
        for reader in readers {
            self.input_changed(reader, change);
        }
    }

    /// For one broken rule: a reader waits until all readers before it have been notified.
    fn change_breadth_first(&mut self, readers: Vec<PartId>, change: Change) {
        let others_wait = !self.waiting_readers.is_empty();
        self.waiting_readers
            .extend(readers.into_iter().map(|reader| (reader, change)));
        if others_wait {
            return;
        }
        while let Some((reader, change)) = self.waiting_readers.front().copied() {
            self.input_changed(reader, change);
            self.waiting_readers.pop_front();
        }
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
                let priority = if self.breaks(Fault::DelayLinePriorityZero) {
                    0
                } else {
                    -1
                };
                if !self.is_pending(reader) || !self.breaks(Fault::DelayLineLosesChanges) {
                    self.schedule_level(reader, delay_ticks, priority, change.after);
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
            self.schedule(hold, hold_ticks - shorter, 0);
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
            self.schedule(toggle, self.book.rules.signal_delay_ticks, 0);
        }
    }

    /// A part looks at its inputs and schedules an event if they give something new: the
    /// scheduling rule, and that of repeaters.
    pub(crate) fn look(&mut self, part: PartId) {
        let given = self.value_given(part);
        let is_level = self.level(part) == given;
        let must_wait = self.is_pending(part) && !self.breaks(Fault::SchedulesWhilePending);
        if is_level || must_wait {
            return;
        }
        if let Signal::Repeater {
            delay_ticks, lock, ..
        } = self.signal_part(part)
        {
            if !self.is_held(lock) {
                let priority = self.repeater_priority(given);
                self.schedule(part, delay_ticks, priority);
            }
            return;
        }
        let delay =
            self.book.rules.signal_delay_ticks + u32::from(self.breaks(Fault::SignalDelayOneLong));
        if self.breaks(Fault::ValueKeptFromScheduling) {
            self.schedule_level(part, delay, 0, given);
        } else {
            self.schedule(part, delay, 0);
        }
    }

    /// -1 to turn on, -2 to turn off.
    pub(crate) fn repeater_priority(&self, next_level: u8) -> i32 {
        if next_level > 0 || self.breaks(Fault::RepeaterOffIsSlow) {
            -1
        } else {
            -2
        }
    }

    /// Whether a repeater's lock keeps its output as it is.
    pub(crate) fn is_held(&self, lock: Option<PartId>) -> bool {
        lock.is_some_and(|lock| self.is_on(lock)) && !self.breaks(Fault::RepeaterLockIgnored)
    }

    /// Something that observers can watch has changed. Those that are idle schedule their rise.
    pub(crate) fn notify_observers(&mut self, watched: Watched) {
        let watches_it = |part: &Part| matches!(part, Part::Signal(Signal::Observer { watches }) if *watches == watched);
        for observer in self.parts_where(watches_it) {
            let is_idle = !self.is_pending(observer) && !self.is_on(observer);
            if is_idle || self.breaks(Fault::ObserverSeesDuringPulse) {
                let later = u32::from(self.breaks(Fault::ObserverRiseOneLong));
                let delay = self.book.rules.signal_delay_ticks + later;
                self.schedule(observer, delay, 0);
            }
        }
    }

    /// Schedules an event.
    pub(crate) fn schedule(&mut self, part: PartId, after_ticks: u32, priority: i32) {
        self.schedule_level(part, after_ticks, priority, 0);
    }

    /// Schedules an event that brings a level.
    pub(crate) fn schedule_level(
        &mut self,
        part: PartId,
        after_ticks: u32,
        priority: i32,
        level: u8,
    ) {
        self.world.pending.push(PendingEvent {
            due: self.world.tick + u64::from(after_ticks),
            priority,
            part,
            level,
        });
    }

    /// A part schedules its own next event, and then its change runs on.
    pub(crate) fn schedule_and_set(
        &mut self,
        part: PartId,
        after_ticks: u32,
        priority: i32,
        level: u8,
    ) {
        if self.breaks(Fault::NextEventAfterChange) {
            self.set_level(part, level);
            self.schedule(part, after_ticks, priority);
        } else {
            self.schedule(part, after_ticks, priority);
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
