//! Which runs are made of a scenario: in which update orders, with which seeds, at which stop ticks.

use std::collections::BTreeSet;

use hallwright_core::network::Network;
use hallwright_core::order::Order;
use hallwright_core::part::Signal;
use hallwright_core::tick::Tick;

use hallwright_report::RunInput;
use hallwright_report::units::count;

use crate::case::{Case, order_words};

/// How many stop ticks are tried.
const STOP_TICKS: u64 = 8;

/// Which runs are made of each base.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Choice {
    /// The update orders.
    pub orders: Vec<Order>,
    /// Where the first stop is tried, if the scenario has one.
    pub stops: Stops,
}

/// The ticks at which a first stop is tried.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Stops {
    /// Eight, spread over a period from the declared one: [`stop_ticks`].
    Spread,
    /// These.
    At(Vec<Tick>),
    /// Those of a range.
    Swept(StopRange),
}

/// The ticks of a stop sweep: `from`, `from + step`, … up to and including `to`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StopRange {
    /// The first one.
    pub from: Tick,
    /// The last one allowed; not before the first.
    pub to: Tick,
    /// Ticks between two of them; at least 1.
    pub step_ticks: u64,
}

impl StopRange {
    /// Its ticks.
    #[must_use]
    pub fn ticks(self) -> Vec<Tick> {
        let step = usize::try_from(self.step_ticks).unwrap_or(usize::MAX);
        let ticks = (self.from.0..=self.to.0).step_by(step.max(1));
        ticks.map(Tick).collect()
    }
}

/// The declared, the reversed and so many shuffled update orders.
#[must_use]
pub fn orders(shuffles: u64) -> Vec<Order> {
    let shuffled = (1..=shuffles).map(Order::Shuffled);
    [Order::Declared, Order::Reversed]
        .into_iter()
        .chain(shuffled)
        .collect()
}

/// Every run of these bases, which are one scenario loaded with one seed each. The first is that of
/// the scenario as it stands, with the first seed, unless the choice says otherwise: in the declared
/// order, its stop where it is declared.
#[must_use]
pub fn cases(bases: &[RunInput<'_>], choice: &Choice) -> Vec<Case> {
    let mut cases = Vec::new();
    for base in bases {
        let stops: Vec<Option<Tick>> = match base.declarations.stops.first() {
            None => vec![None],
            Some(stop) => match &choice.stops {
                Stops::Spread => stop_ticks(base.network, stop.at),
                Stops::At(ticks) => ticks.clone(),
                Stops::Swept(range) => range.ticks(),
            }
            .into_iter()
            .map(Some)
            .collect(),
        };
        for order in &choice.orders {
            cases.extend(stops.iter().map(|stop_at| Case {
                seed: base.seed,
                order: order.clone(),
                stop_at: *stop_at,
            }));
        }
    }
    cases
}

/// How much was tried: how many of each thing in which runs differ.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Tried {
    /// Stop ticks; 0 if no stop was moved.
    pub stop_ticks: u64,
    /// Update orders.
    pub orders: u64,
    /// Seeds.
    pub seeds: u64,
    /// Runs.
    pub runs: u64,
}

impl Tried {
    /// What these cases try.
    #[must_use]
    pub fn in_cases(cases: &[Case]) -> Self {
        let stops: BTreeSet<Tick> = cases.iter().filter_map(|case| case.stop_at).collect();
        let orders: BTreeSet<String> = cases.iter().map(|case| order_words(&case.order)).collect();
        let seeds: BTreeSet<u64> = cases.iter().map(|case| case.seed).collect();
        Self {
            stop_ticks: stops.len() as u64,
            orders: orders.len() as u64,
            seeds: seeds.len() as u64,
            runs: cases.len() as u64,
        }
    }

    /// In words: `49 stop ticks × 5 orders × 1 seed`.
    #[must_use]
    pub fn words(self) -> String {
        let mut words = Vec::new();
        if self.stop_ticks > 0 {
            words.push(count(self.stop_ticks, "stop tick", "stop ticks"));
        }
        words.push(count(self.orders, "order", "orders"));
        words.push(count(self.seeds, "seed", "seeds"));
        words.join(" × ")
    }
}

/// The ticks at which a stop is tried: eight, spread evenly over the longest of the hoppers' cooldown
/// and every clock's period, the declared tick first; fewer where the period has fewer ticks.
#[must_use]
pub fn stop_ticks(network: &Network, declared: Tick) -> Vec<Tick> {
    let clocks = network
        .parts()
        .filter_map(|(part, _)| match network.signal(part) {
            Some(Signal::Clock { period_ticks, .. }) => Some(u64::from(*period_ticks)),
            _ => None,
        });
    let cooldown_ticks = u64::from(network.rules().cooldown_ticks);
    let period_ticks = clocks.fold(cooldown_ticks, u64::max).max(1);
    let mut ticks: Vec<Tick> = (0..STOP_TICKS)
        .map(|part| declared + part * period_ticks / STOP_TICKS)
        .collect();
    ticks.dedup();
    ticks
}

#[cfg(test)]
mod tests {
    use hallwright_core::network::NetworkBuilder;
    use hallwright_core::part::Part;
    use hallwright_core::rules::Rules;

    use super::*;

    fn ticks(cooldown_ticks: u32, clocks: &[u32]) -> Vec<u64> {
        let mut builder = NetworkBuilder::new(Rules {
            cooldown_ticks,
            ..Rules::default()
        });
        for (place, period_ticks) in clocks.iter().enumerate() {
            let clock = Signal::Clock {
                period_ticks: *period_ticks,
                high_ticks: 1,
                phase_ticks: 0,
            };
            builder.add(&format!("beat {place}"), Part::Signal(clock));
        }
        let network = builder.build().expect("clocks are a sound network");
        let ticks = stop_ticks(&network, Tick(100));
        ticks.into_iter().map(|tick| tick.0).collect()
    }

    #[test]
    fn stops_are_spread_over_the_longest_period() {
        assert_eq!(ticks(8, &[]), [100, 101, 102, 103, 104, 105, 106, 107]);
        // 20/8 = 2.5: 0, 2.5, 5, 7.5, 10, 12.5, 15, 17.5, rounded down.
        assert_eq!(
            ticks(8, &[4, 20, 6]),
            [100, 102, 105, 107, 110, 112, 115, 117]
        );
        assert_eq!(ticks(3, &[2]), [100, 101, 102], "whole ticks, each once");
    }
}
