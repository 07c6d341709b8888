//! Who gives to whom, and from which part to begin so that every receiver is there before its givers.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_site::network::{Role, links};
use petgraph::algo::kosaraju_scc;
use petgraph::graphmap::DiGraphMap;

/// Every link along which goods go, as giver and receiver. A shuttle gives to its docks and they to it.
pub(crate) fn hand_overs(network: &Network) -> Vec<(PartId, PartId)> {
    let mut all = Vec::new();
    for part in network.part_ids() {
        for (role, other) in links(network, part) {
            match role {
                Role::Target | Role::Into | Role::Bench | Role::Loose => all.push((part, other)),
                Role::End | Role::Out => all.push((part, other)),
                Role::Match | Role::Rest | Role::WhenFull => all.push((part, other)),
                Role::Above | Role::Mouth | Role::Drinks => all.push((other, part)),
                Role::Stop(_) => all.extend([(part, other), (other, part)]),
                Role::Reads | Role::WatchesSignal | Role::WatchesLock => {}
                Role::WatchesTrigger | Role::WatchesMatches => {}
            }
        }
    }
    all
}

/// Parts that goods go round in, or one part alone.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Together {
    /// The parts; of a ring each receiver before its givers as far as there is such an order without water.
    pub(crate) parts: Vec<PartId>,
    /// Whether goods can go round in them: a shuttle with its docks alone is no ring.
    pub(crate) is_ring: bool,
}

/// These parts, each receiver before its givers. What goods go round in comes together. Among those that may
/// come in any order the ones given first come first, as far as that goes.
///
/// Water is poured last, so that until then a ring that it closes is none: within a ring the order is the one that
/// there is without streams, and these come behind.
pub(crate) fn receivers_first(network: &Network, parts: &[PartId]) -> Vec<Together> {
    let all = hand_overs(network);
    let each = components(&all, parts).into_iter().map(|parts| {
        let others = parts.iter().filter(|part| {
            let what = network.part(**part);
            what.shuttle().is_none() && *what != Part::Dock
        });
        let is_ring = parts.len() > 1 && others.count() > 0;
        let parts = if is_ring {
            let is_stream = |part: &PartId| matches!(network.part(*part), Part::Stream(_));
            let (water, dry): (Vec<PartId>, Vec<PartId>) = parts.into_iter().partition(is_stream);
            let dry = components(&all, &dry).into_iter().flatten();
            dry.chain(water).collect()
        } else {
            parts
        };
        Together { parts, is_ring }
    });
    each.collect()
}

/// These parts, those together that lead to each other, and what they lead to before them.
fn components(hand_overs: &[(PartId, PartId)], parts: &[PartId]) -> Vec<Vec<PartId>> {
    let numbered = parts.iter().enumerate();
    let numbers: BTreeMap<PartId, usize> = numbered.map(|(n, part)| (*part, n)).collect();
    let mut graph: DiGraphMap<usize, ()> = DiGraphMap::new();
    for number in 0..parts.len() {
        graph.add_node(number);
    }
    for (giver, receiver) in hand_overs {
        if let (Some(giver), Some(receiver)) = (numbers.get(giver), numbers.get(receiver)) {
            graph.add_edge(*giver, *receiver, ());
        }
    }
    // Strongly connected parts come out with what they lead to before them.
    let each = kosaraju_scc(&graph).into_iter().map(|mut together| {
        together.sort_unstable();
        together.iter().map(|number| parts[*number]).collect()
    });
    each.collect()
}
