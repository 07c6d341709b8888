//! The signal order, in which one change reaches those that it concerns (tick rules, section 2).

use crate::id::PartId;

/// The place of every part in the signal order.
#[derive(Clone, Debug)]
pub(in crate::engine) struct SignalOrder {
    places: Vec<u32>,
}

impl SignalOrder {
    /// The places that this order gives, in a network of so many parts. A part that is not in it comes
    /// behind all others.
    pub(in crate::engine) fn new(order: &[PartId], part_count: usize) -> Self {
        let mut places = vec![u32::MAX; part_count];
        for (place, part) in (0..).zip(order) {
            places[part.index()] = place;
        }
        Self { places }
    }

    pub(in crate::engine) fn place(&self, part: PartId) -> u32 {
        self.places[part.index()]
    }
}
