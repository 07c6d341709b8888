//! Hand-overs from dropper to dropper that come off in one signal order only.

use hallwright_analysis::signals::readers;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, SignalRole};
use hallwright_core::part::{Dropper, Intake, Outlet, Part, Rear, Signal};

use super::possible::Possible;
use super::reach::Reach;
use super::{Design, Finding, Rule};

/// So many wires, repeaters and comparators are followed from a dropper to what fires it.
const MOST_RELAYS: usize = 16;

const HELP: &str = "no builder chooses that order: fire the second dropper a delay later, or in the same \
                    tick by a comparator that reads the signal, and the first by a repeater that reads \
                    it, which then always comes first";

const HELP_FOR_TWO: &str = "no builder chooses that order: fire the second dropper a delay later, or in the \
                            same tick by a comparator, and the first by a repeater, which then always \
                            comes first";

/// Finds two droppers fired by one signal, or by two that are alike, of which the first hands to the second, if an
/// item that stops over in the second goes another way, or none.
///
/// Both always fire in the same tick, in signal order. If the first fires first, an item goes through
/// both before any hopper has its turn; if the second does, the item stops over. Where it only goes on
/// with the next pulse, that is a matter of when, not of whether, and is left alone.
pub(super) fn find(
    design: &Design<'_>,
    reach: &Reach,
    possible: &Possible,
    found: &mut Vec<Finding>,
) {
    let network = design.network;
    let drawing = drawing_hoppers(network, possible);
    let name = |part| network.name(part);
    for (first, part) in network.parts() {
        let Part::Dropper(dropper) = part else {
            continue;
        };
        let Some((second, triggers)) = fired_together(network, dropper) else {
            continue;
        };
        let [one, other] = triggers;
        if !reach.can_hold(first) || !possible.changes(one) || !possible.changes(other) {
            continue;
        }
        let (fire, help) = match one == other {
            true => (format!("`{}` fires both droppers", name(one)), HELP),
            false => (
                format!(
                    "`{}` and `{}`, which hear the same, fire the droppers",
                    name(one),
                    name(other)
                ),
                HELP_FOR_TWO,
            ),
        };
        let needed = needed_by(network, one);
        let words = if let Some(hopper) = drawing[second.index()] {
            format!(
                "whether `{}` can take what `{}` hands to `{}` depends on the signal order: {fire} in one tick",
                name(hopper),
                name(first),
                name(second)
            )
        } else if let Some(needed) = needed.filter(|needed| *needed != second) {
            format!(
                "whether what `{}` hands to `{}` goes on depends on the signal order: {fire} in one tick, and \
                 only while `{}` holds something",
                name(first),
                name(second),
                name(needed)
            )
        } else {
            continue;
        };
        found.push(Finding::of(Rule::SignalOrder, first, words, help));
    }
}

/// The dropper that a dropper hands to, with the signals that fire the one and the other, if these always do so in
/// one tick and in signal order.
fn fired_together(network: &Network, first: &Dropper) -> Option<(PartId, [PartId; 2])> {
    let Outlet::Into(second) = first.outlet else {
        return None;
    };
    let Part::Dropper(other) = network.part(second) else {
        return None;
    };
    let triggers = [first.trigger?, other.trigger?];
    are_alike(network, triggers).then_some((second, triggers))
}

/// Whether two signals are one, or turn on in the same ticks, in signal order.
///
/// Two that are of one sort, with the same settings and inputs, look at the same changes, and each change reaches
/// them in signal order. What they schedule then comes in that order too, unless it is of different ranks: one may
/// feed a repeater or comparator, and the other not.
fn are_alike(network: &Network, [one, other]: [PartId; 2]) -> bool {
    let (signal, same) = (network.signal(one), network.signal(other));
    one == other
        || signal == same
            && signal.is_some_and(|signal| match signal {
                // Each is moved by itself.
                Signal::Lever { .. } | Signal::Button { .. } => false,
                Signal::Repeater { .. } | Signal::Comparator { .. } => {
                    feeds(network, one) == feeds(network, other)
                }
                Signal::Wire { .. } | Signal::Inverter { .. } | Signal::Observer { .. } => true,
                Signal::Hold { .. } | Signal::Latch { .. } | Signal::Toggle { .. } => true,
                Signal::AllOf { .. } | Signal::NoneOf { .. } => true,
                Signal::Clock { .. } | Signal::DelayLine { .. } => true,
            })
}

