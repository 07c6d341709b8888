//! Links that no block makes, because something stands nowhere, or somewhere in a room.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_site::blocks::Declared;
use hallwright_site::network::{ears, links, routes, sources};

/// Every link of a part that has an end in no block, or goes through a wire that is in none: what the part acts on
/// or looks at, and each source that it hears. `standing` are the parts of which the blocks are known.
pub(crate) fn unmade(
    network: &Network,
    standing: &BTreeSet<PartId>,
    part: PartId,
) -> Vec<Declared> {
    let name = |part: PartId| network.name(part).to_owned();
    let stands = standing.contains(&part);
    let apart = |to: &PartId| !stands || !standing.contains(to);
    let led = links(network, part).into_iter();
    let mut unmade: Vec<Declared> = led
        .filter(|(_, to)| apart(to))
        .map(|(role, to)| Declared::Link(role, name(to)))
        .collect();
    for (ear, signal) in ears(network, part) {
        let by_blocks = routes(network, signal, |wire| standing.contains(&wire));
        let is_made = |source: PartId, loss: u8| {
            let mut made = by_blocks.iter();
            !apart(&source) && made.any(|(other, heard)| other == source && heard.loss <= loss)
        };
        let heard = sources(network, signal);
        unmade.extend(
            heard
                .iter()
                .filter(|(source, heard)| !is_made(*source, heard.loss))
                .map(|(source, heard)| Declared::Signal(ear, name(source), heard.loss)),
        );
    }
    unmade
}
