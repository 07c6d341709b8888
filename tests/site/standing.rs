//! A network that is declared by one drawing and stands as another.

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_declared::placement::{Built, Gate, Placed, Placement, Supports};
use hallwright_declared::space::Block;
use hallwright_site::blocks::{Piece, Shape, Use};
use hallwright_site::derive::derive;
use hallwright_site::network::{Ear, Role};
use hallwright_site::place::{Detail, Finding, Site, place};

use crate::drawing::{pieces, world_of};

/// The network that these pieces are, with one more part, `wire`, that is all drawn wire.
pub(crate) fn network_of(pieces: Vec<Piece>) -> Network {
    let world = world_of(pieces);
    let derived = derive(&world, Rules::default(), &[]).expect("the drawing is a network");
    let mut builder = NetworkBuilder::new(Rules::default());
    for (part, what) in derived.network.parts() {
        builder.add(derived.network.name(part), what.clone());
    }
    if world.named("wire").is_some() {
        let inputs = Vec::new();
        builder.add("wire", Part::Signal(Signal::Wire { inputs }));
    }
    builder.build().expect("one wire more harms nothing")
}

/// Where the pieces say that the parts of their names stand. Wires of the network that are not drawn by
/// themselves stand far away: it does not matter how wires are cut into parts.
pub(crate) fn placement_of(network: &Network, pieces: &[Piece]) -> Placement {
    let mut placement = Placement::of_parts(network.part_count());
    placement.supports = Supports::Added;
    for (part, what) in network.parts() {
        let name = network.name(part);
        let piece = pieces.iter().find(|piece| piece.name == name);
        let is_wire = matches!(what, Part::Signal(Signal::Wire { .. }));
        placement.parts[part.index()] = match piece {
            Some(piece) => Some(Box::new(placed(piece))),
            None if is_wire => {
                let x = 1_000 + 5 * i32::try_from(part.index()).expect("drawings are small");
                Some(Box::new(Placed::along_path([Block::new(x, 0, 0)])))
            }
            None => None,
        };
    }
    for piece in pieces {
        match piece.shape {
            Shape::Full => placement.full.extend(&piece.blocks),
            Shape::Cap => placement.caps.extend(&piece.blocks),
            _ => {}
        }
    }
    placement
}

fn placed(piece: &Piece) -> Placed {
    let mut placed = Placed::default();
    match piece.shape {
        Shape::Wire | Shape::Stream | Shape::Mouth => placed.path = piece.blocks.clone(),
        Shape::DoubleChest => {
            placed.position = piece.blocks.first().copied();
            placed.along = piece.blocks[0].side_of(piece.blocks[1]);
        }
        _ => placed.position = piece.blocks.first().copied(),
    }
    match piece.shape {
        Shape::Inverter | Shape::Lever | Shape::Button => placed.on = piece.faces,
        _ => placed.faces = piece.faces,
    }
    placed.built = match piece.shape {
        Shape::Chest => Built::Chest,
        Shape::ChestApart => Built::ChestApart,
        Shape::Barrel => Built::Barrel,
        Shape::Dispenser => Built::Dispenser,
        _ => Built::Usual,
    };
    let gates = piece.openings.iter().map(|opening| Gate {
        name: gate_name(&piece.name, &opening.usage),
        at: Block::default(),
        side: opening.side,
    });
    placed.sides = gates.collect();
    placed
}

fn gate_name(piece: &str, usage: &Use) -> String {
    match usage {
        Use::Hears(Ear::Input(0)) if piece.starts_with("latch") => "set".to_owned(),
        Use::Hears(Ear::Input(1)) if piece.starts_with("latch") => "reset".to_owned(),
        Use::Hears(Ear::Input(number)) => format!("in {}", number + 1),
        Use::Hears(Ear::Release(number)) => format!("release {}", number + 1),
        Use::Hears(_) => "in".to_owned(),
        Use::Gives => "out".to_owned(),
        Use::Takes => "in".to_owned(),
        Use::HandsOn(Role::Match) => "match".to_owned(),
        Use::HandsOn(Role::Rest) => "rest".to_owned(),
        Use::HandsOn(_) => "when_full".to_owned(),
        Use::Docks(dock) => dock.clone(),
        Use::ShowsMatches => "matches".to_owned(),
    }
}

/// The site of a network that is declared by the first drawing and stands as the second.
pub(crate) fn site(declared: &str, stands: &str) -> (Network, Site) {
    let network = network_of(pieces(declared));
    let placement = placement_of(&network, &pieces(stands));
    let site = place(&network, &placement);
    (network, site)
}

/// The rule, the part and the other part of each finding: `lock-apart hopper_1 lever_1`.
pub(crate) fn findings(declared: &str, stands: &str) -> Vec<String> {
    let (network, site) = site(declared, stands);
    site.findings
        .iter()
        .map(|finding| line(&network, finding))
        .collect()
}

/// A finding in a line.
pub(crate) fn line(network: &Network, finding: &Finding) -> String {
    let name = |part: Option<PartId>| part.map(|part| format!(" {}", network.name(part)));
    let id = finding.rule.id().trim_start_matches("site::");
    let part = name(finding.part).unwrap_or_default();
    let other = name(finding.other).unwrap_or_default();
    let detail = match &finding.detail {
        Detail::Loss { declared, made, .. } => format!(" {declared} {made}"),
        Detail::Delay {
            distance_steps,
            needed_ticks,
            declared_ticks,
        } => format!(" {distance_steps} {needed_ticks} {declared_ticks}"),
        Detail::Run(blocks) => format!(" {blocks}"),
        Detail::Side(side) => format!(" {side}"),
        Detail::Faces(side) => {
            side.map_or_else(|| " nowhere".to_owned(), |side| format!(" {side}"))
        }
        Detail::Nothing | Detail::Link(_) | Detail::Ear(_) | Detail::Unseen => String::new(),
    };
    format!("{id}{part}{other}{detail}")
}
