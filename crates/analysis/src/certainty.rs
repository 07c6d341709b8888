//! How long a network can stand still before it is certain that nothing more will happen.

use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;

/// For how long nothing must have moved until it is certain that nothing more will (tick rules,
/// section 7): longer than every period, hold, delay, latency, `after`, dwell and travel time in the
/// network put together. Cooldowns are added once.
#[must_use]
pub fn certainty_ticks(network: &Network) -> u64 {
    waits(network).sum::<u64>() + cooldown_ticks(network.rules())
}

/// The longest period of any clock in the network, a hopper's cooldown at least: what goes on by
/// itself shows within this time.
#[must_use]
pub fn longest_beat_ticks(network: &Network) -> u64 {
    let signals = network.parts().filter_map(|(_, part)| part.signal());
    let periods = signals.filter_map(Signal::beat);
    periods
        .map(|(period_ticks, _)| u64::from(period_ticks))
        .max()
        .unwrap_or(0)
        .max(cooldown_ticks(network.rules()))
}

fn cooldown_ticks(rules: &Rules) -> u64 {
    u64::from(rules.cooldown_ticks.max(rules.arrival_ticks))
}

/// For each part, how long it waits at most, in ticks.
fn waits(network: &Network) -> impl Iterator<Item = u64> + '_ {
    let rules = network.rules();
    network.parts().map(move |(_, part)| match part {
        // What is loose or inside a selector is not quiet, however long it takes.
        Part::Container(_) | Part::Hopper(_) | Part::Mouth | Part::Dock | Part::Stream(_) => 0,
        Part::Dropper(_) => u64::from(rules.dropper_delay_ticks),
        Part::Bench(bench) => u64::from(bench.after_ticks) + 1,
        Part::Selector(selector) => selector.latency_ticks.into(),
        Part::Shuttle(shuttle) => {
            let stops = shuttle.stops.iter();
            stops
                .map(|stop| u64::from(stop.travel_ticks) + u64::from(stop.dwell_ticks))
                .sum()
        }
        Part::Signal(signal) => match signal {
            Signal::Lever { .. } | Signal::Wire { .. } => 0,
            Signal::Button { hold_ticks } | Signal::Hold { hold_ticks, .. } => (*hold_ticks).into(),
            Signal::Repeater { delay_ticks, .. } | Signal::DelayLine { delay_ticks, .. } => {
                (*delay_ticks).into()
            }
            Signal::Clock { period_ticks, .. } => (*period_ticks).into(),
            Signal::Observer { .. } => {
                u64::from(rules.signal_delay_ticks) + u64::from(rules.observer_pulse_ticks)
            }
            Signal::Comparator { .. }
            | Signal::Inverter { .. }
            | Signal::Latch { .. }
            | Signal::Toggle { .. }
            | Signal::AllOf { .. }
            | Signal::NoneOf { .. } => rules.signal_delay_ticks.into(),
        },
    })
}
