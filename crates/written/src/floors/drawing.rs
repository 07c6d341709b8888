//! Blocks as words, floor by floor.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::network::Network;
use hallwright_core::space::{Block, Side};
use hallwright_site::blocks::{Piece, Settings, Shape, World};

use super::Undrawable;

/// The most words that are written, open blocks included.
const MOST_WORDS: usize = 4_000_000;

/// Words that stand for blocks that are no parts.
const OPEN: &str = ".";
const FULL: &str = "#";
const WIRE: &str = "~";
const CAP: &str = "_";

/// What is drawn.
pub(super) struct Drawing {
    /// Where in the hall the block (0, 0, 0) of the floors is.
    pub(super) origin: Block,
    /// The height of each floor on which something is, from the top, and its rows, whose words stand below each
    /// other.
    pub(super) floors: Vec<(i32, Vec<String>)>,
    /// The pieces that keep their positions, by number: see [`unworded`].
    pub(super) unworded: BTreeSet<usize>,
}

impl Drawing {
    /// Draws a world.
    pub(super) fn of(network: &Network, world: &World) -> Result<Self, Undrawable> {
        let names: BTreeSet<&str> = network.part_ids().map(|part| network.name(part)).collect();
        let unworded = unworded(world);
        let mut words: BTreeMap<Block, String> = BTreeMap::new();
        let numbered = world.pieces().iter().enumerate();
        for (_, piece) in numbered.filter(|(number, _)| !unworded.contains(number)) {
            words.extend(words_of(piece, &names)?);
        }
        let blocks = world.pieces().iter().flat_map(|piece| &piece.blocks);
        let least = blocks.copied().reduce(Block::least);
        let origin = least.ok_or(Undrawable::NothingStands)?;
        let mut floors: BTreeMap<i32, BTreeMap<(i32, i32), &str>> = BTreeMap::new();
        for (block, word) in &words {
            let at = *block - origin;
            let floor = floors.entry(at.y).or_default();
            floor.insert((at.z, at.x), word);
        }
        is_readable(&floors)?;
        let floors = floors.into_iter().rev();
        Ok(Self {
            origin,
            floors: floors.map(|(y, floor)| (y, rows(&floor))).collect(),
            unworded,
        })
    }
}

/// What cannot be drawn and need not be, for it has no links of its own and hears nothing: a mouth in the last
/// block of a stream, since a block has one word, and what has a name that is none.
fn unworded(world: &World) -> BTreeSet<usize> {
    let streams = world.pieces().iter();
    let streams = streams.filter(|piece| piece.shape == Shape::Stream);
    let ends = streams.filter_map(|stream| world.mouth_at(*stream.blocks.last()?));
    let named = |(number, piece): (usize, &Piece)| {
        let is_unnamed = is_alone(piece) && no_word(&piece.name).is_some();
        is_unnamed.then_some(number)
    };
    let numbered = world.pieces().iter().enumerate();
    ends.chain(numbered.filter_map(named)).collect()
}

/// Whether it acts on nothing, looks at nothing and hears nothing, whatever is around it.
fn is_alone(piece: &Piece) -> bool {
    match piece.shape {
        Shape::Chest | Shape::ChestApart | Shape::DoubleChest | Shape::Barrel => true,
        Shape::Container | Shape::Mouth | Shape::Lever | Shape::Button => true,
        Shape::Word => matches!(piece.settings, Some(Settings::Clock { .. })),
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Hopper | Shape::Dropper => false,
        Shape::Dispenser | Shape::Observer | Shape::Comparator | Shape::Repeater => false,
        Shape::Inverter | Shape::Bench | Shape::Stream => false,
    }
}

