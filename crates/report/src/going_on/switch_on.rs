//! How a hall that ended stopped is switched on again.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Stop};

/// What the operator does to switch the hall on; `None` if it was running at the end.
pub(super) fn actions(
    network: &Network,
    declared: &Declarations,
    timeline: &Timeline,
    end: Tick,
) -> Option<Vec<Action>> {
    let reached = declared.stops.iter().filter(|stop| stop.at < end);
    let is_over = |stop: &&Stop| {
        let restart = stop.restart.as_ref();
        restart.is_some_and(|restart| stop.at + restart.after_ticks < end)
    };
    let reached: Vec<&Stop> = reached.collect();
    // What was stopped before the last restart was in time is on again, or meant to be off.
    let last = reached.iter().rposition(is_over);
    let stopped = &reached[last.map_or(0, |last| last + 1)..];
    if stopped.is_empty() {
        return None;
    }
    let mut actions = Vec::new();
    for stop in stopped.iter().rev() {
        match &stop.restart {
            Some(restart) => {
                let own = restart.actions.iter();
                // It is switched on, and nothing else befalls it.
                let is_spell = |action: &&Action| action.spell_ticks().is_some();
                actions.extend(own.filter(|action| !is_spell(action)).cloned());
            }
            None => actions.extend(undone(network, stop, timeline)),
        }
    }
    Some(actions)
}

/// What undoes the actions of a stop: levers go back to where they were, buttons are pressed again.
fn undone(network: &Network, stop: &Stop, timeline: &Timeline) -> Vec<Action> {
    let actions = stop.actions.iter().rev();
    let undone = actions.filter_map(|action| match action {
        Action::MoveLever { lever, .. } => Some(Action::MoveLever {
            lever: *lever,
            on: was_on(network, *lever, stop, timeline),
        }),
        Action::Press { button } => Some(Action::Press { button: *button }),
        Action::Deliver { .. } | Action::Withdraw { .. } => None,
        Action::Fill { .. } | Action::TakeBox { .. } | Action::Stick { .. } => None,
        Action::Sleep { .. } | Action::Reopen { .. } => None,
    });
    undone.collect()
}

/// Where a lever was before a stop.
fn was_on(network: &Network, lever: PartId, stop: &Stop, timeline: &Timeline) -> bool {
    let mut on = match network.part(lever) {
        Part::Signal(Signal::Lever { starts_on }) => *starts_on,
        _ => false,
    };
    let entries = timeline.entries().iter();
    for (at, action) in entries.take_while(|(at, _)| *at <= stop.at) {
        let is_own = *at == stop.at && stop.actions.contains(action);
        if let Action::MoveLever {
            lever: moved,
            on: to,
        } = action
            && *moved == lever
            && !is_own
        {
            on = *to;
        }
    }
    on
}
