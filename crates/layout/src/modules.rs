//! Which parts belong together: names such as `row[3].eye` say which module a part is of.

use std::collections::BTreeMap;

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_declared::declarations::{Store, StorePurpose};

/// What stands in an module.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Child {
    /// An module.
    Module(usize),
    /// A part.
    Part(PartId),
}

/// The modules of a network, each after the one around it.
pub(crate) struct Modules {
    /// The last word of each module's name; the whole hall has none.
    pub(crate) names: Vec<String>,
    /// The goods of each module in which one store is.
    pub(crate) goods: Vec<Option<String>>,
    /// The module around each.
    pub(crate) parents: Vec<Option<usize>>,
    /// What stands in each, in the order of declaration.
    pub(crate) children: Vec<Vec<Child>>,
    /// The module of each part.
    pub(crate) module_of: Vec<usize>,
}

impl Modules {
    /// Sorts the parts of a network into modules. A module with one store has its goods.
    pub(crate) fn new(network: &Network, stores: &[Store]) -> Self {
        let goods = goods_of_modules(network, stores);
        let mut modules = Self {
            names: vec![String::new()],
            goods: vec![None],
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
                    modules.goods.push(goods.get(path).cloned());
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
    pub(crate) fn child_with(&self, module: usize, part: PartId) -> Option<Child> {
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

/// The goods of those modules in which one store is declared that takes some. Of more than two kinds the first is named,
/// and how many there are besides.
fn goods_of_modules<'s>(network: &Network, stores: &'s [Store]) -> BTreeMap<&'s str, String> {
    let mut goods: BTreeMap<&str, Option<String>> = BTreeMap::new();
    let slices = stores
        .iter()
        .filter(|store| store.purpose == StorePurpose::Slice);
    for store in slices {
        let Some((module, _)) = store.name.rsplit_once('.') else {
            continue;
        };
        let kind = |kind: &KindId| network.kinds()[kind.index()].name.clone();
        let words = match &store.takes[..] {
            [] => continue,
            [one] => kind(one),
            [one, other] => format!("{}, {}", kind(one), kind(other)),
            [first, rest @ ..] => format!("{} and {} more", kind(first), rest.len()),
        };
        let is_only = !goods.contains_key(module);
        goods.insert(module, is_only.then_some(words));
    }
    goods
        .into_iter()
        .filter_map(|(module, words)| Some((module, words?)))
        .collect()
}
