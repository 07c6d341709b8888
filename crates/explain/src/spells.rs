//! What a timeline says of spells: who slept when, and which signals got stuck or came free.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

/// The spells of a run.
#[derive(Default)]
pub(super) struct Spells {
    /// Each part that slept, with the tick in which it fell asleep and that from whose start on it was
    /// awake again.
    sleeps: Vec<(PartId, Tick, Tick)>,
    /// When signals got stuck, and when they came free.
    turns: BTreeSet<(PartId, Tick)>,
}

impl Spells {
    pub(super) fn of(timeline: &Timeline) -> Self {
        let mut spells = Self::default();
        for (at, action) in timeline.entries() {
            let over_at = *at + u64::from(action.spell_ticks().unwrap_or(0));
            match action {
                Action::Sleep { parts, .. } => {
                    let sleeps = parts.iter().map(|part| (*part, *at, over_at));
                    spells.sleeps.extend(sleeps);
                }
                Action::Stick { signals, .. } => {
                    for signal in signals {
                        spells.turns.extend([(*signal, *at), (*signal, over_at)]);
                    }
                }
                Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => {}
                Action::Withdraw { .. } | Action::Fill { .. } | Action::TakeBox { .. } => {}
                Action::Reopen { .. } => {}
            }
        }
        spells
    }

    /// When the last of these parts woke, up to a tick, and which it was.
    pub(super) fn last_waking(
        &self,
        parts: &[Option<PartId>],
        up_to: Tick,
    ) -> Option<(Tick, PartId)> {
        let sleeps = self.sleeps.iter();
        let of_them =
            sleeps.filter(|(part, _, over_at)| parts.contains(&Some(*part)) && *over_at <= up_to);
        of_them.map(|(part, _, over_at)| (*over_at, *part)).max()
    }

    /// The tick in which a part is awake again that sleeps in a tick.
    pub(super) fn awake_at(&self, part: PartId, at: Tick) -> Option<Tick> {
        let mut sleeps = self.sleeps.iter();
        let sleep = sleeps
            .find(|(sleeper, from, over_at)| *sleeper == part && (*from..*over_at).contains(&at));
        sleep.map(|(_, _, over_at)| *over_at)
    }

    /// Whether a signal got stuck or came free in a tick.
    pub(super) fn turned(&self, signal: PartId, at: Tick) -> bool {
        self.turns.contains(&(signal, at))
    }
}
