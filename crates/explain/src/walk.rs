//! Walks back from the event that made a mark true to the operator's stop: the critical path.
//!
//! Each step goes to the condition that came true last. What a step cost is the time between its two
//! ends, so that all steps together cost exactly the time from the stop to the mark.

use std::collections::BTreeSet;

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;
use hallwright_core::tick::Tick;

use super::condition::{Cause, Condition, Reason};
use super::history::{EntryId, History};
use super::moves::Moves;
use super::signals::Signals;

/// Where a walk begins.
#[derive(Clone, Copy, Debug)]
pub(super) enum Node {
    /// An event.
    Entry(EntryId),
    /// A pulse that ended in this tick and may have changed nothing.
    PulseEnd(PartId, Tick),
}

/// Ticks that went by for one reason. Without ticks, something to know on the way.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Step {
    /// When the wait began.
    pub(super) from: Tick,
    /// When it was over.
    pub(super) until: Tick,
    /// Why.
    pub(super) cause: Cause,
    /// Where.
    pub(super) part: PartId,
    /// For a full target: how long something stood before it.
    pub(super) blocked_ticks: u64,
}

/// A whole walk.
pub(super) struct Path {
    /// The steps, the first in time first.
    pub(super) steps: Vec<Step>,
    /// Whether it ended at what the operator did to stop the hall; otherwise at something that was
    /// under way at the stop already.
    pub(super) from_the_stop: bool,
}

/// Walks back from a node to the stop.
pub(super) fn walk(network: &Network, history: &History, start: Node, stop: Tick) -> Path {
    let moves = Moves {
        network,
        history,
        signals: Signals::new(network, history),
    };
    let mut walker = Walker {
        moves,
        stop,
        steps: Vec::new(),
        others: Vec::new(),
        seen: BTreeSet::new(),
    };
    let from_the_stop = walker.run(start);
    walker.steps.reverse();
    Path {
        steps: walker.steps,
        from_the_stop,
    }
}

struct Walker<'a> {
    moves: Moves<'a>,
    stop: Tick,
    /// The last in time first.
    steps: Vec<Step>,
    /// Conditions that came true earlier than those that were followed, since the last move.
    others: Vec<Condition>,
    /// Signals passed since the last move.
    seen: BTreeSet<PartId>,
}

