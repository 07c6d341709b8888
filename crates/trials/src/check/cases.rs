//! Which runs a check takes.

use hallwright_core::network::Network;
use hallwright_core::part::Signal;
use hallwright_core::setup::UpdateOrder;
use hallwright_core::tick::Tick;

use hallwright_report::RunInput;
use hallwright_report::units::time;

/// How many stop ticks are tried.
const STOP_TICKS: u64 = 8;

/// What a check may be told to try more or less of.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Choice {
    /// How many shuffled update orders, beside the declared and the reversed one.
    pub shuffles: u64,
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
}

/// One run of a check.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Case {
    /// Which of the inputs is run: they differ in their seeds.
    pub input: usize,
    /// The seed of that input.
    pub seed: u64,
    /// The update order.
    pub order: UpdateOrder,
    /// The tick of the first stop; `None` if the scenario has no stop.
    pub stop_at: Option<Tick>,
}

impl Case {
    /// Order, seed and stop tick in words.
    #[must_use]
    pub fn words(&self, ticks_per_second: u32) -> String {
        let order = order_words(&self.order);
        let stop = self.stop_at.map_or_else(String::new, |tick| {
            format!(", stop at {}", time(tick.0, ticks_per_second))
        });
        format!("order {order}, seed {}{stop}", self.seed)
    }
}

/// An update order as it is written: `declared`, `reversed`, `shuffled:7`.
#[must_use]
pub fn order_words(order: &UpdateOrder) -> String {
    match order {
        UpdateOrder::Declared => "declared".to_owned(),
        UpdateOrder::Reversed => "reversed".to_owned(),
        UpdateOrder::Shuffled(seed) => format!("shuffled:{seed}"),
        UpdateOrder::Listed(_) => "listed".to_owned(),
    }
}

/// Every run of a check of these inputs, which are one scenario with one seed each. The first is
/// that of the scenario as it stands: in the declared order, with the first input, its stop where it
/// is declared, unless the choice says where to stop.
#[must_use]
pub fn cases(inputs: &[RunInput<'_>], choice: &Choice) -> Vec<Case> {
    let shuffled = (1..=choice.shuffles).map(UpdateOrder::Shuffled);
    let orders: Vec<UpdateOrder> = [UpdateOrder::Declared, UpdateOrder::Reversed]
        .into_iter()
        .chain(shuffled)
        .collect();
    let mut cases = Vec::new();
    for (place, input) in inputs.iter().enumerate() {
        let stops: Vec<Option<Tick>> = match input.declarations.stops.first() {
            None => vec![None],
            Some(stop) => match &choice.stops {
                Stops::Spread => stop_ticks(input.network, stop.at),
                Stops::At(ticks) => ticks.clone(),
            }
            .into_iter()
            .map(Some)
            .collect(),
        };
        for order in &orders {
            cases.extend(stops.iter().map(|stop_at| Case {
                input: place,
                seed: input.seed,
                order: order.clone(),
                stop_at: *stop_at,
            }));
        }
    }
    cases
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
