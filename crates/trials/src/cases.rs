//! Which runs are made of a scenario: in which orders, with which seeds, at which stop ticks.

use std::collections::{BTreeSet, HashSet};

use hallwright_core::network::Network;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::Signal;
use hallwright_core::tick::Tick;

use hallwright_report::RunInput;
use hallwright_report::units::count;

use crate::case::Case;

/// How many stop ticks are tried.
const STOP_TICKS: u64 = 8;

/// Which runs are made of each base.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Choice {
    /// The pairs of an update order and a signal order.
    pub orders: Vec<Orders>,
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

/// The pairs of update order and signal order that are tried with so many shuffles: the declared pair
/// first, then each order reversed by itself and both together, then the shuffles.
///
/// An order that makes a difference by itself is told from one that does so only together with the
/// other, so of the shuffles the first, fourth, sixth, … are tried in each order by itself (two pairs),
/// the second, third, fifth, … in both at once (one pair).
#[must_use]
pub fn orders(shuffles: u64) -> Vec<Orders> {
    let mut pairs = vec![Orders::default()];
    pairs.extend(apart(Order::Reversed));
    pairs.push(together(Order::Reversed));
    for shuffle in 1..=shuffles {
        let order = Order::Shuffled(shuffle);
        if shuffle == 1 || shuffle > 3 && shuffle.is_multiple_of(2) {
            pairs.extend(apart(order));
        } else {
            pairs.push(together(order));
        }
    }
    pairs
}

/// Each of the two orders so, the other one declared.
fn apart(order: Order) -> [Orders; 2] {
    let signal = Orders {
        signal: order.clone(),
        ..Orders::default()
    };
    [Orders::of_update(order), signal]
}

/// Both orders so.
fn together(order: Order) -> Orders {
    Orders {
        update: order.clone(),
        signal: order,
    }
}

/// Every run of these bases, which are one scenario loaded with one seed each. The first is that of
/// the scenario as it stands, with the first seed, unless the choice says otherwise: in the declared
/// orders, its stop where it is declared.
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
        for orders in &choice.orders {
            cases.extend(stops.iter().map(|stop_at| Case {
                seed: base.seed,
                orders: orders.clone(),
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
    /// Orders.
    pub orders: OrdersTried,
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
        let seeds: BTreeSet<u64> = cases.iter().map(|case| case.seed).collect();
        Self {
            stop_ticks: stops.len() as u64,
            orders: OrdersTried::of(cases.iter().map(|case| &case.orders)),
            seeds: seeds.len() as u64,
            runs: cases.len() as u64,
        }
    }

    /// In words: `49 stop ticks × 4 pairs of 2 update orders and 2 signal orders × 1 seed`.
    #[must_use]
    pub fn words(self) -> String {
        let mut words = Vec::new();
        if self.stop_ticks > 0 {
            words.push(count(self.stop_ticks, "stop tick", "stop ticks"));
        }
        words.push(self.orders.words());
        words.push(count(self.seeds, "seed", "seeds"));
        words.join(" × ")
    }
}

/// How many orders are tried: pairs of them, and how many different ones these are made of.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct OrdersTried {
    /// Pairs of an update order and a signal order.
    pub pairs: u64,
    /// Update orders.
    pub update_orders: u64,
    /// Signal orders.
    pub signal_orders: u64,
}

impl OrdersTried {
    /// What these pairs, of which any may come several times, are made of.
    #[must_use]
    pub fn of<'a>(orders: impl IntoIterator<Item = &'a Orders>) -> Self {
        let pairs: HashSet<&Orders> = orders.into_iter().collect();
        let count = |of: fn(&Orders) -> &Order| {
            let different: HashSet<&Order> = pairs.iter().map(|pair| of(pair)).collect();
            different.len() as u64
        };
        Self {
            pairs: pairs.len() as u64,
            update_orders: count(|pair| &pair.update),
            signal_orders: count(|pair| &pair.signal),
        }
    }

    /// In words: `8 pairs of 5 update orders and 5 signal orders`.
    #[must_use]
    pub fn words(self) -> String {
        if self.pairs == 1 {
            return "1 pair of orders".to_owned();
        }
        format!(
            "{} of {} and {}",
            count(self.pairs, "pair", "pairs"),
            count(self.update_orders, "update order", "update orders"),
            count(self.signal_orders, "signal order", "signal orders")
        )
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

    /// The pairs in short, update order first: `d`, `r` or the seed of a shuffle.
    fn pairs(shuffles: u64) -> Vec<String> {
        let short = |order: &Order| match order {
            Order::Declared => "d".to_owned(),
            Order::Reversed => "r".to_owned(),
            Order::Shuffled(seed) => seed.to_string(),
            Order::Listed(_) => panic!("no order is listed"),
        };
        let pairs = orders(shuffles);
        pairs
            .iter()
            .map(|pair| short(&pair.update) + &short(&pair.signal))
            .collect()
    }

    #[test]
    fn both_orders_vary_together_and_apart() {
        assert_eq!(pairs(0), ["dd", "rd", "dr", "rr"]);
        assert_eq!(pairs(3), ["dd", "rd", "dr", "rr", "1d", "d1", "22", "33"]);
        assert_eq!(pairs(6)[8..], ["4d", "d4", "55", "6d", "d6"]);
    }

    #[test]
    fn pairs_are_counted_by_what_they_are_made_of() {
        let words = |pairs: &[Orders]| OrdersTried::of(pairs).words();
        assert_eq!(
            words(&orders(0)),
            "4 pairs of 2 update orders and 2 signal orders"
        );
        assert_eq!(
            words(&orders(3)),
            "8 pairs of 5 update orders and 5 signal orders"
        );
        let only_signals = [
            Orders::default(),
            Orders::default(),
            apart(Order::Reversed)[1].clone(),
        ];
        assert_eq!(
            words(&only_signals),
            "2 pairs of 1 update order and 2 signal orders"
        );
        assert_eq!(words(&only_signals[..2]), "1 pair of orders");
    }

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