impl Walker<'_> {
    fn run(&mut self, start: Node) -> bool {
        let mut node = Some(start);
        while let Some(here) = node {
            let now = self.tick(here);
            if now < self.stop {
                return false;
            }
            if let Node::Entry(id) = here {
                if now == self.stop {
                    return self.is_operators(id);
                }
                if let Some(next) = self.let_in(id, now) {
                    node = Some(Node::Entry(next));
                    continue;
                }
            }
            let reason = self.reason(here);
            node = match reason {
                Reason::Conditions(conditions) => self.follow(conditions, now),
                Reason::Clock(clock) => self.wait_for_clock(clock, now),
                Reason::Outside(cause, part) => {
                    self.step(self.stop, now, cause, part);
                    return false;
                }
            };
        }
        false
    }

    fn tick(&self, node: Node) -> Tick {
        match node {
            Node::Entry(id) => self.moves.history.tick(id),
            Node::PulseEnd(_, at) => at,
        }
    }

    /// Whether an entry of the stop's own tick is what the operator did.
    fn is_operators(&self, id: EntryId) -> bool {
        let mut entries = (0..=id).rev();
        entries.any(|id| {
            let entry = self.moves.history.entry(id);
            match entry.event {
                Event::SignalChanged { signal, .. } => {
                    let signal = self.moves.network.signal(signal);
                    signal.is_some_and(Signal::is_operated) && entry.tick() == self.stop
                }
                _ => false,
            }
        })
    }

    fn reason(&mut self, node: Node) -> Reason {
        let (part, is_signal) = match node {
            Node::Entry(id) => match self.moves.history.entry(id).event {
                Event::SignalChanged { signal, .. } => (Some(signal), true),
                _ => (None, false),
            },
            Node::PulseEnd(part, _) => (Some(part), true),
        };
        if let Some(part) = part
            && is_signal
        {
            // A loop of signals that beats by itself is as good as a clock.
            if !self.seen.insert(part) {
                return Reason::Clock(part);
            }
        }
        match node {
            Node::Entry(id) => self.moves.reason(id),
            Node::PulseEnd(part, at) => self.pulse_ended(part, at),
        }
    }

    fn pulse_ended(&self, part: PartId, at: Tick) -> Reason {
        let before = self.moves.history.end_of(at);
        if self.moves.network.part(part).dropper().is_some() {
            let delay_ticks = u64::from(self.moves.network.rules().dropper_delay_ticks);
            let up_to = Tick(at.0.saturating_sub(delay_ticks));
            let edge = self.moves.trigger_edge(part, before, up_to);
            let edge_at = edge.map_or(Tick(0), |edge| self.tick(Node::Entry(edge)));
            let cause = (Cause::Firing, part);
            return Reason::Conditions(vec![Condition {
                by: edge,
                at: edge_at,
                since: at,
                true_from: at,
                first: cause,
                then: cause,
                blocked_since: None,
            }]);
        }
        self.moves.signals.reason(part, at, before, false)
    }

    /// Goes to the condition that came true last.
    fn follow(&mut self, conditions: Vec<Condition>, now: Tick) -> Option<Node> {
        let Some((first, rest)) = conditions.split_first() else {
            // Nothing is known that it waited for: it was so from the start.
            self.step(self.stop, now, Cause::Turn, self.any_part());
            return None;
        };
        self.others.extend(rest);
        let blocked_since = first.blocked_since.map(|since| since.max(self.stop));
        let blocked_ticks = blocked_since.map_or(0, |since| now.0.saturating_sub(since.0));
        let known = self.steps.len();
        if blocked_ticks > 0 && first.since >= now {
            self.steps.push(Step {
                from: now,
                until: now,
                cause: Cause::FullTarget,
                part: first.first.1,
                blocked_ticks,
            });
        }
        let next = self.go(first, now);
        if let Some(step) = self.steps.get_mut(known)
            && step.cause == Cause::FullTarget
        {
            step.blocked_ticks = blocked_ticks;
        }
        next
    }

    fn go(&mut self, to: &Condition, now: Tick) -> Option<Node> {
        let since = to.since.min(now).max(to.at);
        let (then, then_at) = to.then;
        self.step(since.max(self.stop), now, then, then_at);
        let (first, first_at) = to.first;
        self.step(to.at.max(self.stop), since, first, first_at);
        let by = to.by?;
        let is_signal = matches!(
            self.moves.history.entry(by).event,
            Event::SignalChanged { .. } | Event::Locked { .. } | Event::Unlocked { .. }
        );
        if !is_signal {
            self.others.clear();
            self.seen.clear();
        }
        Some(Node::Entry(by))
    }

    fn step(&mut self, from: Tick, until: Tick, cause: Cause, part: PartId) {
        if from < until {
            self.steps.push(Step {
                from,
                until,
                cause,
                part,
                blocked_ticks: 0,
            });
        }
    }

    /// A clock beats by itself: what waited for it is what else had to come true.
    fn wait_for_clock(&mut self, clock: PartId, now: Tick) -> Option<Node> {
        let others = std::mem::take(&mut self.others);
        self.seen.clear();
        let latest = |wanted: &dyn Fn(&&Condition) -> bool| {
            let wanted = others.iter().filter(wanted);
            wanted.max_by_key(|other| (other.at, other.by)).copied()
        };
        // What came after the beat and before what it led to was just in time for it.
        let waited = latest(&|other| other.at <= now);
        let Some(latest) = waited.or_else(|| latest(&|other| self.is_move(other))) else {
            self.step(self.stop, now, Cause::Clock, clock);
            return None;
        };
        let latest = self.kept_on(latest, now).unwrap_or(latest);
        let at = latest.at.max(self.stop);
        self.step(at, now, Cause::Clock, clock);
        self.cut(at);
        if latest.at < self.stop {
            return None;
        }
        latest.by.map(Node::Entry)
    }

    /// If a signal was on at a beat that was not the first: what kept it on until then, which is
    /// what made it go off afterwards.
    fn kept_on(&self, condition: Condition, now: Tick) -> Option<Condition> {
        let by = condition.by?;
        let history = self.moves.history;
        let Event::SignalChanged { signal, level: 1.. } = history.entry(by).event else {
            return None;
        };
        let mut later = history.on_from(signal, by);
        let (mut here, _) = later
            .find(|(_, entry)| matches!(entry.event, Event::SignalChanged { level: 0, .. }))?;
        // Moves that came before the beat, met on the way back.
        let mut moves: Vec<Condition> = Vec::new();
        while self.tick(Node::Entry(here)) > now {
            let Reason::Conditions(conditions) = self.moves.reason(here) else {
                break;
            };
            let earlier = conditions.iter().filter(|other| other.at <= now);
            moves.extend(earlier.filter(|other| self.is_move(other)));
            let Some(next) = conditions.first().and_then(|first| first.by) else {
                break;
            };
            here = next;
        }
        let last = moves.into_iter().max_by_key(|other| (other.at, other.by))?;
        (last.by > condition.by).then_some(last)
    }

    /// Whether an item brought it about.
    fn is_move(&self, condition: &Condition) -> bool {
        condition
            .by
            .is_some_and(|by| self.moves.history.entry(by).event.is_item_event())
    }

    /// Forgets what is known of the time before a tick.
    fn cut(&mut self, at: Tick) {
        while self
            .steps
            .last()
            .is_some_and(|step| step.until <= at && (step.from < at || step.blocked_ticks == 0))
        {
            self.steps.pop();
        }
        if let Some(step) = self.steps.last_mut() {
            step.from = step.from.max(at);
        }
    }

    /// If the part that acted was locked soon after and still had something to do, what it let in
    /// last was let in because the lock came no sooner: then the way of that lock is followed, as far
    /// as it lies before this moment.
    fn let_in(&mut self, id: EntryId, now: Tick) -> Option<EntryId> {
        let lock = self.moves.lock_that_ended_it(id)?;
        let mut here = lock;
        let mut seen = BTreeSet::new();
        while seen.insert(here) {
            let at = self.tick(Node::Entry(here));
            let Reason::Conditions(conditions) = self.moves.reason(here) else {
                return None;
            };
            let next = conditions.first()?;
            let by = next.by?;
            match self.moves.history.entry(by).event {
                Event::SignalChanged { .. } | Event::Locked { .. } | Event::Unlocked { .. } => {}
                _ => return None,
            }
            if next.at <= now && at > now {
                let (cause, part) = next.first;
                self.step(next.at.max(self.stop), now, cause, part);
                self.others.clear();
                self.seen.clear();
                return Some(by);
            }
            here = by;
        }
        None
    }

    fn any_part(&self) -> PartId {
        self.steps
            .last()
            .map_or(PartId::from_index(0), |step| step.part)
    }
}
