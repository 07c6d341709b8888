//! Which of some numbered groups a part belongs to: stores, flows, sections. One look-up a part.

use hallwright_core::id::PartId;

use super::ledger::Spot;

/// For each part, the groups that name it.
pub(crate) struct Groups {
    by_part: Vec<Vec<u32>>,
}

impl Groups {
    /// The groups with these parts, numbered from 0.
    pub(crate) fn new<'a>(
        part_count: usize,
        groups: impl IntoIterator<Item = &'a [PartId]>,
    ) -> Self {
        let mut by_part: Vec<Vec<u32>> = vec![Vec::new(); part_count];
        for (group, parts) in (0..).zip(groups) {
            for part in parts {
                let entry = &mut by_part[part.index()];
                if entry.last() != Some(&group) {
                    entry.push(group);
                }
            }
        }
        Self { by_part }
    }

    /// The groups that a part belongs to, ascending.
    pub(crate) fn of(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.by_part[part.index()]
            .iter()
            .map(|group| *group as usize)
    }

    /// The groups that a spot belongs to, each once.
    pub(crate) fn of_spot(&self, spot: Spot) -> impl Iterator<Item = usize> {
        let also = spot
            .also
            .map_or(&[][..], |also| &self.by_part[also.index()]);
        let own = &self.by_part[spot.part.index()];
        let more = also.iter().filter(|group| !own.contains(group));
        own.iter().chain(more).map(|group| *group as usize)
    }

    /// Whether a spot belongs to a group.
    pub(crate) fn contains(&self, spot: Spot, group: usize) -> bool {
        self.of_spot(spot).any(|of| of == group)
    }

    /// Whether a spot belongs to any group.
    pub(crate) fn contains_any(&self, spot: Spot) -> bool {
        spot.parts()
            .any(|part| !self.by_part[part.index()].is_empty())
    }
}
