//! Which parts belong together: names such as `row[3].eye` say which use of a module a part is of.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

/// What stands in an area.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Child {
    /// An area.
    Area(usize),
    /// A part.
    Part(PartId),
}

/// The areas of a network, each after the one around it.
pub(super) struct Areas {
    /// The last word of each area's name; the whole hall has none.
    pub(super) names: Vec<String>,
    /// The area around each.
    pub(super) parents: Vec<Option<usize>>,
    /// What stands in each, in the order of declaration.
    pub(super) children: Vec<Vec<Child>>,
    /// The area of each part.
    pub(super) area_of: Vec<usize>,
}

impl Areas {
    /// Sorts the parts of a network into areas.
    pub(super) fn new(network: &Network) -> Self {
        let mut areas = Self {
            names: vec![String::new()],
            parents: vec![None],
            children: vec![Vec::new()],
            area_of: Vec::new(),
        };
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        for part in network.part_ids() {
            let name = network.name(part);
            let mut area = 0;
            for (end, _) in name.match_indices('.') {
                let path = &name[..end];
                let next = areas.names.len();
                let inner = *known.entry(path).or_insert(next);
                if inner == next {
                    let word = path.rsplit('.').next().unwrap_or(path);
                    areas.names.push(word.to_owned());
                    areas.parents.push(Some(area));
                    areas.children.push(Vec::new());
                    areas.children[area].push(Child::Area(inner));
                }
                area = inner;
            }
            areas.children[area].push(Child::Part(part));
            areas.area_of.push(area);
        }
        areas
    }

    /// The child of an area that a part is, or stands in; `None` if it is not in the area.
    pub(super) fn child_with(&self, area: usize, part: PartId) -> Option<Child> {
        let mut at = self.area_of[part.index()];
        if at == area {
            return Some(Child::Part(part));
        }
        loop {
            let parent = self.parents[at]?;
            if parent == area {
                return Some(Child::Area(at));
            }
            at = parent;
        }
    }
}
