//! Lines far longer than a call stack is deep.

use hallwright_analysis::ways::{KindWays, Ways};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Hopper, Intake, Part};
use petgraph::Direction;

use crate::support::Draft;

/// How many hoppers there are.
const LENGTH: usize = 200_000;

/// A line of hoppers, each pushing into the next, and the last one into the first if it is a ring.
fn line(is_ring: bool) -> Network {
    let mut draft = Draft::new();
    for index in 0..LENGTH {
        let next = PartId::from_index((index + 1) % LENGTH);
        let hopper = Hopper {
            target: (is_ring || index + 1 < LENGTH).then_some(next),
            intake: Intake::Cap,
            lock: None,
        };
        draft
            .builder
            .add(&format!("h{index}"), Part::Hopper(hopper));
    }
    draft.done()
}

#[test]
fn a_line_of_200_000_parts_has_no_ring_and_is_reached_to_its_end() {
    let network = line(false);
    let ways = Ways::new(&network);
    assert!(ways.rings(|_| true).is_empty());
    let (first, last) = (PartId::from_index(0), PartId::from_index(LENGTH - 1));
    let reached = ways.reached([first], Direction::Outgoing, |_| true);
    assert!(reached[last.index()]);
    assert_eq!(ways.leading_to(&[last])[&first], LENGTH - 1);
    let barley = hallwright_core::id::KindId::from_index(0);
    let homes = KindWays::new(&network).homes(barley, first, &[&[last]]);
    assert_eq!(homes.len(), 1);
}

#[test]
fn a_ring_of_200_000_parts_is_one_ring() {
    let network = line(true);
    let rings = Ways::new(&network).rings(|_| true);
    assert_eq!(rings.len(), 1);
    assert_eq!(rings[0].len(), LENGTH);
}
