//! What differs from run to run of one network: seed, orders, inputs.

use std::collections::BTreeMap;

use crate::id::PartId;
use crate::network::Network;
use crate::order::Orders;
use crate::part::{Part, Signal};
use crate::tick::Tick;
use crate::timeline::{Action, Timeline};

/// What one run needs beside the network.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Setup {
    /// The seed of everything left to chance.
    pub seed: u64,
    /// The update order and the signal order.
    pub orders: Orders,
    /// Deliveries and operator actions.
    pub timeline: Timeline,
}

impl Setup {
    /// The orders in force when so many entries of the timeline are done.
    ///
    /// # Panics
    ///
    /// If there are not so many.
    #[must_use]
    pub fn orders_after(&self, done: usize) -> &Orders {
        let done = self.timeline.entries()[..done].iter().rev();
        let mut reopenings = done.filter_map(|(_, action)| match action {
            Action::Reopen { orders } => Some(orders),
            Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => None,
            Action::Withdraw { .. } | Action::Sleep { .. } | Action::Stick { .. } => None,
            Action::Fill { .. } | Action::TakeBox { .. } => None,
        });
        reopenings.next().unwrap_or(&self.orders)
    }

    /// What in the timeline cannot be done in this network, with the tick of each; empty if all can.
    #[must_use]
    pub fn problems(&self, network: &Network) -> Vec<(Tick, String)> {
        let mut spells = Spells::default();
        let entries = self.timeline.entries().iter();
        entries
            .filter_map(|(tick, action)| {
                let problem = action_problem(network, action);
                let problem = problem.or_else(|| spells.begin(network, *tick, action));
                Some((*tick, problem?))
            })
            .collect()
    }
}

/// The spells that a timeline has begun so far: for each part, the tick in which it is over.
#[derive(Default)]
struct Spells {
    awake_at: BTreeMap<PartId, Tick>,
    free_at: BTreeMap<PartId, Tick>,
}

impl Spells {
    /// Why a spell cannot begin now: one of its parts is in such a one. It begins even so.
    fn begin(&mut self, network: &Network, now: Tick, action: &Action) -> Option<String> {
        let over_at = now + u64::from(action.spell_ticks()?);
        let (parts, under_way, is, begin) = match action {
            Action::Sleep { parts, .. } => (parts, &mut self.awake_at, "asleep", "be put to sleep"),
            Action::Stick { signals, .. } => (signals, &mut self.free_at, "stuck", "get stuck"),
            Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => {
                return None;
            }
            Action::Withdraw { .. } | Action::Fill { .. } | Action::TakeBox { .. } => return None,
            Action::Reopen { .. } => return None,
        };
        let mut problem = None;
        for part in parts {
            let before = under_way.insert(*part, over_at);
            if let Some(before) = before.filter(|before| now < *before) {
                let name = network.name(*part);
                problem.get_or_insert_with(|| {
                    format!("`{name}` is {is} until tick {before}; it cannot {begin} before")
                });
            }
        }
        problem
    }
}

/// Why an action cannot be done; `None` if it can.
fn action_problem(network: &Network, action: &Action) -> Option<String> {
    let refuse = |part: PartId, what: &str| Some(format!("`{}` is no {what}", network.name(part)));
    match action {
        Action::MoveLever { lever, .. } => match network.signal(*lever) {
            Some(Signal::Lever { .. }) => None,
            _ => refuse(*lever, "lever"),
        },
        Action::Press { button } => match network.signal(*button) {
            Some(Signal::Button { .. }) => None,
            _ => refuse(*button, "button"),
        },
        Action::Deliver {
            place,
            kind,
            contents,
            terms,
            ..
        } => match network.part(*place) {
            _ if terms
                .while_on
                .is_some_and(|gate| network.signal(gate).is_none()) =>
            {
                terms.while_on.and_then(|gate| refuse(gate, "signal"))
            }
            Part::Signal(_) | Part::Shuttle(_) => refuse(*place, "place to deliver to"),
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Mouth
            | Part::Stream(_)
            | Part::Bench(_)
            | Part::Selector(_)
            | Part::Dock => network
                .contents_problems(*kind, contents)
                .first()
                .map(ToString::to_string),
        },
        Action::Withdraw { place, .. } | Action::TakeBox { place } => {
            let is_open = is_open_inventory(network.part(*place));
            let refused = || refuse(*place, "inventory to withdraw from");
            if is_open { None } else { refused() }
        }
        Action::Fill {
            place,
            kind,
            contents,
        } => {
            if !is_open_inventory(network.part(*place)) {
                return refuse(*place, "inventory to fill");
            }
            let problems = network.contents_problems(*kind, contents);
            problems.first().map(ToString::to_string)
        }
        Action::Stick { stuck_ticks: 0, .. } => {
            Some("a signal is stuck for at least 1 tick".to_owned())
        }
        Action::Stick { signals, .. } => {
            let mut others = signals.iter();
            let other = others.find(|part| network.signal(**part).is_none());
            other.and_then(|part| refuse(*part, "signal"))
        }
        Action::Sleep { sleep_ticks: 0, .. } => Some("a sleep lasts at least 1 tick".to_owned()),
        Action::Sleep { .. } => None,
        Action::Reopen { orders } => orders.problem(network),
    }
}

/// Whether an operator can put a hand into a part.
fn is_open_inventory(part: &Part) -> bool {
    match part {
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Bench(_) | Part::Dock => {
            true
        }
        Part::Mouth | Part::Stream(_) | Part::Selector(_) => false,
        Part::Shuttle(_) | Part::Signal(_) => false,
    }
}