/// The word in each block of a piece.
fn words_of(piece: &Piece, names: &BTreeSet<&str>) -> Result<Vec<(Block, String)>, Undrawable> {
    let alike = |word: &str| {
        let blocks = piece.blocks.iter();
        blocks.map(|block| (*block, word.to_owned())).collect()
    };
    match piece.shape {
        Shape::Full => return Ok(alike(FULL)),
        Shape::Cap => return Ok(alike(CAP)),
        Shape::Wire => return Ok(alike(WIRE)),
        _ if piece.blocks.is_empty() => return Ok(Vec::new()),
        _ => {}
    }
    let name = &piece.name;
    if let Some(why) = no_word(name) {
        let name = name.clone();
        return Err(Undrawable::NoWord { name, why });
    }
    let mut words = Vec::new();
    for (index, block) in piece.blocks.iter().enumerate() {
        let sign = side(piece, index).map_or("", sign);
        let word = format!("{name}{sign}");
        if !sign.is_empty() && names.contains(word.as_str()) {
            let name = name.clone();
            return Err(Undrawable::WordTaken { name, word });
        }
        words.push((*block, word));
    }
    Ok(words)
}

/// Why a name cannot be a word; `None` if it can.
fn no_word(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        Some("it is empty")
    } else if name.contains(char::is_whitespace) {
        Some("it has a blank in it")
    } else if [OPEN, FULL, WIRE, CAP].contains(&name) {
        Some("that word stands for a block that is no part")
    } else if name.ends_with(['>', '<', '^', '!', '+', '-']) {
        Some("its last letter is a sign")
    } else {
        None
    }
}

/// Where a piece points in its block of this number, if that must be drawn.
fn side(piece: &Piece, index: usize) -> Option<Side> {
    let unless_down = |side: &Side| *side != Side::MinusY;
    match piece.shape {
        Shape::Hopper | Shape::Inverter | Shape::Lever | Shape::Button => {
            piece.faces.filter(unless_down)
        }
        Shape::Dropper | Shape::Dispenser | Shape::Observer => piece.faces,
        Shape::Comparator | Shape::Repeater => piece.faces,
        // The first half points to the other, each block of a stream to the next.
        Shape::DoubleChest | Shape::Stream => {
            let (here, next) = (piece.blocks.get(index)?, piece.blocks.get(index + 1)?);
            here.side_of(*next)
        }
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => None,
        Shape::Barrel | Shape::Container | Shape::Bench | Shape::Mouth | Shape::Word => None,
    }
}

/// The sign of a side, behind a name.
fn sign(side: Side) -> &'static str {
    match side {
        Side::PlusX => ">",
        Side::MinusX => "<",
        Side::MinusZ => "^",
        Side::PlusZ => "!",
        Side::PlusY => "+",
        Side::MinusY => "-",
    }
}

/// How many words a floor has: from 0 to its furthest in each direction.
fn size(floor: &BTreeMap<(i32, i32), &str>) -> (i32, i32) {
    let places = floor.keys();
    places.fold((0, 0), |(rows, columns), (z, x)| {
        (
            rows.max(z.saturating_add(1)),
            columns.max(x.saturating_add(1)),
        )
    })
}

/// Two parts at two ends of the world would fill the disk with open blocks.
fn is_readable(floors: &BTreeMap<i32, BTreeMap<(i32, i32), &str>>) -> Result<(), Undrawable> {
    let words = floors.values().map(|floor| {
        let (rows, columns) = size(floor);
        i64::from(rows) * i64::from(columns)
    });
    let words = words.fold(0_i64, i64::saturating_add);
    match usize::try_from(words) {
        Ok(words) if words <= MOST_WORDS => Ok(()),
        _ => Err(Undrawable::TooWide { most: MOST_WORDS }),
    }
}

/// The rows of a floor. All have equally many words, and the words of one `x` begin below each other.
fn rows(floor: &BTreeMap<(i32, i32), &str>) -> Vec<String> {
    let (rows, columns) = size(floor);
    let word = |z: i32, x: i32| floor.get(&(z, x)).copied().unwrap_or(OPEN);
    let mut widths: BTreeMap<i32, usize> = BTreeMap::new();
    for ((_, x), word) in floor {
        let width = widths.entry(*x).or_default();
        *width = word.chars().count().max(*width);
    }
    let row = |z: i32| {
        let mut row = String::new();
        for x in 0..columns {
            let width = widths.get(&x).copied().unwrap_or(1);
            row.push_str(&format!("{:width$} ", word(z, x)));
        }
        row.trim_end().to_owned()
    };
    (0..rows).map(row).collect()
}
