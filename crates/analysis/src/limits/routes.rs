//! The ways that items can take from part to part, with what each way can carry.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Intake, Outlet, Part};

use super::kinds::{KindSet, parted};

/// A way from one node to another. The nodes are the parts and, as the last one, the boxes: what lies
/// in a box can be wherever the box is.
pub(crate) struct Route {
    /// From this node.
    pub(crate) from: usize,
    /// To this node.
    pub(crate) to: usize,
    /// The part whose pace it goes at; `None` for as many items at once as may be.
    pub(crate) by: Option<PartId>,
    /// The kinds that can go this way; `None` for all.
    pub(crate) kinds: Option<KindSet>,
    /// Whether the hopper at its end pulls.
    pub(crate) is_pull: bool,
}

/// The node of what lies in boxes.
pub(crate) fn boxes_node(network: &Network) -> usize {
    network.part_count()
}

/// All ways of a network.
pub(crate) fn routes(network: &Network) -> Vec<Route> {
    let mut routes = Vec::new();
    for (id, part) in network.parts() {
        add(network, id, part, &mut routes);
    }
    routes
}

fn add(network: &Network, id: PartId, part: &Part, routes: &mut Vec<Route>) {
    let mut way = |from: usize, to: usize, by, kinds, is_pull| {
        routes.push(Route {
            from,
            to,
            by,
            kinds,
            is_pull,
        });
    };
    let own = id.index();
    match part {
        Part::Container(_) | Part::Mouth | Part::Place | Part::Signal(_) => {}
        Part::Hopper(hopper) => {
            match hopper.intake {
                Intake::Above(above) => way(above.index(), own, Some(id), None, true),
                // A stack is taken whole.
                Intake::Mouth(mouth) => way(mouth.index(), own, None, None, true),
                Intake::Cap => {}
            }
            if let Some(target) = hopper.target {
                way(own, target.index(), Some(id), None, false);
            }
        }
        Part::Dropper(dropper) => {
            let (Outlet::Into(to) | Outlet::Bench(to) | Outlet::Loose(to)) = dropper.outlet;
            way(own, to.index(), Some(id), None, false);
            if let Outlet::Bench(bench) = dropper.outlet
                && let Part::Bench(at) = network.part(bench)
            {
                // What is no box is thrown.
                way(own, at.output.index(), Some(id), None, false);
            }
        }
        Part::Stream(stream) => way(own, stream.mouth.index(), None, None, false),
        Part::Bench(bench) => {
            let boxes = boxes_node(network);
            way(own, bench.output.index(), None, None, false);
            way(own, boxes, None, None, false);
            way(boxes, own, None, None, false);
        }
        Part::Selector(selector) => {
            let (matches, rest) = parted(network, selector);
            way(
                own,
                selector.match_target.index(),
                Some(id),
                Some(matches),
                false,
            );
            way(
                own,
                selector.rest_target.index(),
                Some(id),
                Some(rest),
                false,
            );
            if let Some(other) = selector.when_full {
                way(own, other.index(), Some(id), None, false);
            }
        }
        Part::Shuttle(shuttle) => {
            for stop in &shuttle.stops {
                way(own, stop.place.index(), None, None, false);
                way(stop.place.index(), own, None, None, false);
            }
        }
    }
}

/// For each node, the kinds that can come from there into one of the `goals`, of those that are wanted.
pub(crate) fn reaching(
    nodes: usize,
    routes: &[Route],
    goals: &[bool],
    wanted: &KindSet,
    kinds: usize,
) -> Vec<KindSet> {
    let mut into: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (place, route) in routes.iter().enumerate() {
        into[route.to].push(place);
    }
    let mut reach = vec![KindSet::none(kinds); nodes];
    let mut changed: Vec<usize> = Vec::new();
    for route in routes {
        let is_entry = goals[route.to] && !goals[route.from];
        if is_entry && reach[route.from].take_in(wanted, route.kinds.as_ref()) {
            changed.push(route.from);
        }
    }
    while let Some(node) = changed.pop() {
        let further = reach[node].clone();
        for place in &into[node] {
            let route = &routes[*place];
            if reach[route.from].take_in(&further, route.kinds.as_ref()) {
                changed.push(route.from);
            }
        }
    }
    reach
}

/// For each node, the kinds that can ever be there, given those that are there at first.
pub(crate) fn spread(routes: &[Route], mut present: Vec<KindSet>) -> Vec<KindSet> {
    let mut from: Vec<Vec<usize>> = vec![Vec::new(); present.len()];
    for (place, route) in routes.iter().enumerate() {
        from[route.from].push(place);
    }
    let is_filled = |node: &usize| !present[*node].is_empty();
    let mut changed: Vec<usize> = (0..present.len()).filter(is_filled).collect();
    while let Some(node) = changed.pop() {
        let here = present[node].clone();
        for place in &from[node] {
            let route = &routes[*place];
            if present[route.to].take_in(&here, route.kinds.as_ref()) {
                changed.push(route.to);
            }
        }
    }
    present
}
