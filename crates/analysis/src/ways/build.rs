//! The ways that each part makes.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Intake, Outlet, Part};
use petgraph::graph::{DiGraph, NodeIndex};

use super::{Way, WayKind};

/// The graph of all ways; its last node is that of the boxes.
pub(super) fn graph(network: &Network) -> DiGraph<(), Way> {
    let boxes = network.part_count();
    let links = network.graph().edge_count();
    let mut graph = DiGraph::with_capacity(boxes + 1, links);
    for _ in 0..=boxes {
        graph.add_node(());
    }
    let mut way = |from: usize, to: usize, kind, by| {
        let number = graph.edge_count();
        let way = Way {
            from,
            to,
            kind,
            by,
            number,
        };
        graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), way);
    };
    for (id, part) in network.parts() {
        add(network, id, part, &mut way);
    }
    graph
}

/// Adds the ways that one part makes.
fn add(
    network: &Network,
    id: PartId,
    part: &Part,
    way: &mut impl FnMut(usize, usize, WayKind, Option<PartId>),
) {
    let own = id.index();
    match part {
        Part::Container(_) | Part::Mouth | Part::Dock | Part::Signal(_) => {}
        Part::Hopper(hopper) => {
            match hopper.intake {
                Intake::Above(above) => way(above.index(), own, WayKind::Pull, Some(id)),
                Intake::Mouth(mouth) => way(mouth.index(), own, WayKind::PickUp, None),
                Intake::Cap => {}
            }
            if let Some(target) = hopper.target {
                way(own, target.index(), WayKind::Push, Some(id));
            }
        }
        Part::Dropper(dropper) => match dropper.outlet {
            Outlet::Into(to) => way(own, to.index(), WayKind::Push, Some(id)),
            Outlet::Loose(to) => way(own, to.index(), WayKind::Throw, Some(id)),
            Outlet::Bench(to) => {
                way(own, to.index(), WayKind::SetDown, Some(id));
                if let Some(bench) = network.part(to).bench() {
                    way(own, bench.output.index(), WayKind::ThrowPast, Some(id));
                }
            }
        },
        Part::Stream(stream) => way(own, stream.mouth.index(), WayKind::Flow, None),
        Part::Bench(bench) => {
            let boxes = network.part_count();
            way(own, bench.output.index(), WayKind::Lift, None);
            way(own, boxes, WayKind::Pack, None);
            way(boxes, own, WayKind::Unpack, None);
        }
        Part::Selector(selector) => {
            let (matches, rest) = (selector.match_target, selector.rest_target);
            way(own, matches.index(), WayKind::Match, Some(id));
            way(own, rest.index(), WayKind::Rest, Some(id));
            if let Some(other) = selector.when_full {
                way(own, other.index(), WayKind::WhenFull, Some(id));
            }
        }
        Part::Shuttle(shuttle) => {
            for (index, stop) in shuttle.stops.iter().enumerate() {
                let next = &shuttle.stops[(index + 1) % shuttle.stops.len()];
                let place = stop.dock.index();
                way(own, place, WayKind::Unload, None);
                way(place, own, WayKind::Load, None);
                way(place, next.dock.index(), WayKind::Travel, None);
            }
        }
    }
}
