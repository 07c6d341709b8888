//! What the blocks of drawn parts make, link by link, so that a later drawing can be held against it.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

use super::compare::{apart, rules_of};
use super::finding::{Finding, Rule};
use super::lay::Laid;
use super::reach::reach;
use crate::blocks::{Piece, Shape};
use crate::derive::ear_blocks;
use crate::network::{Ear, Role, ears, links, sources};
use hallwright_declared::placement::{Origin, Placement};
use hallwright_declared::space::Block;

/// How a signal comes back that is no longer heard.
const SIGNAL_HELP: &str = "Turn or move one of the two back, or lead the signal there with wire, a repeater or a full block.";

/// What a drawn part is linked to in one way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DrawnLink {
    /// Which part, and in which way: `` comparator `eye` reads``.
    pub name: String,
    /// To what: the names of the others, each with what is lost on the way. Empty if to nothing.
    pub to: Vec<String>,
    /// Where the other would have to be, in whole sentences.
    pub help: String,
}

/// Every link that a drawn part has or could have, part by part.
pub(super) fn linked(network: &Network, placement: &Placement, laid: &Laid) -> Vec<DrawnLink> {
    let origin = |part: PartId| placement.of(part).map(|placed| placed.origin);
    let mut all = Vec::new();
    for (number, part) in laid.parts.iter().enumerate() {
        let Some(part) = part.filter(|part| origin(*part) == Some(Origin::Drawn)) else {
            continue;
        };
        let piece = laid.world.piece(number);
        let at = piece.blocks.first().copied();
        let help = |rule: Rule, wanted: Vec<Block>| {
            let finding = Finding::new(rule, Some(part), at).wanted(wanted);
            // Nothing is declared here, which is what the rules' own words go on about.
            match rule.is_of_signals() {
                true => format!("{SIGNAL_HELP}{}", finding.places()),
                false => finding.help(),
            }
        };
        let mut own: BTreeMap<String, (Vec<String>, String)> = BTreeMap::new();
        for role in roles(piece) {
            let help = help(apart(*role), reach(&laid.world, piece, *role));
            own.entry(role_words(*role).to_owned())
                .or_insert((Vec::new(), help));
        }
        for ear in possible_ears(piece) {
            let help = help(rules_of(ear).0, ear_blocks(piece, ear));
            own.entry(numbered_words(piece, ear))
                .or_insert((Vec::new(), help));
        }
        for (role, to) in links(network, part) {
            if origin(to) != Some(Origin::Added) {
                let known = own.entry(role_words(role).to_owned()).or_default();
                known.0.push(format!("`{}`", network.name(to)));
            }
        }
        for (ear, signal) in ears(network, part) {
            let known = own.entry(numbered_words(piece, ear)).or_default();
            for (source, heard) in sources(network, signal).iter() {
                let name = network.name(source);
                known.0.push(match heard.loss {
                    0 => format!("`{name}`"),
                    loss => format!("`{name}` less {loss}"),
                });
            }
        }
        all.extend(own.into_iter().map(|(words, (mut to, help))| {
            to.sort();
            let name = network.name(part);
            DrawnLink {
                name: format!("{} `{name}` {words}", sort_words(piece)),
                to,
                help,
            }
        }));
    }
    all
}

/// The roles in which a piece of this shape can lead to or look at something.
fn roles(piece: &Piece) -> &'static [Role] {
    match piece.shape {
        Shape::Hopper => &[Role::Target, Role::Above, Role::Mouth],
        Shape::Dropper | Shape::Dispenser => &[Role::Into],
        Shape::Stream => &[Role::End],
        Shape::Bench => &[Role::Out],
        Shape::Comparator => &[Role::Reads],
        Shape::Observer => &[Role::WatchesSignal],
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => &[],
        Shape::DoubleChest | Shape::Barrel | Shape::Container | Shape::Mouth => &[],
        Shape::Repeater | Shape::Inverter | Shape::Lever | Shape::Button | Shape::Word => &[],
    }
}

/// Where a piece of this shape can hear something; of a box only where it does hear.
fn possible_ears(piece: &Piece) -> impl Iterator<Item = Ear> {
    let ears: &[Ear] = match piece.shape {
        Shape::Hopper => &[Ear::Lock],
        Shape::Dropper | Shape::Dispenser => &[Ear::Trigger],
        Shape::Repeater => &[Ear::Input(0), Ear::Lock],
        Shape::Inverter => &[Ear::Input(0)],
        Shape::Comparator => &[Ear::Rear, Ear::Side],
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => &[],
        Shape::DoubleChest | Shape::Barrel | Shape::Container | Shape::Mouth => &[],
        Shape::Observer | Shape::Stream | Shape::Bench | Shape::Lever => &[],
        Shape::Button | Shape::Word => &[],
    };
    ears.iter().copied()
}

/// What a piece that can be linked is.
fn sort_words(piece: &Piece) -> &'static str {
    match piece.shape {
        Shape::Hopper => "hopper",
        Shape::Dropper => "dropper",
        Shape::Dispenser => "dispenser",
        Shape::Stream => "stream",
        Shape::Bench => "bench",
        Shape::Comparator => "comparator",
        Shape::Observer => "observer",
        Shape::Repeater => "repeater",
        Shape::Inverter => "inverter",
        Shape::Word => "box",
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Lever | Shape::Button => "block",
        Shape::Chest | Shape::ChestApart | Shape::DoubleChest => "chest",
        Shape::Barrel | Shape::Container | Shape::Mouth => "place",
    }
}

pub(super) fn role_words(role: Role) -> &'static str {
    match role {
        Role::Target | Role::Into | Role::Bench | Role::Loose => "hands on to",
        Role::Above => "draws from",
        Role::Mouth => "takes in what lies at",
        Role::Drinks => "drinks from",
        Role::End | Role::Out => "leads to",
        Role::Match => "hands what it takes to",
        Role::Rest => "hands the rest to",
        Role::WhenFull => "hands on, when that is full, to",
        Role::Stop(_) => "goes to",
        Role::Reads => "reads",
        Role::WatchesSignal | Role::WatchesLock => "watches",
        Role::WatchesTrigger | Role::WatchesMatches => "watches",
    }
}

/// The words of an ear; of a box with the number of its input or stop.
fn numbered_words(piece: &Piece, ear: Ear) -> String {
    let words = ear_words(ear);
    if let (Ear::Input(number), Shape::Word) = (ear, piece.shape) {
        return format!("{words} at input {}", number + 1);
    }
    if let Ear::Release(number) = ear {
        return format!("at stop {} {words}", number + 1);
    }
    words.to_owned()
}

pub(super) fn ear_words(ear: Ear) -> &'static str {
    match ear {
        Ear::Lock => "is locked by",
        Ear::Trigger => "is triggered by",
        Ear::Input(_) => "hears",
        Ear::Rear => "hears at its back",
        Ear::Side => "hears at its sides",
        Ear::Watch => "watches",
        Ear::Release(_) => "is released by",
        Ear::Lift => "is lifted by",
    }
}
