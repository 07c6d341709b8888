//! Where items can come to from some nodes, and from where they can come to them.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, VecDeque};

use hallwright_core::id::PartId;
use petgraph::Direction;

use super::{Way, WayKind, Ways};

impl Ways {
    /// For each node, whether items can come there from some of the `starts` (or, against the ways,
    /// from there to them) along the ways that `opens` allows. The starts themselves are reached.
    pub fn reached(
        &self,
        starts: impl IntoIterator<Item = PartId>,
        direction: Direction,
        opens: impl Fn(&Way) -> bool,
    ) -> Vec<bool> {
        let mut reached = vec![false; self.node_count()];
        let mut waiting: Vec<usize> = starts.into_iter().map(PartId::index).collect();
        while let Some(node) = waiting.pop() {
            if std::mem::replace(&mut reached[node], true) {
                continue;
            }
            let ways = self.at(node, direction).filter(|way| opens(way));
            let ends = ways.map(|way| way.end(direction));
            waiting.extend(ends.filter(|end| !reached[*end]));
        }
        reached
    }

    /// Where items can go from a part, or come from, in one hop: each part once, in the order of
    /// declaration, with whether the part at the end of the hop pulls.
    #[must_use]
    pub fn hops(&self, part: PartId, direction: Direction) -> Vec<(PartId, bool)> {
        let ways = self.at(part.index(), direction);
        let hops = ways.filter(|way| way.kind.is_hop());
        // Of several ways to one part the first counts, which is met last.
        let ends: BTreeMap<PartId, bool> = hops
            .map(|way| {
                let end = PartId::from_index(way.end(direction));
                (end, way.kind == WayKind::Pull)
            })
            .collect();
        ends.into_iter().collect()
    }

    /// All parts from which items can get to some of these, with the least number of hops, the parts
    /// themselves included.
    #[must_use]
    pub fn leading_to(&self, goals: &[PartId]) -> BTreeMap<PartId, usize> {
        let mut distance: BTreeMap<PartId, usize> = goals.iter().map(|goal| (*goal, 0)).collect();
        let mut to_follow: VecDeque<PartId> = goals.iter().copied().collect();
        while let Some(part) = to_follow.pop_front() {
            let hops_here = distance[&part];
            for (before, _) in self.hops(part, Direction::Incoming) {
                if let Entry::Vacant(unseen) = distance.entry(before) {
                    unseen.insert(hops_here + 1);
                    to_follow.push_back(before);
                }
            }
        }
        distance
    }
}
