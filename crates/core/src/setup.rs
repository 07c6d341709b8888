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
    /// What in the timeline cannot be done in this network, with the tick of each; empty if all can.
    #[must_use]
    pub fn problems(&self, network: &Network) -> Vec<(Tick, String)> {
        let mut sleepers = Sleepers::default();
        let entries = self.timeline.entries().iter();
        entries
            .filter_map(|(tick, action)| {
                let problem = action_problem(network, action);
                let problem = problem.or_else(|| sleepers.put_to_sleep(network, *tick, action));
                Some((*tick, problem?))
            })
            .collect()
    }
}

/// The parts that a timeline has put to sleep so far, with the tick in which each is awake again.
#[derive(Default)]
struct Sleepers {
    awake_at: BTreeMap<PartId, Tick>,
}

impl Sleepers {
    /// Why parts cannot be put to sleep now: one of them is asleep. They are put to sleep even so.
    fn put_to_sleep(&mut self, network: &Network, now: Tick, action: &Action) -> Option<String> {
        let Action::Sleep { parts, sleep_ticks } = action else {
            return None;
        };
        let mut problem = None;
        for part in parts {
            let awake_at = now + u64::from(*sleep_ticks);
            let before = self.awake_at.insert(*part, awake_at);
            if let Some(before) = before.filter(|before| now < *before) {
                let name = network.name(*part);
                problem.get_or_insert_with(|| {
                    format!(
                        "`{name}` is asleep until tick {before}; it cannot be put to sleep before"
                    )
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
        Action::Withdraw { place, .. } => match network.part(*place) {
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Bench(_)
            | Part::Dock => None,
            Part::Mouth
            | Part::Stream(_)
            | Part::Selector(_)
            | Part::Shuttle(_)
            | Part::Signal(_) => refuse(*place, "inventory to withdraw from"),
        },
        Action::Sleep { sleep_ticks: 0, .. } => Some("a sleep lasts at least 1 tick".to_owned()),
        Action::Sleep { .. } => None,
        Action::Reopen { orders } => orders.problem(network),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::NetworkBuilder;
    use crate::order::Order;
    use crate::part::Container;
    use crate::rules::Rules;

    /// Two chests, a mouth and two levers, and what is wrong with a timeline for them.
    fn problems(entries: &[(u64, Action)]) -> Vec<(Tick, String)> {
        let mut builder = NetworkBuilder::new(Rules::default());
        for name in ["near", "far"] {
            builder.add(name, Part::Container(Container { slots: 1 }));
        }
        builder.add("floor", Part::Mouth);
        for name in ["up", "down"] {
            builder.add(name, Part::Signal(Signal::Lever { starts_on: false }));
        }
        let network = builder.build().expect("they need nobody");
        let entries = entries.iter();
        let entries = entries.map(|(tick, action)| (Tick(*tick), action.clone()));
        let setup = Setup {
            timeline: Timeline::new(entries.collect()),
            ..Setup::default()
        };
        setup.problems(&network)
    }

    fn sleep(parts: &[usize], sleep_ticks: u32) -> Action {
        let parts = parts.iter().map(|part| PartId::from_index(*part));
        Action::Sleep {
            parts: parts.collect(),
            sleep_ticks,
        }
    }

    #[test]
    fn a_part_asleep_cannot_be_put_to_sleep_again() {
        let next_to_each_other = [
            (3, sleep(&[0, 2], 4)),
            (5, sleep(&[1, 3], 9)),
            (7, sleep(&[0], 1)),
            (8, sleep(&[0, 2], 1)),
        ];
        assert_eq!(problems(&next_to_each_other), []);
        let found = problems(&[(3, sleep(&[0, 1], 4)), (6, sleep(&[1], 1))]);
        let text = "`far` is asleep until tick 7; it cannot be put to sleep before";
        assert_eq!(found, [(Tick(6), text.to_owned())]);
        let found = problems(&[(3, sleep(&[0, 1, 0], 4))]);
        let text = "`near` is asleep until tick 7; it cannot be put to sleep before";
        assert_eq!(found, [(Tick(3), text.to_owned())]);
        assert_eq!(problems(&[(3, sleep(&[0], 0))]).len(), 1);
    }

    #[test]
    fn orders_listed_at_a_reopening_name_every_part_once() {
        let reopened = |signal: &[usize]| {
            let signal = signal.iter().map(|part| PartId::from_index(*part));
            let orders = Orders {
                update: Order::Listed(Vec::new()),
                signal: Order::Listed(signal.collect()),
            };
            let found = problems(&[(1, Action::Reopen { orders })]);
            found.first().map(|(_, text)| text.clone())
        };
        assert_eq!(reopened(&[4, 3]), None);
        let wrong = |text: &str| Some(format!("in the signal order, {text}"));
        assert_eq!(reopened(&[4]), wrong("`up` is not listed"));
        assert_eq!(reopened(&[4, 3, 4]), wrong("`down` is listed twice"));
        let text = "`floor` is no signal, hopper, selector or dropper";
        assert_eq!(reopened(&[2, 3, 4]), wrong(text));
    }
}
