//! The network of a world, its parts in the order of blocks: section 6.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::goods::Kind;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkError};
use hallwright_core::part::Part;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;

use super::{Made, made};
use crate::blocks::{Piece, Settings, Shape, World};
use crate::network::{Hearing, Member, Outline, Role};
use hallwright_declared::space::Block;

/// Slots of one half of a double chest.
const HALF_SLOTS: u16 = 27;

/// The network of a set of blocks.
#[derive(Clone, Debug)]
pub struct Derived {
    /// The network: its parts from the top, then by x, then by z; wires behind them.
    pub network: Network,
    /// What stands where, for each part but the wires, in the order of the parts.
    pub stood: Vec<Stood>,
    /// What no network can say.
    pub made: Made,
}

/// Where a part of a derived network stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stood {
    /// The part.
    pub part: PartId,
    /// The number of its piece; of two chests that join that of the first.
    pub piece: usize,
    /// Its first block; `None` of a dock that is only a gate of a shuttle.
    pub block: Option<Block>,
}

/// The network of a set of blocks, in a world of these rules and goods.
///
/// # Errors
///
/// What a network's own checks find: a loop of signals without delay, or contents that do not fit.
pub fn derive(world: &World, rules: Rules, kinds: &[Kind]) -> Result<Derived, Vec<NetworkError>> {
    let made = made(world);
    let (outline, numbers) = outline(world, &made, rules, kinds);
    let stood = |(number, piece): (usize, &usize)| Stood {
        part: PartId::from_index(number),
        piece: *piece,
        block: world.piece(*piece).first_block(),
    };
    Ok(Derived {
        network: outline.network()?,
        stood: numbers.iter().enumerate().map(stood).collect(),
        made,
    })
}

/// The outline of what the blocks of a world make, and the number of each member's piece.
fn outline(world: &World, made: &Made, rules: Rules, kinds: &[Kind]) -> (Outline, Vec<usize>) {
    let joined: BTreeMap<usize, usize> = world.joined_chests().into_iter().collect();
    let halves: BTreeMap<usize, usize> = joined.iter().map(|(a, b)| (*b, *a)).collect();
    let is_part =
        |piece: &usize| world.piece(*piece).settings.is_some() && !halves.contains_key(piece);
    let mut pieces: Vec<usize> = (0..world.pieces().len()).filter(is_part).collect();
    pieces.sort_by_key(|piece| world.rank(*piece));
    let numbered = pieces.iter().enumerate();
    let mut numbers: BTreeMap<usize, usize> =
        numbered.map(|(number, piece)| (*piece, number)).collect();
    for (second, first) in &halves {
        if let Some(number) = numbers.get(first).copied() {
            numbers.insert(*second, number);
        }
    }
    let number = |piece: usize| numbers.get(&piece).copied();
    let mut names = BTreeSet::new();
    let members = pieces.iter().filter_map(|&piece| {
        let own = world.piece(piece);
        let link = |(role, to): &(Role, usize)| {
            let to = number(*to)?;
            // A network cannot say that a hopper drinks: to it the hopper is closed.
            (*role != Role::Drinks).then_some((*role, to))
        };
        let hears = made.hears[piece].iter().filter_map(|(ear, hearing)| {
            let hearing: Hearing<usize> = hearing.renamed(number);
            (!hearing.is_empty()).then_some((*ear, hearing))
        });
        let other = joined.get(&piece).map(|other| world.piece(*other));
        Some(Member {
            name: name(own, &mut names),
            settings: match other {
                Some(_) => Settings::Container {
                    slots: 2 * HALF_SLOTS,
                },
                None => own.settings.clone()?,
            },
            contents: contents(own, other),
            links: made.links[piece].iter().filter_map(link).collect(),
            hears: hears.collect(),
        })
    });
    let mut outline = Outline {
        rules,
        kinds: kinds.to_vec(),
        members: members.collect(),
    };
    open_tops(&mut outline, made, number, &mut names);
    (outline, pieces)
}

/// What falls onto a hopper with an open block above lies there, in a mouth that nobody named.
fn open_tops(
    outline: &mut Outline,
    made: &Made,
    number: impl Fn(usize) -> Option<usize>,
    names: &mut BTreeSet<String>,
) {
    for hopper in made.open_tops.iter().filter_map(|hopper| number(*hopper)) {
        let mouth = outline.members.len();
        let mut name = format!("open block above {}", outline.members[hopper].name);
        while !names.insert(name.clone()) {
            name.push('\'');
        }
        outline.members.push(Member {
            name,
            settings: Settings::Mouth,
            contents: Vec::new(),
            links: BTreeSet::new(),
            hears: BTreeMap::new(),
        });
        outline.members[hopper].links.insert((Role::Mouth, mouth));
    }
}

/// The name of a piece, or what it is and where; with a mark behind it if another has it.
fn name(piece: &Piece, names: &mut BTreeSet<String>) -> String {
    let mut name = piece.name.clone();
    if name.is_empty() {
        name = format!("{:?}", piece.shape).to_lowercase();
        if let Some(block) = piece.first_block() {
            name = format!("{name} at {block}");
        }
    }
    while !names.insert(name.clone()) {
        name.push('\'');
    }
    name
}

/// What a piece holds. Slots 0 to 26 of a double chest, and of two chests that join, are those of the first in
/// the order of blocks.
fn contents(piece: &Piece, joined: Option<&Piece>) -> Vec<Filling> {
    let in_half = |filling: &Filling, shift: u16| Filling {
        slot: filling.slot.saturating_add(shift),
        ..filling.clone()
    };
    let mut contents = piece.contents.clone();
    let is_turned =
        piece.shape == Shape::DoubleChest && piece.first_block() != piece.blocks.first().copied();
    if is_turned {
        for filling in &mut contents {
            filling.slot = match filling.slot.checked_sub(HALF_SLOTS) {
                Some(slot) => slot,
                None => filling.slot + HALF_SLOTS,
            };
        }
    }
    let others = joined.into_iter().flat_map(|other| &other.contents);
    contents.extend(others.map(|filling| in_half(filling, HALF_SLOTS)));
    contents.sort_by_key(|filling| filling.slot);
    contents
}

impl Derived {
    /// How many of its parts are wires.
    #[must_use]
    pub fn wire_count(&self) -> usize {
        let is_wire = |part: &Part| {
            let signal = part.signal();
            matches!(signal, Some(hallwright_core::part::Signal::Wire { .. }))
        };
        self.network
            .parts()
            .filter(|(_, part)| is_wire(part))
            .count()
    }
}
