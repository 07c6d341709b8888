//! Every area in layers, from the innermost out: see [`layers`].

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};

use super::areas::{Areas, Child};
use super::layers;
use super::{Area, Map, Place};

/// Room inside an area's edge.
const MARGIN: f64 = 0.6;
/// Room above, for the area's name.
const HEAD: f64 = 1.2;

/// Width and height.
type Size = (f64, f64);
/// The upper left corner of something, from that of the area around it.
type Spot = (f64, f64);

/// Lays everything out.
pub(super) fn lay_out(network: &Network, areas: &Areas) -> Map {
    let links = links_of_areas(network, areas);
    let (sizes, offsets) = arrange(areas, &links);
    absolute(network, areas, &sizes, &offsets)
}

/// The size of each area, and where each child stands in its area.
fn arrange(areas: &Areas, links: &[Vec<(Child, Child)>]) -> (Vec<Size>, BTreeMap<Child, Spot>) {
    let mut sizes = vec![(0.0, 0.0); areas.names.len()];
    let mut offsets = BTreeMap::new();
    // Inner areas come later in the list, so that they are done before those around them.
    for area in (0..areas.names.len()).rev() {
        let size_of = |child: &Child| match child {
            Child::Area(inner) => sizes[*inner],
            Child::Part(_) => (1.0, 1.0),
        };
        let children = &areas.children[area];
        let boxes: Vec<(f64, f64)> = children.iter().map(size_of).collect();
        let numbers: BTreeMap<Child, usize> = children.iter().copied().zip(0..).collect();
        let links = links[area].iter();
        let links: Vec<(usize, usize)> = links
            .filter_map(|(from, to)| Some((*numbers.get(from)?, *numbers.get(to)?)))
            .collect();
        let (width, height, spots) = layers::lay_out(&boxes, &links);
        for (child, (x, y)) in children.iter().zip(spots) {
            offsets.insert(*child, (x + MARGIN, y + HEAD));
        }
        sizes[area] = (width.max(3.0) + 2.0 * MARGIN, height + HEAD + MARGIN);
    }
    (sizes, offsets)
}

/// The links between the children of each area, each pair once, in the order of the parts.
fn links_of_areas(network: &Network, areas: &Areas) -> Vec<Vec<(Child, Child)>> {
    let mut links = vec![Vec::new(); areas.names.len()];
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
        let Some(area) = common_area(areas, from, to) else {
            continue;
        };
        if let (Some(one), Some(other)) = (areas.child_with(area, from), areas.child_with(area, to))
            && one != other
        {
            links[area].push((one, other));
        }
    }
    for list in &mut links {
        list.sort_unstable();
        list.dedup();
    }
    links
}

/// The innermost area that holds both parts.
fn common_area(areas: &Areas, one: PartId, other: PartId) -> Option<usize> {
    let around = |part: PartId| {
        let own = areas.area_of[part.index()];
        std::iter::successors(Some(own), |area| areas.parents[*area])
    };
    around(one).find(|area| around(other).any(|of| of == *area))
}

/// Adds up where everything stands, from the whole hall inwards.
fn absolute(
    network: &Network,
    areas: &Areas,
    sizes: &[(f64, f64)],
    offsets: &BTreeMap<Child, (f64, f64)>,
) -> Map {
    let offset = |child| offsets.get(&child).copied().unwrap_or_default();
    let mut made: Vec<Area> = Vec::with_capacity(areas.names.len());
    for (area, name) in areas.names.iter().enumerate() {
        let parent = areas.parents[area];
        let (x, y) = parent.map_or((0.0, 0.0), |parent| {
            let around: Place = made[parent].place;
            let (x, y) = offset(Child::Area(area));
            (around.x + x, around.y + y)
        });
        let (width, height) = sizes[area];
        made.push(Area {
            name: name.clone(),
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
        let around = made[areas.area_of[part.index()]].place;
        let (x, y) = offset(Child::Part(part));
        (around.x + x, around.y + y)
    });
    Map {
        places: places.collect(),
        areas: made,
        area_of: areas.area_of.clone(),
        is_placed: false,
    }
}
