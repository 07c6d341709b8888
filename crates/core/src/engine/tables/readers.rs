//! The comparators that read each part.

use std::ops::Range;

use crate::id::PartId;

/// For each part, by its number, the places of the comparators that read it, in signal order.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Readers {
    /// Where the list of each part begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<u32>,
}

impl Readers {
    /// From pairs of a part and a comparator that reads it.
    pub(super) fn new(
        part_count: usize,
        mut pairs: Vec<(PartId, PartId)>,
        order: impl Fn(PartId) -> u32,
        place: impl Fn(PartId) -> u32,
    ) -> Self {
        pairs.sort_by_key(|(part, comparator)| (*part, order(*comparator)));
        pairs.dedup();
        let mut starts = vec![0; part_count + 1];
        for (part, _) in &pairs {
            starts[part.index() + 1] += 1;
        }
        let mut end = 0;
        for start in &mut starts {
            end += *start;
            *start = end;
        }
        let members = pairs.iter().map(|(_, comparator)| place(*comparator));
        Self {
            starts,
            members: members.collect(),
        }
    }

    /// The comparators that read a part, to be read with [`Self::place`] while something else is changed.
    pub(in crate::engine) fn of(&self, part: PartId) -> Range<usize> {
        let index = part.index();
        self.starts[index] as usize..self.starts[index + 1] as usize
    }

    /// A comparator's place among the signals.
    pub(in crate::engine) fn place(&self, member: usize) -> usize {
        self.members[member] as usize
    }
}
