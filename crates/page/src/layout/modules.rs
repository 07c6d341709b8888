//! Which parts belong together: names such as `row[3].eye` say which module a part is of.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

/// What stands in an module.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Child {
    /// An module.
    Module(usize),
    /// A part.
    Part(PartId),
}

/// The modules of a network, each after the one around it.
pub(super) struct Modules {
    /// The last word of each module's name; the whole hall has none.
    pub(super) names: Vec<String>,
    /// The module around each.
    pub(super) parents: Vec<Option<usize>>,
    /// What stands in each, in the order of declaration.
    pub(super) children: Vec<Vec<Child>>,
    /// The module of each part.
    pub(super) module_of: Vec<usize>,
}

impl Modules {
    /// Sorts the parts of a network into modules.
    pub(super) fn new(network: &Network) -> Self {
        let mut modules = Self {
            names: vec![String::new()],
            parents: vec![None],
            children: vec![Vec::new()],
            module_of: Vec::new(),
        };
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        for part in network.part_ids() {
            let name = network.name(part);
            let mut module = 0;
            for (end, _) in name.match_indices('.') {
                let path = &name[..end];
                let next = modules.names.len();
                let inner = *known.entry(path).or_insert(next);
                if inner == next {
                    let word = path.rsplit('.').next().unwrap_or(path);
                    modules.names.push(word.to_owned());
                    modules.parents.push(Some(module));
                    modules.children.push(Vec::new());
                    modules.children[module].push(Child::Module(inner));
                }
                module = inner;
            }
            modules.children[module].push(Child::Part(part));
            modules.module_of.push(module);
        }
        modules
    }

    /// The child of an module that a part is, or stands in; `None` if it is not in the module.
    pub(super) fn child_with(&self, module: usize, part: PartId) -> Option<Child> {
        let mut at = self.module_of[part.index()];
        if at == module {
            return Some(Child::Part(part));
        }
        loop {
            let parent = self.parents[at]?;
            if parent == module {
                return Some(Child::Module(at));
            }
            at = parent;
        }
    }
}
