//! Drawn parts that lack something: what nobody declares can be missed by nobody but the part itself.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

use super::finding::{Detail, Finding, Rule};
use super::lay::Laid;
use super::reach::reach;
use crate::blocks::Shape;
use crate::derive::ear_blocks;
use crate::network::{Ear, Role, ears, links, sources};
use hallwright_declared::placement::{Origin, Placement};
use hallwright_declared::space::Block;

/// Every drawn part that hears nothing where its sort must hear, has nothing to look at, or leads nowhere.
pub(super) fn ends(network: &Network, placement: &Placement, laid: &Laid) -> Vec<Finding> {
    let origin = |part: PartId| placement.of(part).map(|placed| placed.origin);
    // What another draws from or reads has done enough: a sieve points wherever it may.
    let all = network.part_ids().flat_map(|part| links(network, part));
    let uses = |(role, _): &(Role, PartId)| matches!(role, Role::Above | Role::Reads);
    let used: BTreeSet<PartId> = all.filter(uses).map(|(_, to)| to).collect();
    let mut findings = Vec::new();
    for (number, part) in laid.parts.iter().enumerate() {
        let Some(part) = part.filter(|part| origin(*part) == Some(Origin::Drawn)) else {
            continue;
        };
        let piece = laid.world.piece(number);
        let loose = |detail: Detail| {
            let at = piece.blocks.first().copied();
            Finding::new(Rule::LooseEnd, Some(part), at).saying(detail)
        };
        for (ear, signal) in ears(network, part) {
            let hearing = sources(network, signal);
            // It would go on and off for ever: nobody means that of an inverter.
            if piece.shape == Shape::Inverter && hearing.get(part).is_some() {
                let at = piece.blocks.first().copied();
                let finding = Finding::new(Rule::FeedsUnasked, Some(part), at);
                findings.push(finding.with(Some(part), at).saying(Detail::Ear(ear)));
            }
            let hears = !hearing.is_empty();
            if !hears && ear != Ear::Lift {
                let looks = matches!(piece.shape, Shape::Comparator | Shape::Observer);
                let detail = if looks {
                    Detail::Unseen
                } else {
                    Detail::Ear(ear)
                };
                findings.push(loose(detail).wanted(ear_blocks(piece, ear)));
            }
        }
        let leads = |role: Role| links(network, part).iter().any(|(own, _)| *own == role);
        let ahead = reach(&laid.world, piece, Role::Target);
        let is_open = |block: &Block| laid.world.at(*block).is_none();
        let is_end = piece.shape == Shape::Hopper && !leads(Role::Target) && !used.contains(&part);
        if is_end && ahead.iter().all(is_open) {
            findings.push(loose(Detail::Link(Role::Target)).wanted(ahead));
        }
        for (role, to) in links(network, part) {
            let leads_nowhere = origin(to) == Some(Origin::Added) && role != Role::Mouth;
            if leads_nowhere {
                let is_look = !role.is_of_goods();
                let detail = if is_look {
                    Detail::Unseen
                } else {
                    Detail::Link(role)
                };
                findings.push(loose(detail).wanted(reach(&laid.world, piece, role)));
            }
        }
    }
    findings
}
