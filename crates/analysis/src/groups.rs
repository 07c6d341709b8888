//! Which of some numbered groups a part belongs to: stores, flows, sections. One look-up a part.

use hallwright_core::id::PartId;
use serde::{Deserialize, Serialize};

/// Where items are: a part and, where two parts are one place, the other. A docked shuttle is at its
/// place; a stack on a stream counts as being at the mouth there as well, since no event reports of
/// its arrival.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Spot {
    /// The part.
    pub part: PartId,
    /// The docked shuttle, or the mouth at the end of the stream.
    pub also: Option<PartId>,
}

impl Spot {
    /// Both parts.
    #[inline]
    pub fn parts(self) -> impl Iterator<Item = PartId> {
        std::iter::once(self.part).chain(self.also)
    }
}

/// For each part, the groups that name it.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub struct Groups {
    /// The groups of all parts, one part behind the other.
    groups: Vec<u32>,
    /// Where the groups of each part begin, and of the last one end.
    begins: Vec<u32>,
}

impl Groups {
    /// The groups with these parts, numbered from 0.
    pub fn new<'a>(part_count: usize, groups: impl IntoIterator<Item = &'a [PartId]>) -> Self {
        let mut named: Vec<(PartId, u32)> = Vec::new();
        for (group, parts) in (0..).zip(groups) {
            named.extend(parts.iter().map(|part| (*part, group)));
        }
        Self::of_pairs(part_count, named)
    }

    /// The groups of these parts, given one by one.
    pub fn of_pairs(part_count: usize, named: impl IntoIterator<Item = (PartId, u32)>) -> Self {
        let mut named: Vec<(PartId, u32)> = named.into_iter().collect();
        named.sort_unstable();
        named.dedup();
        let mut begins = vec![0; part_count + 1];
        for (part, _) in &named {
            begins[part.index() + 1] += 1;
        }
        let mut sum = 0;
        for begin in &mut begins {
            sum += *begin;
            *begin = sum;
        }
        Self {
            groups: named.into_iter().map(|(_, group)| group).collect(),
            begins,
        }
    }

    #[inline]
    fn groups_of(&self, part: PartId) -> &[u32] {
        let (begin, end) = (self.begins[part.index()], self.begins[part.index() + 1]);
        &self.groups[begin as usize..end as usize]
    }

    /// The groups that a part belongs to, ascending.
    #[inline]
    pub fn of(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.groups_of(part).iter().map(|group| *group as usize)
    }

    /// The group that a part belongs to, if it is the only one.
    pub fn only(&self, part: PartId) -> Option<u32> {
        match self.groups_of(part) {
            [group] => Some(*group),
            _ => None,
        }
    }

    /// The groups that a spot belongs to, each once.
    #[inline]
    pub fn of_spot(&self, spot: Spot) -> impl Iterator<Item = usize> {
        let own = self.groups_of(spot.part);
        let also = spot.also.map_or(&[][..], |also| self.groups_of(also));
        let more = also.iter().filter(|group| !own.contains(group));
        own.iter().chain(more).map(|group| *group as usize)
    }

    /// Whether a spot belongs to a group.
    #[inline]
    pub fn contains(&self, spot: Spot, group: usize) -> bool {
        let mut parts = spot.parts();
        parts.any(|part| self.of(part).any(|of| of == group))
    }

    /// Whether a part belongs to any group.
    #[inline]
    pub fn names(&self, part: PartId) -> bool {
        !self.groups_of(part).is_empty()
    }

    /// Whether a spot belongs to any group.
    #[inline]
    pub fn contains_any(&self, spot: Spot) -> bool {
        spot.parts().any(|part| self.names(part))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_has_its_groups_in_order_and_each_once() {
        let part = PartId::from_index;
        let groups = [vec![part(2), part(0), part(2)], vec![], vec![part(2)]];
        let groups = Groups::new(4, groups.iter().map(Vec::as_slice));
        let of = |index| groups.of(part(index)).collect::<Vec<_>>();
        assert_eq!(
            [of(0), of(1), of(2), of(3)],
            [vec![0], vec![], vec![0, 2], vec![]]
        );
    }

    #[test]
    fn a_spot_of_two_parts_belongs_to_the_groups_of_both() {
        let part = PartId::from_index;
        let groups = [[part(0)], [part(1)], [part(0)]];
        let groups = Groups::new(2, groups.iter().map(<[PartId; 1]>::as_slice));
        let spot = Spot {
            part: part(1),
            also: Some(part(0)),
        };
        assert_eq!(groups.of_spot(spot).collect::<Vec<_>>(), [1, 0, 2]);
        assert!((0..3).all(|group| groups.contains(spot, group)));
    }
}
