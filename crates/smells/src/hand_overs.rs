//! Hand-overs from dropper to dropper that come off in one signal order only.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Dropper, Intake, Outlet, Part, Rear, Signal};

use super::possible::Possible;
use super::reach::Reach;
use super::{Design, Finding, Rule};

const HELP: &str = "no builder chooses that order: fire the second dropper a delay later, or in the same \
                    tick by a comparator that reads the signal, and the first by a repeater that reads \
                    it, which then always comes first";

/// Finds two droppers fired by one signal, of which the first hands to the second, if an item
/// that stops over in the second goes another way, or none.
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
        let Some((second, trigger)) = fired_together(network, dropper) else {
            continue;
        };
        if !reach.can_hold(first) || !possible.changes(trigger) {
            continue;
        }
        let needed = needed_by(network, trigger);
        let words = if let Some(hopper) = drawing[second.index()] {
            format!(
                "whether `{}` can take what `{}` hands to `{}` depends on the signal order: `{}` \
                 fires both droppers in one tick",
                name(hopper),
                name(first),
                name(second),
                name(trigger)
            )
        } else if let Some(needed) = needed.filter(|needed| *needed != second) {
            format!(
                "whether what `{}` hands to `{}` goes on depends on the signal order: `{}` fires both \
                 droppers in one tick, and only while `{}` holds something",
                name(first),
                name(second),
                name(trigger),
                name(needed)
            )
        } else {
            continue;
        };
        found.push(Finding::of(Rule::SignalOrder, first, words, HELP));
    }
}

/// The dropper that a dropper hands to, with the signal that fires both, if one does.
fn fired_together(network: &Network, first: &Dropper) -> Option<(PartId, PartId)> {
    let Outlet::Into(second) = first.outlet else {
        return None;
    };
    let Part::Dropper(other) = network.part(second) else {
        return None;
    };
    let trigger = first.trigger.filter(|_| first.trigger == other.trigger)?;
    Some((second, trigger))
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
    let Some(Signal::AllOf { inputs }) = network.signal(signal) else {
        return read(signal);
    };
    let mut others = inputs.iter().filter(|input| read(**input).is_none());
    let is_slow = others.all(|other| goes_on_again_late(network, *other));
    let mut read = inputs.iter().filter_map(|input| read(*input));
    match (read.next(), read.next()) {
        (Some(only), None) if is_slow => Some(only),
        _ => None,
    }
}

/// Whether a signal, gone off, stays off for at least as long as a firing takes. Levers are moved by hand.
fn goes_on_again_late(network: &Network, signal: PartId) -> bool {
    match network.signal(signal) {
        Some(Signal::Clock {
            period_ticks,
            high_ticks,
            ..
        }) => period_ticks.saturating_sub(*high_ticks) >= network.rules().dropper_delay_ticks,
        Some(Signal::Lever { .. }) => true,
        _ => false,
    }
}
