//! What drawn parts of one module do to those of another: nobody declares it, but what is meant goes through ports.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

use super::finding::{Detail, Finding, Rule};
use super::lay::Laid;
use crate::network::{Ear, ears, links, sources};
use hallwright_declared::placement::{Origin, Placed, Placement};
use hallwright_declared::space::Block;

/// Every link from a drawn part to one of another module, unless both are ports. Whoever uses a module drew what
/// is around it, so of that no port is asked.
pub(super) fn modules(network: &Network, placement: &Placement, laid: &Laid) -> Vec<Finding> {
    let drawn = |part: PartId| {
        let placed = placement.of(part);
        placed.filter(|placed| placed.origin == Origin::Drawn)
    };
    let first = |part: PartId| -> Option<Block> {
        let number = laid.parts.iter().position(|other| *other == Some(part))?;
        laid.world.piece(number).blocks.first().copied()
    };
    let mut findings = Vec::new();
    for part in network.part_ids() {
        let Some(own) = drawn(part) else { continue };
        let heard = ears(network, part)
            .into_iter()
            .filter(|(ear, _)| *ear != Ear::Lift);
        let heard = heard.flat_map(|(ear, signal)| {
            let sources = sources(network, signal);
            let all: Vec<PartId> = sources.iter().map(|(source, _)| source).collect();
            all.into_iter()
                .map(move |source| (Detail::Ear(ear), source))
        });
        let linked = links(network, part).into_iter();
        let linked = linked.map(|(role, to)| (Detail::Link(role), to));
        for (detail, other) in linked.chain(heard) {
            let is_meant = drawn(other).is_none_or(|other| are_to_meet(own, other));
            if !is_meant {
                let finding = Finding::new(Rule::BetweenModules, Some(part), first(part));
                findings.push(finding.with(Some(other), first(other)).saying(detail));
            }
        }
    }
    findings
}

/// Whether two parts belong to one module, or each that is inside of one around which the other is, is its port.
fn are_to_meet(one: &Placed, other: &Placed) -> bool {
    let is_open =
        |own: &Placed, other: &Placed| own.is_port || other.modules.starts_with(&own.modules);
    is_open(one, other) && is_open(other, one)
}
