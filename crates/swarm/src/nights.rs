//! What a timeline says of sleep and reopening: who sleeps when, and what is worth meeting in it.

use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use crate::blueprint::Blueprint;

/// The sleeps of a network.
#[derive(Default, Debug)]
pub(crate) struct Nights {
    /// Who sleeps from when until when: the last tick is the one in which it is awake again.
    sleeps: Vec<(PartId, Tick, Tick)>,
}

impl Nights {
    /// The sleeps of this network.
    pub(crate) fn of(blueprint: &Blueprint) -> Self {
        let mut sleeps = Vec::new();
        for (tick, action) in &blueprint.timeline {
            if let Action::Sleep { parts, sleep_ticks } = action {
                let awake_at = *tick + u64::from(*sleep_ticks);
                sleeps.extend(parts.iter().map(|part| (*part, *tick, awake_at)));
            }
        }
        Self { sleeps }
    }

    /// Whether a part sleeps in a tick, once the inputs of that are done.
    pub(crate) fn is_asleep(&self, part: PartId, tick: Tick) -> bool {
        let mut sleeps = self.sleeps.iter();
        sleeps.any(|(sleeper, from, until)| *sleeper == part && (*from..*until).contains(&tick))
    }

    /// Whether a part is awake again from a tick on.
    pub(crate) fn wakes(&self, part: PartId, tick: Tick) -> bool {
        let mut sleeps = self.sleeps.iter();
        sleeps.any(|(sleeper, _, until)| *sleeper == part && *until == tick)
    }

    /// The rows of the table of coverage that the blueprint meets by itself.
    pub(crate) fn rows(&self, blueprint: &Blueprint) -> Vec<&'static str> {
        let mut rows = Vec::new();
        if blueprint.orders.signal != Order::Declared {
            rows.push("orders: a signal order other than the default");
        }
        for (part, _, _) in &self.sleeps {
            rows.push(sleep_of(blueprint, *part));
        }
        for (tick, action) in &blueprint.timeline {
            let is_lost = |part: PartId| self.is_asleep(part, *tick);
            match action {
                Action::Sleep { parts, .. } => {
                    if parts.len() * 2 > blueprint.parts.len() {
                        rows.push("sleep: of more than half of all parts");
                    }
                }
                Action::Reopen { .. } => rows.extend(self.rows_of_reopening(*tick)),
                Action::MoveLever { lever: part, .. } | Action::Press { button: part } => {
                    if is_lost(*part) {
                        rows.push("sleep: a lever or button does nothing");
                    }
                }
                Action::Deliver { place, .. } | Action::Withdraw { place, .. } => {
                    if is_lost(*place) {
                        rows.push("sleep: a delivery or withdrawal where it sleeps");
                    }
                }
                Action::Fill { .. } | Action::TakeBox { .. } | Action::Stick { .. } => {}
            }
        }
        rows
    }

    fn rows_of_reopening(&self, tick: Tick) -> Vec<&'static str> {
        let mut rows = vec!["reopening: at all"];
        let mut others = self.sleeps.iter();
        if others.any(|(_, from, until)| *from < tick && tick < *until) {
            rows.push("reopening: while parts sleep");
        }
        if self.sleeps.iter().any(|(_, from, _)| *from == tick) {
            rows.push("reopening: parts load late");
        }
        rows
    }
}

/// The row of a part that sleeps.
fn sleep_of(blueprint: &Blueprint, part: PartId) -> &'static str {
    match blueprint.parts[part.index()].part {
        Part::Container(_) => "sleep: of a container",
        Part::Hopper(_) => "sleep: of a hopper",
        Part::Dropper(_) => "sleep: of a dropper",
        Part::Mouth => "sleep: of a mouth",
        Part::Stream(_) => "sleep: of a stream",
        Part::Bench(_) => "sleep: of a bench",
        Part::Selector(_) => "sleep: of a selector",
        Part::Dock => "sleep: of a dock",
        Part::Shuttle(_) => "sleep: of a shuttle",
        Part::Signal(_) => "sleep: of a signal",
    }
}
