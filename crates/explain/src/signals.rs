//! What changes of signals had to wait for (tick rules, section 3).

use hallwright_analysis::signals::acts;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Rear, Signal, Watched};
use hallwright_core::tick::Tick;

use super::condition::{Cause, Condition, Reason};
use super::history::{EntryId, History};

/// A change of a signal.
#[derive(Clone, Copy)]
struct Change {
    part: PartId,
    now: Tick,
    /// Entries from this one on do not count.
    before: EntryId,
    /// Whether it goes on; otherwise off.
    rises: bool,
}

impl Change {
    /// So many ticks before the change.
    fn ago(self, ticks: u32) -> Tick {
        Tick(self.now.0.saturating_sub(ticks.into()))
    }
}

/// Looks for the conditions of signal changes.
pub(super) struct Signals<'a> {
    network: &'a Network,
    history: &'a History,
    /// For each part, whether a lock, trigger or release hangs on it.
    acts: Vec<bool>,
}

impl<'a> Signals<'a> {
    pub(super) fn new(network: &'a Network, history: &'a History) -> Self {
        Self {
            network,
            history,
            acts: acts(network),
        }
    }

    /// Why a signal changed in a tick, or was looked at: what its inputs had done by then.
    /// `rises` is the way it went; entries from `before` on do not count.
    pub(super) fn reason(&self, part: PartId, now: Tick, before: EntryId, rises: bool) -> Reason {
        let change = Change {
            part,
            now,
            before,
            rises,
        };
        let Some(signal) = self.network.signal(part) else {
            return Reason::Conditions(Vec::new());
        };
        if self.history.spells.turned(part, now) {
            return Reason::Outside(Cause::Mishap, part);
        }
        let conditions = match signal {
            Signal::Lever { .. } => return Reason::Outside(Cause::Operator, part),
            Signal::Button { .. } if rises => return Reason::Outside(Cause::Operator, part),
            Signal::Clock { .. } => return Reason::Clock(part),
            Signal::Button { hold_ticks } => {
                let pressed = self.last_change(part, before, change.ago(*hold_ticks));
                vec![self.by(pressed, now, (Cause::Hold, part))]
            }
            Signal::Hold { input, hold_ticks } => self.held(change, *input, *hold_ticks),
            Signal::Observer { watches } => self.pulse(change, *watches),
            Signal::Repeater {
                input,
                delay_ticks,
                lock,
            } => {
                let inputs = std::iter::once(*input).chain(*lock);
                let changes = inputs.map(|input| self.input(change, input, *delay_ticks, None));
                changes.collect()
            }
            Signal::DelayLine { input, delay_ticks } => {
                vec![self.input(change, *input, *delay_ticks, None)]
            }
            Signal::Comparator { rear, side, .. } => self.compared(change, *rear, *side),
            Signal::Wire { .. }
            | Signal::Inverter { .. }
            | Signal::Latch { .. }
            | Signal::Toggle { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. } => self.combined(change, signal),
        };
        let mut conditions = latest_first(conditions, rises, signal);
        if !rises && let Some(own) = self.last_change(part, before, change.ago(1)) {
            // What a clock ends had begun.
            conditions.push(self.by(Some(own), now, (Cause::SignalDelay, part)));
        }
        Reason::Conditions(conditions)
    }

    /// The last change of an input, so many ticks before; of those that went this way if it matters.
    fn input(&self, change: Change, input: PartId, ticks: u32, rise: Option<bool>) -> Condition {
        let by = self.last(input, change.before, change.ago(ticks), rise);
        self.by(by, change.now, (Cause::SignalDelay, change.part))
    }

    fn compared(&self, change: Change, rear: Rear, side: Option<PartId>) -> Vec<Condition> {
        let gate = self.network.rules().signal_delay_ticks;
        let rear = match rear {
            Rear::Signal(input) => self.input(change, input, gate, None),
            Rear::Inventory(read) => {
                let by = self.last_touch(read, change.before, change.ago(gate));
                self.by(by, change.now, (Cause::SignalDelay, change.part))
            }
        };
        let side = side.map(|side| self.input(change, side, gate, None));
        std::iter::once(rear).chain(side).collect()
    }

    /// Wires and gates: what their inputs did.
    fn combined(&self, change: Change, signal: &Signal) -> Vec<Condition> {
        let (now, rises) = (change.now, change.rises);
        let gate = self.network.rules().signal_delay_ticks;
        let all = |inputs: &[PartId], ticks: u32, rise: bool| -> Vec<Condition> {
            let inputs = inputs.iter();
            inputs
                .map(|input| self.input(change, *input, ticks, Some(rise)))
                .collect()
        };
        match signal {
            Signal::Wire { inputs } => {
                let inputs: Vec<PartId> = inputs.iter().map(|(input, _)| *input).collect();
                let mut changes = all(&inputs, 0, rises);
                // A wire goes on with the first of its inputs, which is the one that changed now.
                changes.retain(|change| !rises || change.at == now);
                if changes.is_empty() {
                    // It was on already, and its level changed with that of an input that was on as well.
                    let inputs = inputs.iter();
                    changes.extend(inputs.map(|input| self.input(change, *input, 0, None)));
                    changes.retain(|change| change.at == now);
                }
                changes
            }
            Signal::Inverter { input } => all(&[*input], gate, !rises),
            Signal::AllOf { inputs } => all(inputs, gate, rises),
            Signal::NoneOf { inputs } => all(inputs, gate, !rises),
            Signal::Latch { set, reset } if rises => {
                let mut conditions = all(&[*set], gate, true);
                conditions.extend(all(&[*reset], gate, false));
                conditions
            }
            Signal::Latch { reset, .. } => all(&[*reset], gate, true),
            Signal::Toggle { input } => all(&[*input], gate, true),
            // These combine nothing.
            Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => Vec::new(),
            Signal::Repeater { .. } | Signal::DelayLine { .. } | Signal::Hold { .. } => Vec::new(),
            Signal::Comparator { .. } | Signal::Observer { .. } => Vec::new(),
        }
    }

