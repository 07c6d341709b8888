//! A table from parts to lists of places.

use std::ops::Range;

use crate::id::PartId;

/// A table from parts to lists of places. Parts without a list take no room, and looking one up takes a
/// search.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Relation {
    /// The parts that have a list, sorted.
    keys: Vec<PartId>,
    /// Where the list of each key begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<u32>,
}

impl Relation {
    /// From pairs of a key and a member of its list. The members of each list are sorted by `order`.
    pub(super) fn new<K: Ord>(
        mut pairs: Vec<(PartId, PartId)>,
        order: impl Fn(PartId) -> K,
        place: impl Fn(PartId) -> u32,
    ) -> Self {
        pairs.sort_by_key(|(key, member)| (*key, order(*member)));
        pairs.dedup();
        let mut relation = Self {
            keys: Vec::new(),
            starts: vec![0],
            members: pairs.iter().map(|(_, member)| place(*member)).collect(),
        };
        for list in pairs.chunk_by(|a, b| a.0 == b.0) {
            relation.keys.push(list[0].0);
            let start = relation.starts[relation.starts.len() - 1];
            relation.starts.push(start + list.len() as u32);
        }
        relation
    }

    /// Where the list of a part lies; to be read with [`Self::member`] while something else is
    /// changed.
    #[inline]
    pub(in crate::engine) fn range(&self, key: PartId) -> Range<usize> {
        if self.keys.is_empty() {
            return 0..0;
        }
        match self.keys.binary_search(&key) {
            Ok(place) => self.starts[place] as usize..self.starts[place + 1] as usize,
            Err(_) => 0..0,
        }
    }

    pub(in crate::engine) fn member(&self, place: usize) -> usize {
        self.members[place] as usize
    }

    pub(in crate::engine) fn of(&self, key: PartId) -> impl Iterator<Item = usize> {
        self.members[self.range(key)]
            .iter()
            .map(|member| *member as usize)
    }
}
