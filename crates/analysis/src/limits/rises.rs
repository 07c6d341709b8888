//! How often a signal can rise, and so how often a dropper can fire.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;

use super::pace::{Capacity, Pace};

/// How far a signal is followed back through the signals it reads.
const DEEPEST: u32 = 16;

/// How often a signal can rise from 0.
pub(crate) fn rises(network: &Network, signal: PartId) -> Capacity {
    rises_within(network, signal, DEEPEST)
}

fn rises_within(network: &Network, part: PartId, depth: u32) -> Capacity {
    let (Some(signal), Some(depth)) = (network.signal(part), depth.checked_sub(1)) else {
        return Capacity::UNBOUNDED;
    };
    let delay_ticks = u64::from(network.rules().signal_delay_ticks);
    // A delayed part needs one event to fall and another one to rise again.
    let twice_delayed = Pace::every(2 * delay_ticks);
    let within = |pace| Capacity::Within(vec![pace]);
    match signal {
        Signal::Clock {
            period_ticks,
            high_ticks,
            ..
        } => match *high_ticks {
            0 => Capacity::Never,
            high if high >= *period_ticks => Capacity::Never,
            _ => within(Pace::every((*period_ticks).into())),
        },
        Signal::Lever { .. } => Capacity::UNBOUNDED,
        Signal::Button { hold_ticks } => within(Pace::every((*hold_ticks).into())),
        Signal::Wire { inputs } => match inputs.as_slice() {
            [(input, _)] if is_two_level(network, *input) => rises_within(network, *input, depth),
            _ => Capacity::UNBOUNDED,
        },
        Signal::Hold { input, .. } | Signal::DelayLine { input, .. } => {
            rises_within(network, *input, depth)
        }
        Signal::Repeater {
            input, delay_ticks, ..
        } => {
            // Every rise of a repeater needs one of its input since the last, if at another time.
            let own = Pace::every(2 * u64::from(*delay_ticks));
            with_input(own, rises_within(network, *input, depth), |pace| {
                pace.with_slack(pace.gap_ticks)
            })
        }
        Signal::Toggle { input } => {
            let input = rises_within(network, *input, depth);
            with_input(twice_delayed, input, |pace| Pace {
                gap_ticks: pace.gap_ticks * if pace.each == 1 { 2 } else { 1 },
                ..pace
            })
        }
        Signal::Observer { .. } => {
            let pulse_ticks = u64::from(network.rules().observer_pulse_ticks);
            within(Pace::every(delay_ticks + pulse_ticks))
        }
        Signal::Inverter { input } => sampled(network, &[*input], false),
        Signal::NoneOf { inputs } => sampled(network, inputs, false),
        Signal::AllOf { inputs } => sampled(network, inputs, true),
        Signal::Comparator { .. } | Signal::Latch { .. } => within(twice_delayed),
    }
}

/// The own pace of a part, and what its input allows.
fn with_input(own: Pace, input: Capacity, changed: impl Fn(Pace) -> Pace) -> Capacity {
    match input {
        Capacity::Never => Capacity::Never,
        Capacity::Within(paces) => {
            let paces = paces.into_iter().map(changed);
            Capacity::Within(std::iter::once(own).chain(paces).collect())
        }
    }
}

/// A part that rises only at events, and only while all of these inputs are on (or off). A clock
/// among them leaves room for few rises in each of its periods.
fn sampled(network: &Network, inputs: &[PartId], on: bool) -> Capacity {
    let delay_ticks = u64::from(network.rules().signal_delay_ticks);
    let mut paces = vec![Pace::every(2 * delay_ticks)];
    for input in inputs {
        let Some((period_ticks, high_ticks)) = network.signal(*input).and_then(Signal::beat) else {
            continue;
        };
        let period = u64::from(period_ticks);
        let high = u64::from(high_ticks).min(period);
        let open = if on { high } else { period - high };
        if open == 0 || open == period {
            continue;
        }
        paces.push(Pace {
            gap_ticks: period,
            slack_ticks: open - 1,
            each: 1 + (open - 1) / (2 * delay_ticks).max(1),
        });
    }
    Capacity::Within(paces)
}

/// Whether a signal is at 0 or 15, never between.
fn is_two_level(network: &Network, part: PartId) -> bool {
    network.signal(part).is_some_and(|signal| match signal {
        Signal::Comparator { .. } | Signal::Wire { .. } | Signal::DelayLine { .. } => false,
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Repeater { .. } => true,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Hold { .. } => true,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::AllOf { .. } => true,
        Signal::NoneOf { .. } | Signal::Clock { .. } => true,
    })
}
