//! The comparators that read each part.

use std::ops::Range;

use crate::id::PartId;

/// For each part, by its number, the places of the comparators that read it, in signal order.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Readers {
    /// Where the list of each part begins; one more at the end. Parts behind the last that is read have none.
    starts: Vec<u32>,
    members: Vec<u32>,
}

impl Readers {
    /// From pairs of a part and a comparator that reads it.
    pub(super) fn new(
        mut pairs: Vec<(PartId, PartId)>,
        order: impl Fn(PartId) -> u32,
        place: impl Fn(PartId) -> u32,
    ) -> Self {
        pairs.sort_by_key(|(part, comparator)| (*part, order(*comparator)));
        pairs.dedup();
        let part_count = pairs.last().map_or(0, |(part, _)| part.index() + 1);
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
        match self.starts.get(part.index()..) {
            Some([start, end, ..]) => *start as usize..*end as usize,
            _ => 0..0,
        }
    }

    /// A comparator's place among the signals.
    pub(in crate::engine) fn place(&self, member: usize) -> usize {
        self.members[member] as usize
    }
}
