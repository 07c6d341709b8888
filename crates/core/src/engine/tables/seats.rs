//! Where hoppers and selectors sit in memory: those that hand items to each other side by side,
//! whatever their ranks in the update order are.

use crate::engine::state::takers::{Flags, Taker};
use crate::id::PartId;
use crate::network::Network;
use crate::part::Part;

/// A hopper or selector, in the order of the seats.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Seated {
    pub(in crate::engine) part: PartId,
    /// Its place in the update order.
    pub(in crate::engine) rank: u32,
}

/// Gives every hopper and selector of this update order a seat: from each hopper that none pushes into
/// along its line, then whatever is left, in the order of declaration.
pub(in crate::engine) fn seats(network: &Network, order: &[PartId]) -> Vec<Seated> {
    const NONE: u32 = u32::MAX;
    let mut ranks = vec![NONE; network.part_count()];
    for (rank, part) in (0..).zip(order) {
        ranks[part.index()] = rank;
    }
    let mut is_pushed_into = vec![false; network.part_count()];
    for part in order {
        if let Some(next) = hopper_behind(network, *part) {
            is_pushed_into[next.index()] = true;
        }
    }
    let mut seats = Vec::with_capacity(order.len());
    let heads = network
        .turn_takers()
        .filter(|part| !is_pushed_into[part.index()]);
    for first in heads.chain(network.turn_takers()) {
        let mut next = Some(first);
        while let Some(part) = next {
            let rank = std::mem::replace(&mut ranks[part.index()], NONE);
            if rank == NONE {
                break;
            }
            seats.push(Seated { part, rank });
            next = hopper_behind(network, part);
        }
    }
    seats
}

/// The hopper that a hopper pushes into.
fn hopper_behind(network: &Network, part: PartId) -> Option<PartId> {
    let Part::Hopper(hopper) = network.part(part) else {
        return None;
    };
    let is_hopper = |target: &PartId| matches!(network.part(*target), Part::Hopper(_));
    hopper.target.filter(is_hopper)
}

/// For each seat up to that of the last selector, the place of a selector among the selectors. Halls without any pay
/// nothing.
pub(in crate::engine) fn selector_places(takers: &[Taker]) -> Vec<u32> {
    let is_selector = |taker: &Taker| taker.flags.any(Flags::SELECTOR);
    let last = takers.iter().rposition(is_selector);
    let mut next = 0;
    let place_of = |taker: &Taker| {
        let place = next;
        next += u32::from(is_selector(taker));
        place
    };
    takers[..last.map_or(0, |last| last + 1)]
        .iter()
        .map(place_of)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::NetworkBuilder;
    use crate::part::{Hopper, Intake};
    use crate::rules::Rules;

    #[test]
    fn a_line_sits_together_and_a_ring_too_and_everyone_has_one_seat() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let ids: Vec<PartId> = (0..6).map(|n| builder.declare(&format!("h{n}"))).collect();
        // A line 4 → 0 → 2, and a ring 1 → 3 → 5 → 1.
        let targets = [Some(2), Some(3), None, Some(5), Some(0), Some(1)];
        for (id, target) in ids.iter().zip(targets) {
            let hopper = Hopper {
                target: target.map(|target: usize| ids[target]),
                intake: Intake::Cap,
                lock: None,
            };
            builder.define(*id, Part::Hopper(hopper));
        }
        let network = builder.build().expect("hoppers may push into each other");
        let order: Vec<PartId> = ids.iter().rev().copied().collect();
        let seats = seats(&network, &order);
        let seated: Vec<(usize, u32)> = seats
            .iter()
            .map(|seated| (seated.part.index(), seated.rank))
            .collect();
        assert_eq!(seated, [(4, 1), (0, 5), (2, 3), (1, 4), (3, 2), (5, 0)]);
    }
}