/// Whether a signal feeds a repeater or comparator, which gives it another rank.
fn feeds(network: &Network, signal: PartId) -> bool {
    readers(network, signal).any(|(reader, role)| {
        let is_fed = matches!(
            network.signal(reader),
            Some(Signal::Repeater { .. } | Signal::Comparator { .. })
        );
        is_fed && matches!(role, SignalRole::Input | SignalRole::Lock)
    })
}

/// For each part, the first hopper that draws from it and is not always locked.
fn drawing_hoppers(network: &Network, possible: &Possible) -> Vec<Option<PartId>> {
    let mut drawing = vec![None; network.part_count()];
    for (id, part) in network.parts() {
        let Part::Hopper(hopper) = part else {
            continue;
        };
        let may_move = hopper.lock.is_none_or(|lock| possible.off(lock));
        if let (Intake::Above(above), true) = (hopper.intake, may_move) {
            drawing[above.index()].get_or_insert(id);
        }
    }
    drawing
}

/// The place without which a signal does not go on once the last item has been fired from there: what
/// it reads, or what one input reads of which all must be on. `None` where another input could make it go
/// off and on again before the reading is seen to be off.
fn needed_by(network: &Network, signal: PartId) -> Option<PartId> {
    let read = |signal: PartId| match network.signal(signal) {
        Some(Signal::Comparator {
            rear: Rear::Inventory(read),
            ..
        }) => Some(*read),
        _ => None,
    };
    let (signal, way_ticks) = heard_through_relays(network, signal)?;
    let Some(Signal::AllOf { inputs }) = network.signal(signal) else {
        return read(signal);
    };
    let fired_ticks = way_ticks.saturating_add(network.rules().dropper_delay_ticks);
    let mut others = inputs.iter().filter(|input| read(**input).is_none());
    let is_slow = others.all(|other| goes_on_again_late(network, *other, fired_ticks));
    let mut read = inputs.iter().filter_map(|input| read(*input));
    match (read.next(), read.next()) {
        (Some(only), None) if is_slow => Some(only),
        _ => None,
    }
}

/// The signal that a signal passes on, through wires, repeaters and comparators that have no other input, and how
/// much later that is, in ticks. `None` where there are too many of them, as on a loop.
fn heard_through_relays(network: &Network, mut signal: PartId) -> Option<(PartId, u32)> {
    let mut way_ticks: u32 = 0;
    for _ in 0..=MOST_RELAYS {
        let Some((input, delay_ticks)) = relayed(network, signal) else {
            return Some((signal, way_ticks));
        };
        signal = input;
        way_ticks = way_ticks.saturating_add(delay_ticks);
    }
    None
}

/// The only input of a wire, repeater or comparator, and how much later it is passed on, in ticks. A loss could keep
/// a low level back.
fn relayed(network: &Network, signal: PartId) -> Option<(PartId, u32)> {
    match network.signal(signal)? {
        Signal::Wire { inputs } => match inputs.as_slice() {
            [(input, 0)] => Some((*input, 0)),
            _ => None,
        },
        Signal::Repeater {
            input,
            delay_ticks,
            lock: None,
        } => Some((*input, *delay_ticks)),
        Signal::Comparator {
            rear: Rear::Signal(rear),
            side: None,
            ..
        } => Some((*rear, network.rules().signal_delay_ticks)),
        Signal::Repeater { .. } | Signal::Comparator { .. } => None,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Hold { .. } => None,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::DelayLine { .. } => None,
        Signal::AllOf { .. } | Signal::NoneOf { .. } | Signal::Clock { .. } => None,
        Signal::Lever { .. } | Signal::Button { .. } => None,
    }
}

/// Whether a signal, gone off, stays off for at least so many ticks, which a firing takes. Levers are
/// moved by hand.
fn goes_on_again_late(network: &Network, signal: PartId, fired_ticks: u32) -> bool {
    match network.signal(signal) {
        Some(Signal::Clock {
            period_ticks,
            high_ticks,
            ..
        }) => period_ticks.saturating_sub(*high_ticks) >= fired_ticks,
        Some(Signal::Lever { .. }) => true,
        _ => false,
    }
}
