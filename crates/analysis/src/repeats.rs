//! Watches whether anything moves, and whether a state comes again.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;

/// Remembers one state, later and later, and looks whether it comes again. To look at every tick would
/// take long: it is looked at when what happened in the tick of that state happens again, since what
/// repeats itself repeats that too.
pub struct RepeatWatch {
    start: Tick,
    last_move: Tick,
    kept: Option<Kept>,
    /// From this tick on the next state is kept.
    keep_from: Tick,
    /// What happened first in this tick: a move before a signal.
    sign: Option<Sign>,
    /// Whether the sign of the state that is kept was seen in this tick.
    is_seen: bool,
    repeats: Option<Repeat>,
}

/// For how many ticks a state is kept at least.
const LEAST_TICKS: u64 = 16;

/// A state that has come again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Repeat {
    /// Whether anything moved meanwhile.
    pub moves: bool,
    /// How long it took.
    pub period_ticks: u64,
}

/// A state that may come again.
struct Kept {
    sign: Sign,
    state: Vec<u64>,
    at: Tick,
}

/// What happened, without what is new each time.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Sign {
    is_move: bool,
    part: PartId,
    other: PartId,
}

impl RepeatWatch {
    /// From this tick on.
    pub fn new(start: Tick) -> Self {
        Self {
            start,
            last_move: start,
            kept: None,
            keep_from: start,
            sign: None,
            is_seen: false,
            repeats: None,
        }
    }

    /// The last tick in which an item moved; a shuttle that only goes round moves none.
    pub fn last_move(&self) -> Tick {
        self.last_move
    }

    /// The state that has come again, if one has.
    pub fn repeats(&self) -> Option<Repeat> {
        self.repeats
    }
}

impl Observer for RepeatWatch {
    fn event(&mut self, moment: Moment, event: &Event, _view: &View<'_>) {
        let sign = sign(event);
        if moves(event) {
            self.last_move = moment.tick;
        }
        self.is_seen |= self.kept.as_ref().is_some_and(|kept| kept.sign == sign);
        let is_better = |known: Sign| sign.is_move && !known.is_move;
        if self.sign.is_none_or(is_better) {
            self.sign = Some(sign);
        }
    }

    fn ticks_passed(&mut self, _from: Tick, until: Tick, _work: u64, view: &View<'_>) {
        let sign = self.sign.take();
        if self.repeats.is_some() {
            return;
        }
        if std::mem::take(&mut self.is_seen)
            && let Some(kept) = &self.kept
            && view.is_like(&kept.state)
        {
            self.repeats = Some(Repeat {
                moves: self.last_move >= kept.at,
                period_ticks: until - kept.at,
            });
            return;
        }
        // Each state is kept for as long as it took to come to it, so that any round is found. To keep one takes as
        // long as many ticks, so the first few are skipped.
        if let (Some(sign), true) = (sign, until >= self.keep_from) {
            self.kept = Some(Kept {
                sign,
                state: view.relative_state(),
                at: until,
            });
            let passed = until - self.start;
            self.keep_from = until + passed.max(LEAST_TICKS);
        }
    }
}

/// Whether an event moves an item.
fn moves(event: &Event) -> bool {
    event.is_item_event() && !matches!(event, Event::Docked { .. } | Event::Departed { .. })
}

fn sign(event: &Event) -> Sign {
    let (part, other) = match *event {
        Event::ItemMoved { from, to, .. } => (from, to),
        Event::SignalChanged { signal, .. } => (signal, signal),
        Event::Locked { part } | Event::Unlocked { part } => (part, part),
        Event::Clicked { dropper } | Event::Thrown { dropper, .. } => (dropper, dropper),
        Event::Delivered { place, .. } | Event::Withdrawn { place, .. } => (place, place),
        Event::CameLoose { place, .. } => (place, place),
        Event::Merged { mouth, .. } | Event::Lost { mouth, .. } => (mouth, mouth),
        Event::Collected { hopper, .. } => (hopper, hopper),
        Event::BoxSet { bench, .. } | Event::BoxLifted { bench, .. } => (bench, bench),
        Event::Docked { shuttle, place } | Event::Departed { shuttle, place } => (shuttle, place),
    };
    Sign {
        is_move: moves(event),
        part,
        other,
    }
}
