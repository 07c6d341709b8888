//! Every module in layers, from the innermost out: see [`layers`].

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};

use super::layers;
use super::modules::{Child, Modules};
use super::{Map, Module, Place};

/// Room inside an module's edge.
const MARGIN: f64 = 0.6;
/// Room above, for the module's name.
const HEAD: f64 = 1.2;

/// Width and height.
type Size = (f64, f64);
/// The upper left corner of something, from that of the module around it.
type Spot = (f64, f64);

/// Lays everything out.
pub(crate) fn lay_out(network: &Network, modules: &Modules) -> Map {
    let links = links_of_modules(network, modules);
    let (sizes, offsets) = arrange(modules, &links);
    absolute(network, modules, &sizes, &offsets)
}

/// The size of each module, and where each child stands in its module.
fn arrange(modules: &Modules, links: &[Vec<(Child, Child)>]) -> (Vec<Size>, BTreeMap<Child, Spot>) {
    let mut sizes = vec![(0.0, 0.0); modules.names.len()];
    let mut offsets = BTreeMap::new();
    // Inner modules come later in the list, so that they are done before those around them.
    for module in (0..modules.names.len()).rev() {
        let size_of = |child: &Child| match child {
            Child::Module(inner) => sizes[*inner],
            Child::Part(_) => (1.0, 1.0),
        };
        let children = &modules.children[module];
        let boxes: Vec<(f64, f64)> = children.iter().map(size_of).collect();
        let numbers: BTreeMap<Child, usize> = children.iter().copied().zip(0..).collect();
        let links = links[module].iter();
        let links: Vec<(usize, usize)> = links
            .filter_map(|(from, to)| Some((*numbers.get(from)?, *numbers.get(to)?)))
            .collect();
        let (width, height, spots) = layers::lay_out(&boxes, &links);
        for (child, (x, y)) in children.iter().zip(spots) {
            offsets.insert(*child, (x + MARGIN, y + HEAD));
        }
        sizes[module] = (width.max(3.0) + 2.0 * MARGIN, height + HEAD + MARGIN);
    }
    (sizes, offsets)
}

/// The links between the children of each module, each pair once, in the order of the parts.
fn links_of_modules(network: &Network, modules: &Modules) -> Vec<Vec<(Child, Child)>> {
    let mut links = vec![Vec::new(); modules.names.len()];
    let graph = network.graph();
    for edge in graph.edge_indices() {
        let Some((from, to)) = graph.edge_endpoints(edge) else {
            continue;
        };
        // What only looks says little about the way of the goods.
        let weak = matches!(
            graph[edge],
            Link::Signal(SignalRole::Reading | SignalRole::Watch) | Link::Round
        );
        if weak {
            continue;
        }
        let from = PartId::from_index(from.index());
        let to = PartId::from_index(to.index());
        let Some(module) = common_module(modules, from, to) else {
            continue;
        };
        if let (Some(one), Some(other)) = (
            modules.child_with(module, from),
            modules.child_with(module, to),
        ) && one != other
        {
            links[module].push((one, other));
        }
    }
    for list in &mut links {
        list.sort_unstable();
        list.dedup();
    }
    links
}

/// The innermost module that holds both parts.
fn common_module(modules: &Modules, one: PartId, other: PartId) -> Option<usize> {
    let around = |part: PartId| {
        let own = modules.module_of[part.index()];
        std::iter::successors(Some(own), |module| modules.parents[*module])
    };
    around(one).find(|module| around(other).any(|of| of == *module))
}

/// Adds up where everything stands, from the whole hall inwards.
fn absolute(
    network: &Network,
    modules: &Modules,
    sizes: &[(f64, f64)],
    offsets: &BTreeMap<Child, (f64, f64)>,
) -> Map {
    let offset = |child| offsets.get(&child).copied().unwrap_or_default();
    let mut made: Vec<Module> = Vec::with_capacity(modules.names.len());
    for (module, name) in modules.names.iter().enumerate() {
        let parent = modules.parents[module];
        let (x, y) = parent.map_or((0.0, 0.0), |parent| {
            let around: Place = made[parent].place;
            let (x, y) = offset(Child::Module(module));
            (around.x + x, around.y + y)
        });
        let (width, height) = sizes[module];
        made.push(Module {
            name: name.clone(),
            goods: modules.goods[module].clone(),
            parent,
            place: Place {
                x,
                y,
                width,
                height,
            },
        });
    }
    let places = network.part_ids().map(|part| {
        let around = made[modules.module_of[part.index()]].place;
        let (x, y) = offset(Child::Part(part));
        (around.x + x, around.y + y)
    });
    Map {
        places: places.collect(),
        modules: made,
        module_of: modules.module_of.clone(),
        is_placed: false,
    }
}
