//! Waits that began since the last look at the state.

use hallwright_core::id::PartId;

/// Of each part, the wait that it is in, if it began since the last look. A hall has many parts, and each
/// changes often between two looks.
pub(super) struct Begun {
    by_part: Vec<Option<u32>>,
    /// The parts that have one, each perhaps more than once, or had.
    parts: Vec<PartId>,
}

impl Begun {
    /// None yet.
    pub(super) fn none(part_count: usize) -> Self {
        Self {
            by_part: vec![None; part_count],
            parts: Vec::new(),
        }
    }

    /// A part is in this wait now.
    pub(super) fn insert(&mut self, part: PartId, wait: u32) {
        if self.by_part[part.index()].replace(wait).is_none() {
            self.parts.push(part);
        }
    }

    /// Forgets the wait of a part.
    pub(super) fn remove(&mut self, part: PartId) {
        self.by_part[part.index()] = None;
    }

    /// Takes all, in the order of parts.
    pub(super) fn take(&mut self) -> Vec<(PartId, u32)> {
        let mut parts = std::mem::take(&mut self.parts);
        parts.sort_unstable();
        let waits = parts.into_iter().filter_map(|part| {
            let wait = self.by_part[part.index()].take()?;
            Some((part, wait))
        });
        waits.collect()
    }
}