    fn held(&self, change: Change, input: PartId, hold_ticks: u32) -> Vec<Condition> {
        if change.rises {
            return vec![self.input(change, input, 0, Some(true))];
        }
        let cause = if !self.acts[change.part.index()] {
            Cause::LampMargin
        } else {
            Cause::Hold
        };
        let by = self.last(input, change.before, change.ago(hold_ticks), Some(false));
        vec![self.by(by, change.now, (cause, change.part))]
    }

    fn pulse(&self, change: Change, watches: Watched) -> Vec<Condition> {
        let rules = self.network.rules();
        let delayed = (Cause::SignalDelay, change.part);
        let before = change.before;
        if !change.rises {
            let at = change.ago(rules.observer_pulse_ticks);
            let rise = self.last_change(change.part, before, at);
            return vec![self.by(rise, change.now, delayed)];
        }
        let at = change.ago(rules.signal_delay_ticks);
        let by = match watches {
            Watched::Signal(signal) => self.last_change(signal, before, at),
            Watched::Lock(part) => self.last_lock_change(part, before, at),
            Watched::Trigger(dropper) => {
                let dropper = self.network.part(dropper).dropper();
                let trigger = dropper.and_then(|dropper| dropper.trigger);
                trigger.and_then(|trigger| self.last_change(trigger, before, at))
            }
            Watched::Matches(selector) => self.last_touch(selector, before, at),
        };
        vec![self.by(by, change.now, delayed)]
    }

    fn by(&self, by: Option<EntryId>, now: Tick, first: (Cause, PartId)) -> Condition {
        Condition {
            by,
            at: by.map_or(Tick(0), |by| self.history.tick(by)),
            since: now,
            true_from: now,
            first,
            then: first,
            blocked_since: None,
        }
    }

    /// The last change of a signal up to a tick.
    pub(super) fn last_change(
        &self,
        signal: PartId,
        before: EntryId,
        up_to: Tick,
    ) -> Option<EntryId> {
        self.last(signal, before, up_to, None)
    }

    /// The last time that a signal went on, from off, up to a tick.
    pub(super) fn last_rise(
        &self,
        signal: PartId,
        before: EntryId,
        up_to: Tick,
    ) -> Option<EntryId> {
        self.last(signal, before, up_to, Some(true))
    }

    /// The last change of a signal up to a tick, of those that went this way if it matters. A signal
    /// that is on and changes its level does not go on again.
    fn last(
        &self,
        signal: PartId,
        before: EntryId,
        up_to: Tick,
        rise: Option<bool>,
    ) -> Option<EntryId> {
        let changes = self.history.back_from(signal, before);
        let mut changes = changes
            .filter_map(|(id, entry)| match entry.event {
                Event::SignalChanged { level, .. } if entry.tick() <= up_to => {
                    Some((id, level > 0))
                }
                _ => None,
            })
            .peekable();
        while let Some((id, is_on)) = changes.next() {
            let was_on = changes.peek().map_or(!is_on, |(_, was_on)| *was_on);
            let fits = match rise {
                None => true,
                Some(rise) => is_on == rise && was_on != rise,
            };
            if fits {
                return Some(id);
            }
        }
        None
    }

    fn last_lock_change(&self, part: PartId, before: EntryId, up_to: Tick) -> Option<EntryId> {
        let mut changes = self.history.back_from(part, before);
        let found = changes.find(|(_, entry)| {
            entry.tick() <= up_to
                && matches!(entry.event, Event::Locked { .. } | Event::Unlocked { .. })
        });
        found.map(|(id, _)| id)
    }

    /// The last entry that concerned an inventory, up to a tick.
    fn last_touch(&self, part: PartId, before: EntryId, up_to: Tick) -> Option<EntryId> {
        let mut entries = self.history.back_from(part, before);
        let found = entries.find(|(_, entry)| {
            entry.tick() <= up_to
                && !matches!(
                    entry.event,
                    Event::Locked { .. } | Event::Unlocked { .. } | Event::Clicked { .. }
                )
        });
        found.map(|(id, _)| id)
    }
}

/// The conditions with the one that came last first. Where any input alone decides, the others do
/// not matter.
fn latest_first(mut conditions: Vec<Condition>, rises: bool, signal: &Signal) -> Vec<Condition> {
    conditions.sort_by_key(|condition| std::cmp::Reverse(condition.by));
    let any_decides = match signal {
        Signal::AllOf { .. } | Signal::NoneOf { .. } => !rises,
        Signal::Wire { .. } => rises,
        Signal::Comparator { .. } | Signal::Repeater { .. } => true,
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => false,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Hold { .. } => false,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::DelayLine { .. } => false,
    };
    if any_decides {
        conditions.truncate(1);
    }
    conditions
}
