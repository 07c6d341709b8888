//! Blocks as words, floor by floor.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::{Piece, Settings, Shape, Use, World};
use hallwright_site::network::{Ear, ears, sources};
use hallwright_site::place::Site;

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
}

impl Drawing {
    /// Draws a world, but for these pieces.
    pub(super) fn of(
        world: &World,
        unworded: &BTreeMap<usize, String>,
    ) -> Result<Self, Undrawable> {
        let mut words: BTreeMap<Block, String> = BTreeMap::new();
        let numbered = world.pieces().iter().enumerate();
        // A room is no word: it stays a field.
        let is_drawn =
            |(number, piece): &(usize, &Piece)| !unworded.contains_key(number) && !piece.is_room();
        for (_, piece) in numbered.filter(is_drawn) {
            words.extend(words_of(piece));
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
        })
    }
}

/// The pieces that no words can show, by number, each with why. They keep their positions and links.
pub(super) fn unworded(
    network: &Network,
    site: &Site,
    in_rooms: &BTreeSet<PartId>,
) -> BTreeMap<usize, String> {
    let names: BTreeSet<&str> = network.part_ids().map(|part| network.name(part)).collect();
    let world = &site.world;
    let streams = world.pieces().iter();
    let streams = streams.filter(|piece| piece.shape == Shape::Stream);
    // A block has one word.
    let ends = streams.filter_map(|stream| world.mouth_at(*stream.blocks.last()?));
    let ends: BTreeSet<usize> = ends.collect();
    let mut unworded = BTreeMap::new();
    for (number, piece) in world.pieces().iter().enumerate() {
        let part = site.parts.get(number).copied().flatten();
        let part = part.filter(|_| piece.shape != Shape::Wire && !piece.blocks.is_empty());
        let Some(part) = part else { continue };
        let why = if ends.contains(&number) {
            Some("it is in the last block of its stream".to_owned())
        } else {
            no_word(&piece.name)
                .map(str::to_owned)
                .or_else(|| taken(piece, &names))
                .or_else(|| hears_room(network, part, in_rooms))
                .or_else(|| lacks(network, part))
                .or_else(|| counts_wrong(piece))
        };
        unworded.extend(why.map(|why| (number, why)));
    }
    unworded
}

/// Why a name cannot be a word; `None` if it can.
fn no_word(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        Some("its name is empty")
    } else if name.contains(char::is_whitespace) {
        Some("its name has a blank in it")
    } else if [OPEN, FULL, WIRE, CAP].contains(&name) {
        Some("its name is the word for a block that is no part")
    } else if name.ends_with(|letter| Side::of_sign(letter).is_some()) {
        Some("the last letter of its name is a sign")
    } else {
        None
    }
}

/// That a name with its sign would be read as the name of another part.
fn taken(piece: &Piece, names: &BTreeSet<&str>) -> Option<String> {
    let words = words_of(piece).into_iter().map(|(_, word)| word);
    let mut signed = words.filter(|word| *word != piece.name);
    let word = signed.find(|word| names.contains(word.as_str()))?;
    Some(format!("`{word}` is the name of another part"))
}

/// That something in a room gives a part its signal, which no block shows.
fn hears_room(network: &Network, part: PartId, in_rooms: &BTreeSet<PartId>) -> Option<String> {
    let heard = ears(network, part).into_iter();
    let mut heard = heard.filter(|(ear, _)| *ear != Ear::Lift);
    let is_inside = |signal: PartId| {
        let wires = wires_from(network, signal);
        let heard = sources(network, signal);
        let mut sources = heard.iter().map(|(source, _)| source).chain(wires);
        sources.any(|source| in_rooms.contains(&source))
    };
    let (ear, _) = heard.find(|(_, signal)| is_inside(*signal))?;
    Some(format!("its {} hears what is in a room", ear.words()))
}

/// The wires through which a signal comes, itself among them.
pub(super) fn wires_from(network: &Network, signal: PartId) -> Vec<PartId> {
    let mut wires = Vec::new();
    let mut open = vec![signal];
    while let Some(here) = open.pop() {
        let Some(Signal::Wire { inputs }) = network.signal(here) else {
            continue;
        };
        if !wires.contains(&here) {
            wires.push(here);
            open.extend(inputs.iter().map(|(input, _)| *input));
        }
    }
    wires
}

/// That a part lacks something on purpose. Of one that is drawn nobody says whether it does.
fn lacks(network: &Network, part: PartId) -> Option<String> {
    if let Part::Dropper(dropper) = network.part(part)
        && dropper.trigger.is_none()
    {
        return Some("nothing triggers it".to_owned());
    }
    let mut ears = ears(network, part).into_iter();
    let hears = |signal: PartId| sources(network, signal).iter().next().is_some();
    let (ear, _) = ears.find(|(ear, signal)| *ear != Ear::Lift && !hears(*signal))?;
    Some(format!("its {} hears nothing", ear.words()))
}

/// That a box has not one side for each input, from which their number would be read.
fn counts_wrong(piece: &Piece) -> Option<String> {
    let Some(Settings::AllOf { inputs } | Settings::NoneOf { inputs }) = piece.settings else {
        return None;
    };
    let openings = piece.openings.iter();
    let ears = openings.filter(|opening| matches!(opening.usage, Use::Hears(_)));
    let is_wrong = ears.count() != inputs;
    is_wrong.then(|| "it has not one side for each input".to_owned())
}

/// The word in each block of a piece.
fn words_of(piece: &Piece) -> Vec<(Block, String)> {
    let name = match piece.shape {
        Shape::Full => FULL,
        Shape::Cap => CAP,
        Shape::Wire => WIRE,
        _ => &piece.name,
    };
    let numbered = piece.blocks.iter().enumerate();
    numbered
        .map(|(index, block)| {
            let sign = side(piece, index).map_or_else(String::new, |side| side.sign().to_string());
            (*block, format!("{name}{sign}"))
        })
        .collect()
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
