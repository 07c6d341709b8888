//! What differs from run to run of one network: seed, update order, inputs.

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

use crate::id::PartId;
use crate::network::Network;
use crate::part::{Part, Signal};
use crate::tick::Tick;
use crate::timeline::{Action, Timeline};

/// The order in which hoppers and selectors take their turns (tick rules, section 2).
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub enum UpdateOrder {
    /// The order of declaration.
    #[default]
    Declared,
    /// The reverse of it.
    Reversed,
    /// An order drawn from this seed.
    Shuffled(u64),
    /// This order. It must name every hopper and selector exactly once.
    Listed(Vec<PartId>),
}

impl UpdateOrder {
    /// Every hopper and selector of the network, in this order.
    ///
    /// # Panics
    ///
    /// If a listed order does not name every hopper and selector exactly once.
    #[must_use]
    pub fn resolve(&self, network: &Network) -> Vec<PartId> {
        let mut order: Vec<PartId> = network.turn_takers().collect();
        match self {
            Self::Declared => {}
            Self::Reversed => order.reverse(),
            Self::Shuffled(seed) => order.shuffle(&mut ChaCha8Rng::seed_from_u64(*seed)),
            Self::Listed(listed) => {
                let mut sorted = listed.clone();
                sorted.sort_unstable();
                assert_eq!(
                    sorted, order,
                    "a listed order names every hopper and selector once"
                );
                order.clone_from(listed);
            }
        }
        order
    }
}

/// What one run needs beside the network.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Setup {
    /// The seed of everything left to chance.
    pub seed: u64,
    /// The update order.
    pub order: UpdateOrder,
    /// Deliveries and operator actions.
    pub timeline: Timeline,
}

impl Setup {
    /// What in the timeline cannot be done in this network, with the tick of each; empty if all can.
    #[must_use]
    pub fn problems(&self, network: &Network) -> Vec<(Tick, String)> {
        let entries = self.timeline.entries().iter();
        entries
            .filter_map(|(tick, action)| Some((*tick, action_problem(network, action)?)))
            .collect()
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
    }
}
