//! For how long a signal is sure to keep its level.

use std::cell::Cell;

use hallwright_core::engine::View;
use hallwright_core::id::PartId;
use hallwright_core::part::{Rear, Signal};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

/// Through how many signals with several inputs, one behind the other, a signal is followed back. Those with one
/// do not count: a long line of them takes no longer than it is.
const DEEPEST: u32 = 16;

/// How many signals are looked at in all before it is given up: they may go round for ever.
const MOST_SIGNALS: u32 = 2_000;

/// For ever, as far as can be reported.
pub(crate) const EVER: u64 = u64::MAX / 4;

/// How many ticks from now, at least, until a signal's level changes.
pub(crate) fn keeps_ticks(view: &View<'_>, timeline: &Timeline, signal: PartId) -> u64 {
    let sticks = |(_, action): &&(Tick, Action)| matches!(action, Action::Stick { .. });
    let search = Search {
        view,
        timeline,
        sticks: ahead(view, timeline).iter().filter(sticks).collect(),
        left: Cell::new(MOST_SIGNALS),
    };
    search.keeps(signal, DEEPEST)
}

/// Following a signal back.
struct Search<'s, 'v> {
    view: &'s View<'v>,
    timeline: &'s Timeline,
    /// What gets stuck from now on.
    sticks: Vec<&'s (Tick, Action)>,
    /// How many signals may still be looked at.
    left: Cell<u32>,
}

impl Search<'_, '_> {
    fn keeps(&self, part: PartId, depth: u32) -> u64 {
        let (view, timeline) = (self.view, self.timeline);
        let network = view.network();
        let Some(signal) = network.signal(part) else {
            return 0;
        };
        let is_one_of_many = u32::from(inputs(signal) > 1);
        let left = self.left.get().checked_sub(1);
        let (Some(depth), Some(left)) = (depth.checked_sub(is_one_of_many), left) else {
            return 0;
        };
        self.left.set(left);
        if let Some(free_at) = view.free_at(part) {
            return free_at - view.tick();
        }
        if view.is_pending(part) {
            return 0;
        }
        let delay_ticks = u64::from(network.rules().signal_delay_ticks);
        let of = |input: PartId| self.keeps(input, depth);
        let least = |inputs: &mut dyn Iterator<Item = PartId>| self.least(inputs, depth);
        let ticks = match signal {
            Signal::Lever { .. } => next_action(view, timeline, part),
            Signal::Button { .. } => next_action(view, timeline, part),
            Signal::Clock {
                period_ticks,
                high_ticks,
                ..
            } => {
                let is_still = *high_ticks == 0 || high_ticks >= period_ticks;
                if is_still { EVER } else { 0 }
            }
            Signal::Wire { inputs } => least(&mut inputs.iter().map(|(input, _)| *input)),
            Signal::AllOf { inputs } | Signal::NoneOf { inputs } => {
                least(&mut inputs.iter().copied()) + delay_ticks
            }
            Signal::Inverter { input } | Signal::Toggle { input } => of(*input) + delay_ticks,
            Signal::Latch { set, reset } => of(*set).min(of(*reset)) + delay_ticks,
            Signal::Repeater {
                input,
                delay_ticks,
                lock,
            } => {
                let lock = lock.map_or(EVER, of);
                of(*input).min(lock) + u64::from(*delay_ticks)
            }
            Signal::DelayLine { input, delay_ticks } => of(*input) + u64::from(*delay_ticks),
            Signal::Comparator { rear, side, .. } => {
                let side = side.map_or(EVER, of);
                let rear = match rear {
                    Rear::Inventory(_) => 0,
                    Rear::Signal(signal) => of(*signal),
                };
                rear.min(side) + delay_ticks
            }
            Signal::Observer { .. } => delay_ticks,
            Signal::Hold { input, hold_ticks } => {
                let input_on = view.level(*input) > 0;
                let hold = match (input_on, view.level(part) > 0) {
                    (true, true) => u64::from(*hold_ticks),
                    _ => 0,
                };
                of(*input) + hold
            }
        };
        if ticks == 0 {
            return 0;
        }
        ticks.min(self.next_sticking(part)).min(EVER)
    }

    /// The least of several signals.
    fn least(&self, signals: &mut dyn Iterator<Item = PartId>, depth: u32) -> u64 {
        let mut least = EVER;
        for signal in signals {
            least = least.min(self.keeps(signal, depth));
            if least == 0 {
                break;
            }
        }
        least
    }

    /// Ticks until a signal next gets stuck; [`EVER`] if not again.
    fn next_sticking(&self, part: PartId) -> u64 {
        let names = |action: &Action| matches!(action, Action::Stick { signals, .. } if signals.contains(&part));
        let next = self.sticks.iter().find(|(_, action)| names(action));
        next.map_or(EVER, |(tick, _)| *tick - self.view.tick())
    }
}

/// How many signals a signal hears.
fn inputs(signal: &Signal) -> usize {
    match signal {
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => 0,
        Signal::Observer { .. } => 0,
        Signal::Wire { inputs } => inputs.len(),
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => inputs.len(),
        Signal::Inverter { .. } | Signal::Toggle { .. } => 1,
        Signal::DelayLine { .. } | Signal::Hold { .. } => 1,
        Signal::Latch { .. } => 2,
        Signal::Repeater { lock, .. } => 1 + usize::from(lock.is_some()),
        Signal::Comparator { rear, side, .. } => {
            usize::from(matches!(rear, Rear::Signal(_))) + usize::from(side.is_some())
        }
    }
}

/// Ticks until the next spell begins or the world is opened again; 0 during a spell, [`EVER`] if neither
/// comes.
pub(crate) fn calm_ticks(view: &View<'_>, timeline: &Timeline) -> u64 {
    if view.no_spell_since().is_none() {
        return 0;
    }
    ticks_until(view, timeline, |action| {
        action.spell_ticks().is_some() || matches!(action, Action::Reopen { .. })
    })
}

/// Ticks until the operator next touches a lever or button; [`EVER`] if not again.
fn next_action(view: &View<'_>, timeline: &Timeline, part: PartId) -> u64 {
    let touches = |action: &Action| match action {
        Action::MoveLever { lever, .. } => *lever == part,
        Action::Press { button } => *button == part,
        Action::Deliver { .. } | Action::Withdraw { .. } => false,
        Action::Fill { .. } | Action::TakeBox { .. } | Action::Stick { .. } => false,
        Action::Sleep { .. } | Action::Reopen { .. } => false,
    };
    ticks_until(view, timeline, touches)
}

/// Ticks until the next action of a sort; [`EVER`] if none comes.
fn ticks_until(view: &View<'_>, timeline: &Timeline, is_it: impl Fn(&Action) -> bool) -> u64 {
    let mut ahead = ahead(view, timeline).iter();
    let next = ahead.find(|(_, action)| is_it(action));
    next.map_or(EVER, |(tick, _)| *tick - view.tick())
}

/// What is still to come.
fn ahead<'t>(view: &View<'_>, timeline: &'t Timeline) -> &'t [(Tick, Action)] {
    let entries = timeline.entries();
    &entries[entries.partition_point(|(tick, _)| *tick < view.tick())..]
}
