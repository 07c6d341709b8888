//! What comparators read and observers watch.

use std::collections::BTreeSet;

use super::field::Field;
use super::goods::readable;
use crate::blocks::{Piece, Settings, Shape, Use, World};
use crate::network::Role;
use hallwright_declared::space::{Block, Side};

/// A comparator that reads through a full block which a signal makes strong or weak.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Drowned {
    /// The comparator.
    pub comparator: usize,
    /// The full block.
    pub through: Block,
    /// A source that makes it strong or weak.
    pub source: usize,
}

/// Adds what a comparator reads, or an observer watches that is no wire.
pub(super) fn add(world: &World, number: usize, links: &mut BTreeSet<(Role, usize)>) {
    let piece = world.piece(number);
    if piece.shape == Shape::Comparator {
        links.extend(read(world, piece).map(|(read, _)| (Role::Reads, read)));
    }
    if piece.shape == Shape::Observer {
        links.extend(watched(world, piece));
    }
}

/// What a comparator reads, and the full block through which it reads it.
fn read(world: &World, piece: &Piece) -> Option<(usize, Option<Block>)> {
    let (&block, front) = (piece.blocks.first()?, piece.faces?);
    let back = block.beside(front.opposite());
    if let Some(read) = readable(world, back, front) {
        return Some((read, None));
    }
    let behind = back.beside(front.opposite());
    let through = world.is_full(back).then_some(back)?;
    Some((readable(world, behind, front)?, Some(through)))
}

/// The full block through which a comparator reads, if it does.
#[must_use]
pub fn read_through(world: &World, comparator: usize) -> Option<Block> {
    let piece = world.piece(comparator);
    let is_comparator = piece.shape == Shape::Comparator;
    is_comparator.then(|| read(world, piece)?.1)?
}

/// Every source that drowns what a piece reads.
pub(super) fn drowned(world: &World, field: &Field, number: usize) -> Vec<Drowned> {
    let Some(through) = read_through(world, number) else {
        return Vec::new();
    };
    let drowning = field.in_full_block(through);
    drowning
        .map(|(source, _)| Drowned {
            comparator: number,
            through,
            source,
        })
        .collect()
}

fn watched(world: &World, piece: &Piece) -> Option<(Role, usize)> {
    let (&block, eye) = (piece.blocks.first()?, piece.faces?);
    let seen_block = block.beside(eye);
    let seen = world.at(seen_block)?;
    let seen_piece = world.piece(seen);
    let role = match seen_piece.shape {
        Shape::Hopper => Role::WatchesLock,
        Shape::Dropper | Shape::Dispenser => Role::WatchesTrigger,
        Shape::Observer | Shape::Comparator | Shape::Repeater => Role::WatchesSignal,
        Shape::Inverter | Shape::Lever | Shape::Button => Role::WatchesSignal,
        Shape::Word => seen_in_box(seen_piece, seen_block, eye.opposite())?,
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => return None,
        Shape::DoubleChest | Shape::Barrel | Shape::Container | Shape::Bench => return None,
        Shape::Stream | Shape::Mouth => return None,
    };
    Some((role, seen))
}

/// What is to be seen of a box on this side.
fn seen_in_box(piece: &Piece, block: Block, side: Side) -> Option<Role> {
    match piece.settings {
        Some(Settings::Selector { .. }) => {
            let shows = piece.opens(block, side, |usage| *usage == Use::ShowsMatches);
            Some(match shows {
                true => Role::WatchesMatches,
                false => Role::WatchesLock,
            })
        }
        Some(Settings::Dock | Settings::Shuttle { .. }) | None => None,
        Some(_) => Some(Role::WatchesSignal),
    }
}
