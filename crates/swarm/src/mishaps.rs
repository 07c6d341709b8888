//! What a timeline says of mishaps: which signals come free when, and what is worth meeting in it.

use hallwright_core::id::PartId;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use crate::blueprint::Blueprint;
use crate::nights::Nights;

/// The mishaps of a network.
#[derive(Default, Debug)]
pub(crate) struct Mishaps {
    /// Which signals come free in which ticks.
    free: Vec<(PartId, Tick)>,
}

impl Mishaps {
    /// The mishaps of this network.
    pub(crate) fn of(blueprint: &Blueprint) -> Self {
        let mut free = Vec::new();
        for (tick, action) in &blueprint.timeline {
            if let Action::Stick {
                signals,
                stuck_ticks,
                ..
            } = action
            {
                let free_at = *tick + u64::from(*stuck_ticks);
                free.extend(signals.iter().map(|signal| (*signal, free_at)));
            }
        }
        Self { free }
    }

    /// Whether a signal comes free in a tick.
    pub(crate) fn comes_free(&self, signal: PartId, tick: Tick) -> bool {
        self.free.contains(&(signal, tick))
    }

    /// The rows of the table of coverage that the blueprint meets by itself.
    pub(crate) fn rows(blueprint: &Blueprint, nights: &Nights) -> Vec<&'static str> {
        let is_signal = |part: &Part| matches!(part, Part::Signal(_));
        let parts = blueprint.parts.iter();
        let all = parts.filter(|named| is_signal(&named.part)).count();
        let mut rows = Vec::new();
        for (tick, action) in &blueprint.timeline {
            match action {
                Action::Stick { signals, on, .. } => {
                    rows.push(if *on {
                        "mishap: signals stuck on"
                    } else {
                        "mishap: signals stuck off"
                    });
                    if signals.len() == all && all > 2 {
                        rows.push("mishap: every signal stuck");
                    }
                    if signals
                        .iter()
                        .any(|signal| nights.is_asleep(*signal, *tick))
                    {
                        rows.push("mishap: a sleeping signal gets stuck");
                    }
                }
                Action::Fill { .. } => rows.push("mishap: filled by hand"),
                Action::TakeBox { .. } => rows.push("mishap: a box is to be taken away"),
                Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => {}
                Action::Withdraw { .. } | Action::Sleep { .. } | Action::Reopen { .. } => {}
            }
        }
        rows
    }
}
