//! Where goods go: section 2.

use std::collections::BTreeSet;

use crate::blocks::{Piece, Settings, Shape, Use, World};
use crate::network::Role;
use hallwright_declared::space::{Block, Side};

/// Why somebody reaches into a block.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// To push an item in.
    Push,
    /// To draw one out, or to read.
    Draw,
}

/// Adds every goods link that a piece makes.
pub(super) fn add(world: &World, number: usize, links: &mut BTreeSet<(Role, usize)>) {
    let piece = world.piece(number);
    match piece.shape {
        Shape::Hopper => hopper(world, piece, links),
        Shape::Dropper | Shape::Dispenser => dropper(world, piece, links),
        Shape::Stream => links.extend(end_of_stream(world, piece).map(|mouth| (Role::End, mouth))),
        Shape::Bench => links.extend(out_of_bench(world, piece).map(|place| (Role::Out, place))),
        Shape::Word => selector(world, number, piece, links),
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => {}
        Shape::DoubleChest | Shape::Barrel | Shape::Container | Shape::Observer => {}
        Shape::Comparator | Shape::Repeater | Shape::Inverter | Shape::Lever => {}
        Shape::Button | Shape::Mouth => {}
    }
}

fn hopper(world: &World, piece: &Piece, links: &mut BTreeSet<(Role, usize)>) {
    let Some(&block) = piece.blocks.first() else {
        return;
    };
    if let Some(outlet) = piece.faces.filter(|side| *side != Side::PlusY) {
        let target = inventory(world, block.beside(outlet), outlet.opposite(), Reach::Push);
        links.extend(target.map(|target| (Role::Target, target)));
    }
    let above = block.beside(Side::PlusY);
    if let Some(drawn) = inventory(world, above, Side::MinusY, Reach::Draw) {
        links.insert((Role::Above, drawn));
    } else if let Some(mouth) = world.mouth_at(above) {
        links.insert((Role::Mouth, mouth));
    } else if let Some(stream) = stream_at(world, above) {
        links.insert((Role::Drinks, stream));
    }
}

/// Whether this is a hopper with nothing above it, open to whatever falls.
pub(super) fn has_open_top(world: &World, number: usize) -> bool {
    let piece = world.piece(number);
    let is_open = |block: &Block| world.at(block.beside(Side::PlusY)).is_none();
    piece.shape == Shape::Hopper && piece.blocks.first().is_some_and(is_open)
}

fn dropper(world: &World, piece: &Piece, links: &mut BTreeSet<(Role, usize)>) {
    let (Some(&block), Some(front)) = (piece.blocks.first(), piece.faces) else {
        return;
    };
    let before = block.beside(front);
    let taker = inventory(world, before, front.opposite(), Reach::Push);
    if piece.shape == Shape::Dropper
        && let Some(taker) = taker
    {
        links.insert((Role::Into, taker));
    } else if let Some(bench) = taker.filter(|taker| world.piece(*taker).shape == Shape::Bench) {
        links.insert((Role::Bench, bench));
    } else if let Some(place) = meant(world, piece, loose_places(world, before)) {
        links.insert((Role::Loose, place));
    }
}

/// The mouth beside a stream's last block, or that block itself.
fn end_of_stream(world: &World, piece: &Piece) -> Option<usize> {
    let last = *piece.blocks.last()?;
    let beside = Side::ALL.map(|side| last.beside(side));
    let around = [last].into_iter().chain(beside);
    meant(
        world,
        piece,
        around.filter_map(|block| world.mouth_at(block)),
    )
}

/// The mouth or stream beside a bench.
fn out_of_bench(world: &World, piece: &Piece) -> Option<usize> {
    let bench = *piece.blocks.first()?;
    let around = Side::ALL.map(|side| bench.beside(side));
    let places = around
        .into_iter()
        .flat_map(|block| loose_places(world, block));
    meant(world, piece, places)
}

fn selector(world: &World, number: usize, piece: &Piece, links: &mut BTreeSet<(Role, usize)>) {
    for opening in &piece.openings {
        let Use::HandsOn(role) = opening.usage else {
            continue;
        };
        let before = opening.block.beside(opening.side);
        let taker = inventory(world, before, opening.side.opposite(), Reach::Push);
        let taker = taker.filter(|taker| *taker != number);
        let place = taker.or_else(|| meant(world, piece, loose_places(world, before)));
        links.extend(place.map(|place| (role, place)));
    }
}

/// The inventory that somebody reaches in a block from a side of it.
fn inventory(world: &World, block: Block, from: Side, reach: Reach) -> Option<usize> {
    let number = world.at(block)?;
    let piece = world.piece(number);
    if piece.shape.is_inventory() {
        return Some(number);
    }
    let is_selector = matches!(piece.settings, Some(Settings::Selector { .. }));
    if is_selector && reach == Reach::Push {
        let takes = piece.opens(block, from, |usage| *usage == Use::Takes);
        return takes.then_some(number);
    }
    docked(world, piece, block, Some(from))
}

/// The dock at this block of a box, at an opening on this side, or on any side.
fn docked(world: &World, piece: &Piece, block: Block, side: Option<Side>) -> Option<usize> {
    let here = piece
        .openings
        .iter()
        .filter(|opening| opening.block == block && side.is_none_or(|side| opening.side == side));
    let dock = |usage: &Use| match usage {
        Use::Docks(name) => world.named(name),
        Use::Hears(_) | Use::Gives | Use::Takes | Use::HandsOn(_) | Use::ShowsMatches => None,
    };
    here.into_iter().find_map(|opening| dock(&opening.usage))
}

/// The inventory in this block that a comparator can read from this side of it.
pub(super) fn readable(world: &World, block: Block, from: Side) -> Option<usize> {
    inventory(world, block, from, Reach::Draw)
}

fn stream_at(world: &World, block: Block) -> Option<usize> {
    let number = world.at(block)?;
    (world.piece(number).shape == Shape::Stream).then_some(number)
}

/// Where an item comes loose that is thrown into this block: at its mouth, or onto its stream. Where both are
/// in it the stream comes first if this is its first block, for then the item goes all of its way.
fn loose_places(world: &World, block: Block) -> impl Iterator<Item = usize> {
    let mouth = world.mouth_at(block);
    let stream = stream_at(world, block);
    let is_start = |stream: usize| world.piece(stream).blocks.first() == Some(&block);
    let both = match stream.is_some_and(is_start) {
        true => [stream, mouth],
        false => [mouth, stream],
    };
    both.into_iter().flatten()
}

/// Of several places the one that is meant, or else the first.
fn meant(world: &World, piece: &Piece, places: impl Iterator<Item = usize>) -> Option<usize> {
    let places: Vec<usize> = places.collect();
    let is_meant = |place: &&usize| piece.meant.contains(&world.piece(**place).name);
    places.iter().find(is_meant).or(places.first()).copied()
}
