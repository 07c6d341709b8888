//! The two orders that are fixed in a run, and that no builder controls (tick rules, section 2).

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

use crate::id::PartId;
use crate::network::Network;

/// An order of some parts of a network.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub enum Order {
    /// The default: for the most part, the order of declaration.
    #[default]
    Declared,
    /// The reverse of it.
    Reversed,
    /// An order drawn from this seed.
    Shuffled(u64),
    /// This order. It must name each of those parts exactly once.
    Listed(Vec<PartId>),
}

impl Order {
    /// These parts, given in their default order, in this order.
    fn of(&self, mut parts: Vec<PartId>) -> Vec<PartId> {
        match self {
            Self::Declared => {}
            Self::Reversed => parts.reverse(),
            Self::Shuffled(seed) => parts.shuffle(&mut ChaCha8Rng::seed_from_u64(*seed)),
            Self::Listed(listed) => parts.clone_from(listed),
        }
        parts
    }

    /// What keeps this from being an order of these parts; `what` says what such parts are.
    fn problem(&self, network: &Network, mut parts: Vec<PartId>, what: &str) -> Option<String> {
        let Self::Listed(listed) = self else {
            return None;
        };
        parts.sort_unstable();
        let mut sorted = listed.clone();
        sorted.sort_unstable();
        let name = |part: PartId| network.name(part);
        if let Some(twice) = sorted.windows(2).find(|pair| pair[0] == pair[1]) {
            return Some(format!("`{}` is listed twice", name(twice[0])));
        }
        if let Some(other) = sorted.iter().find(|part| !parts.contains(part)) {
            return Some(format!("`{}` is no {what}", name(*other)));
        }
        let left_out = parts.iter().find(|part| !sorted.contains(part))?;
        Some(format!("`{}` is not listed", name(*left_out)))
    }
}

/// The update order and the signal order. By default both are the default.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Orders {
    /// That of the turns of hoppers and selectors. Default: the order of declaration.
    pub update: Order,
    /// That in which one change reaches those that it concerns: observers, hoppers, selectors, droppers
    /// and other signals. Default: in this sequence of sorts, each in the order of declaration.
    pub signal: Order,
}

impl Orders {
    /// This update order, and the default signal order.
    #[must_use]
    pub fn of_update(update: Order) -> Self {
        Self {
            update,
            ..Self::default()
        }
    }

    /// Every hopper and selector of the network, in update order.
    ///
    /// # Panics
    ///
    /// If a listed order does not name each of them exactly once ([`Self::problem`]).
    #[must_use]
    pub fn update_order(&self, network: &Network) -> Vec<PartId> {
        let problem = self.update_problem(network);
        assert!(problem.is_none(), "the update order: {problem:?}");
        self.update.of(network.turn_takers().collect())
    }

    /// Every signal, hopper, selector and dropper of the network, in signal order.
    ///
    /// # Panics
    ///
    /// If a listed order does not name each of them exactly once ([`Self::problem`]).
    #[must_use]
    pub fn signal_order(&self, network: &Network) -> Vec<PartId> {
        let problem = self.signal_problem(network);
        assert!(problem.is_none(), "the signal order: {problem:?}");
        self.signal.of(network.change_takers())
    }

    /// What is wrong with a listed order, in words; `None` if both orders fit the network.
    #[must_use]
    pub fn problem(&self, network: &Network) -> Option<String> {
        let in_update = self.update_problem(network);
        let in_update = in_update.map(|problem| format!("in the update order, {problem}"));
        in_update.or_else(|| {
            let problem = self.signal_problem(network)?;
            Some(format!("in the signal order, {problem}"))
        })
    }

    fn update_problem(&self, network: &Network) -> Option<String> {
        let parts = network.turn_takers().collect();
        self.update.problem(network, parts, "hopper or selector")
    }

    fn signal_problem(&self, network: &Network) -> Option<String> {
        let parts = network.change_takers();
        let what = "signal, hopper, selector or dropper";
        self.signal.problem(network, parts, what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::NetworkBuilder;
    use crate::part::{Dropper, Hopper, Intake, Outlet, Part, Signal, Watched};
    use crate::rules::Rules;

    #[test]
    fn the_default_signal_order_goes_by_sorts() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
        let floor = builder.add("floor", Part::Mouth);
        let dropper = Dropper {
            trigger: Some(lever),
            outlet: Outlet::Loose(floor),
        };
        let dropper = builder.add("dropper", Part::Dropper(dropper));
        let mut hopper = |name| {
            let hopper = Hopper {
                target: None,
                intake: Intake::Mouth(floor),
                lock: Some(lever),
            };
            builder.add(name, Part::Hopper(hopper))
        };
        let hoppers = [hopper("hopper"), hopper("other hopper")];
        let watches = Watched::Signal(lever);
        let eye = builder.add("eye", Part::Signal(Signal::Observer { watches }));
        let network = builder.build().expect("it is sound");

        let sorted = [eye, hoppers[0], hoppers[1], dropper, lever];
        assert_eq!(Orders::default().signal_order(&network), sorted);
        assert_eq!(Orders::default().update_order(&network), hoppers);
        let reversed = Orders {
            signal: Order::Reversed,
            ..Orders::of_update(Order::Reversed)
        };
        assert_eq!(
            reversed.signal_order(&network),
            [lever, dropper, hoppers[1], hoppers[0], eye]
        );
        assert_eq!(reversed.update_order(&network), [hoppers[1], hoppers[0]]);
        let shuffled = Orders {
            signal: Order::Shuffled(3),
            ..Orders::default()
        };
        let mut drawn = shuffled.signal_order(&network);
        assert_eq!(drawn, shuffled.signal_order(&network));
        drawn.sort_unstable();
        let mut all = sorted;
        all.sort_unstable();
        assert_eq!(drawn, all);
    }
}
