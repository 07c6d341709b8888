//! Rings in which items go round for ever.

use hallwright_analysis::ways::{Way, WayKind, Ways};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::{Lift, Part};
use hallwright_core::slot::HOPPER_SLOTS;
use hallwright_core::timeline::Action;
use petgraph::Direction;

use super::comes::Comes;
use super::{Design, Finding, Rule};

/// So many kinds are followed round a ring.
const MOST_KINDS: usize = 64;

/// So many parts of a ring are named.
const MOST_NAMED: usize = 6;

/// Finds rings that no signal breaks and that some kind cannot leave.
pub(super) fn find_endless(
    design: &Design<'_>,
    rings: &[Vec<PartId>],
    comes: &Comes,
    found: &mut Vec<Finding>,
) {
    let network = design.network;
    for ring in rings {
        let goes_round = comes
            .at(ring[0])
            .iter()
            .take(MOST_KINDS)
            .find_map(|kind| Some((kind, endless(design, comes, ring, kind)?)));
        if let Some((kind, ring)) = goes_round {
            found.push(endless_ring(network, kind, &ring));
        }
    }
}

/// What there is to say of a ring.
fn endless_ring(network: &Network, kind: KindId, ring: &[PartId]) -> Finding {
    let names = ring.iter().take(MOST_NAMED);
    let mut names: Vec<String> = names
        .map(|part| format!("`{}`", network.name(*part)))
        .collect();
    if let Some(more) = ring.len().checked_sub(MOST_NAMED + 1) {
        names.push(format!("{} more", more + 1));
    }
    let kind = &network.kind(kind).name;
    let words = format!(
        "`{kind}` goes round for ever: {} are a ring that no signal breaks and that it cannot leave",
        names.join(", ")
    );
    let help = "lead it out of the ring, or lock one of its hoppers by a signal";
    Finding::of(Rule::EndlessRing, ring[0], words, help)
}

/// The rings that no signal breaks.
pub(super) fn free_rings(network: &Network, ways: &Ways) -> Vec<Vec<PartId>> {
    ways.rings_along(|way| is_free(network, way))
}

/// A part of a ring in which a kind goes round and that it cannot leave, if there is one.
fn endless(
    design: &Design<'_>,
    comes: &Comes,
    ring: &[PartId],
    kind: KindId,
) -> Option<Vec<PartId>> {
    let network = design.network;
    let ways = comes.ways.ways();
    let is_in = |ring: &[PartId], node: usize| {
        ring.binary_search_by_key(&node, |part| part.index())
            .is_ok()
    };
    let opens = |way: &Way| is_free(network, way) && comes.ways.carries(way, kind);
    let mut rings = ways.rings_within(ring, opens).into_iter();
    rings.find(|ring| {
        let taken = design.actions.iter().any(|action| match action {
            Action::Withdraw { place, .. } | Action::TakeBox { place } => ring.contains(place),
            Action::Deliver { .. } | Action::MoveLever { .. } | Action::Press { .. } => false,
            Action::Fill { .. } | Action::Stick { .. } => false,
            Action::Sleep { .. } | Action::Reopen { .. } => false,
        });
        let leaves = |part: &PartId| {
            let mut out = ways.at(part.index(), Direction::Outgoing);
            out.any(|way| {
                !is_in(ring, way.to)
                    && !way.kind.is_short_cut()
                    && comes.ways.carries(way, kind)
                    && lets_in(network, way.to, kind)
            })
        };
        let comes_there = ring.iter().any(|part| comes.at(*part).contains(kind));
        comes_there && !taken && !ring.iter().any(leaves)
    })
}

/// Whether a kind can enter a part: a hopper of which every slot holds others from the start lets
/// nothing else in.
fn lets_in(network: &Network, node: usize, kind: KindId) -> bool {
    // The last node is that of what lies in boxes.
    if node == network.part_count() {
        return true;
    }
    let part = PartId::from_index(node);
    if network.part(part).hopper().is_none() {
        return true;
    }
    let fillings = network.fillings();
    let first = fillings.partition_point(|(at, _)| *at < part);
    let held = fillings[first..].iter().take_while(|(at, _)| *at == part);
    let (mut slots, mut own) = (0, false);
    for (_, filling) in held {
        slots += 1;
        own |= filling.kind == kind;
    }
    own || slots < HOPPER_SLOTS
}

/// Whether no signal plays a part in a way, so that items go along it whenever they can.
fn is_free(network: &Network, way: &Way) -> bool {
    let is_of_items = match way.kind {
        WayKind::Push | WayKind::Pull | WayKind::PickUp | WayKind::Flow | WayKind::Lift => true,
        WayKind::Match | WayKind::Rest | WayKind::WhenFull => true,
        // A dropper is fired by a signal. A shuttle goes round by its nature.
        WayKind::Throw | WayKind::SetDown | WayKind::ThrowPast => false,
        WayKind::Load | WayKind::Unload | WayKind::Travel => false,
        WayKind::Pack | WayKind::Unpack => false,
    };
    // What lies in boxes moves along ways that are no such ways.
    if !is_of_items {
        return false;
    }
    // The hopper below a mouth picks up by itself; all others hand on.
    let picks_up = way.kind == WayKind::PickUp;
    let from = if picks_up { way.to } else { way.from };
    let mover = way.by.unwrap_or(PartId::from_index(from));
    match network.part(mover) {
        Part::Hopper(hopper) => hopper.lock.is_none(),
        Part::Selector(selector) => selector.lock.is_none(),
        Part::Dropper(_) => false,
        Part::Bench(bench) => !matches!(bench.lift, Lift::Signal(_)),
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Dock => true,
        Part::Shuttle(_) | Part::Signal(_) => true,
    }
}
