//! What changes of signals had to wait for (tick rules, section 3).

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};
use hallwright_core::part::{Part, Rear, Signal, Watched};
use hallwright_core::tick::Tick;
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

use super::condition::{Cause, Condition, Reason};
use super::history::{EntryId, History};

/// Looks for the conditions of signal changes.
pub(super) struct Signals<'a> {
    network: &'a Network,
    history: &'a History,
    /// For each part, whether it is a signal that locks, triggers and releases nothing.
    only_shown: Vec<bool>,
}

impl<'a> Signals<'a> {
    pub(super) fn new(network: &'a Network, history: &'a History) -> Self {
        Self {
            network,
            history,
            only_shown: only_shown(network),
        }
    }

    /// Why a signal changed in a tick, or was looked at: what its inputs had done by then.
    /// `rises` is the way it went; entries from `before` on do not count.
    pub(super) fn reason(&self, part: PartId, now: Tick, before: EntryId, rises: bool) -> Reason {
        let Some(signal) = self.network.signal(part) else {
            return Reason::Conditions(Vec::new());
        };
        let rules = self.network.rules();
        let ago = |ticks: u32| Tick(now.0.saturating_sub(ticks.into()));
        let delayed = (Cause::SignalDelay, part);
        let gate = rules.signal_delay_ticks;
        let find = |input: PartId, ticks: u32, cause| {
            let by = self.last_change(input, before, ago(ticks));
            self.by(by, now, cause)
        };
        let all = |inputs: &[PartId], ticks: u32, rise: bool| -> Vec<Condition> {
            let changes = inputs.iter().map(|input| {
                let by = self.last(*input, before, ago(ticks), Some(rise));
                self.by(by, now, delayed)
            });
            changes.collect()
        };
        let conditions = match signal {
            Signal::Lever { .. } => return Reason::Outside(Cause::Operator, part),
            Signal::Clock { .. } => return Reason::Clock(part),
            Signal::Button { hold_ticks } => {
                if rises {
                    return Reason::Outside(Cause::Operator, part);
                }
                vec![find(part, *hold_ticks, (Cause::Hold, part))]
            }
            Signal::Wire { inputs } => {
                let inputs: Vec<PartId> = inputs.iter().map(|(input, _)| *input).collect();
                let mut changes = all(&inputs, 0, rises);
                // What goes on at once goes on with the first, which is the last that changed now.
                if rises {
                    changes.retain(|change| change.at == now);
                }
                changes
            }
            Signal::Repeater {
                input,
                delay_ticks,
                lock,
            } => {
                let inputs = std::iter::once(*input).chain(*lock);
                inputs
                    .map(|input| find(input, *delay_ticks, delayed))
                    .collect()
            }
            Signal::DelayLine { input, delay_ticks } => vec![find(*input, *delay_ticks, delayed)],
            Signal::Comparator { rear, side, .. } => {
                let rear = match rear {
                    Rear::Signal(input) => find(*input, gate, delayed),
                    Rear::Inventory(read) => {
                        self.by(self.last_touch(*read, before, ago(gate)), now, delayed)
                    }
                };
                let side = side.map(|side| find(side, gate, delayed));
                std::iter::once(rear).chain(side).collect()
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
            Signal::Hold { input, hold_ticks } => {
                if rises {
                    all(&[*input], 0, true)
                } else {
                    let cause = if self.only_shown[part.index()] {
                        Cause::LampMargin
                    } else {
                        Cause::Hold
                    };
                    let by = self.last(*input, before, ago(*hold_ticks), Some(false));
                    vec![self.by(by, now, (cause, part))]
                }
            }
            Signal::Observer { watches } => self.pulse(part, *watches, now, before, rises),
        };
        let mut conditions = latest_first(conditions, rises, signal);
        if !rises && let Some(own) = self.last_change(part, before, Tick(now.0.saturating_sub(1))) {
            // What a clock ends had begun.
            conditions.push(self.by(Some(own), now, delayed));
        }
        Reason::Conditions(conditions)
    }

    fn pulse(
        &self,
        part: PartId,
        watches: Watched,
        now: Tick,
        before: EntryId,
        rises: bool,
    ) -> Vec<Condition> {
        let rules = self.network.rules();
        let delayed = (Cause::SignalDelay, part);
        if !rises {
            let at = Tick(now.0.saturating_sub(rules.observer_pulse_ticks.into()));
            return vec![self.by(self.last_change(part, before, at), now, delayed)];
        }
        let at = Tick(now.0.saturating_sub(rules.signal_delay_ticks.into()));
        let by = match watches {
            Watched::Signal(signal) => self.last_change(signal, before, at),
            Watched::Lock(part) => self.last_lock_change(part, before, at),
            Watched::Trigger(dropper) => match self.network.part(dropper) {
                Part::Dropper(dropper) => dropper
                    .trigger
                    .and_then(|trigger| self.last_change(trigger, before, at)),
                _ => None,
            },
            Watched::Matches(selector) => self.last_touch(selector, before, at),
        };
        vec![self.by(by, now, delayed)]
    }

    fn by(&self, by: Option<EntryId>, now: Tick, first: (Cause, PartId)) -> Condition {
        Condition {
            by,
            at: by.map_or(Tick(0), |by| self.history.entry(by).tick()),
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
        _ => false,
    };
    if any_decides {
        conditions.truncate(1);
    }
    conditions
}

/// For each part, whether it is a signal from which no lock, trigger or release can be reached.
fn only_shown(network: &Network) -> Vec<bool> {
    let graph = network.graph();
    let mut acts = vec![false; network.part_count()];
    let mut to_follow = Vec::new();
    for edge in graph.edge_references() {
        let Link::Signal(role) = edge.weight() else {
            continue;
        };
        let reader = network.part(PartId::from_index(edge.target().index()));
        let is_act = matches!(
            role,
            SignalRole::Lock | SignalRole::Trigger | SignalRole::Release
        );
        if is_act && !matches!(reader, Part::Signal(_)) {
            to_follow.push(edge.source());
        }
    }
    while let Some(node) = to_follow.pop() {
        if std::mem::replace(&mut acts[node.index()], true) {
            continue;
        }
        let inputs = graph.edges_directed(NodeIndex::new(node.index()), Direction::Incoming);
        to_follow.extend(
            inputs
                .filter(|edge| matches!(edge.weight(), Link::Signal(_)))
                .map(|edge| edge.source()),
        );
    }
    acts.into_iter().map(|acts| !acts).collect()
}
