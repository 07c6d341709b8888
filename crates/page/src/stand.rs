//! The blocks of a placed hall, for the views from above, from the side and of one height.
//!
//! What stands where, which blocks of wire join, and what is full because something needs it, is asked of
//! `hallwright-site`, which knows the rules. A block has a number: those of parts come first, part after part,
//! then wire that is no part, then full blocks, then caps, then rooms.

use std::collections::BTreeMap;

use hallwright_core::network::Network;
use hallwright_declared::placement::{Placement, Room};
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::{Piece, Shape};
use hallwright_site::derive::Field;
use hallwright_site::place::{Site, place};
use serde_json::{Value, json};

use super::pack::Shelf;

/// What the page knows of where things stand.
pub(super) struct Stand {
    numbered: Numbered,
    /// The side to which each part points, or on which it is fastened; 0 for none.
    faces: Vec<u64>,
    /// The docks that stand at a side of their shuttle.
    at_shuttles: Vec<u64>,
    wiring: Wiring,
    rooms: Value,
}

/// Where things stand; `None` if no part stands anywhere.
pub(super) fn stand(network: &Network, placement: &Placement) -> Option<Stand> {
    let said = placement.parts.iter().flatten();
    let is_said = |placed: &hallwright_declared::placement::Placed| {
        placed.position.is_some() || !placed.path.is_empty()
    };
    // A hall without positions is not laid out block by block: it may be large.
    if !said.into_iter().any(|placed| is_said(placed)) && placement.rooms.is_empty() {
        return None;
    }
    let site = place(network, placement);
    let numbered = Numbered::of(&site, network.part_count());
    let mut faces = vec![0; network.part_count()];
    let mut at_shuttles = Vec::new();
    for (piece, part) in site.world.pieces().iter().zip(&site.parts) {
        let Some(part) = part else { continue };
        faces[part.index()] = pointed(piece).map_or(0, side_number);
        if piece.blocks.is_empty() {
            at_shuttles.push(part.index() as u64);
        }
    }
    Some(Stand {
        wiring: numbered.wiring(&site),
        numbered,
        faces,
        at_shuttles,
        rooms: rooms(placement),
    })
}

impl Stand {
    /// The same as the page's script reads it.
    pub(super) fn data(&self, shelf: &mut Shelf) -> Value {
        let Numbered { blocks, counts, .. } = &self.numbered;
        let least = blocks.iter().copied().reduce(Block::least);
        let least = least.unwrap_or_default();
        let mut row = |of: fn(Block) -> i32| {
            shelf.differences(blocks.iter().map(|block| of(*block - least) as u64))
        };
        let [x, y, z] = [
            row(|block| block.x),
            row(|block| block.y),
            row(|block| block.z),
        ];
        let mut row = |numbers: &[u64]| shelf.numbers(numbers.iter().copied());
        json!({
            "least": [least.x, least.y, least.z],
            "counts": row(counts),
            "x": x,
            "y": y,
            "z": z,
            "faces": row(&self.faces),
            "atShuttles": row(&self.at_shuttles),
            "joints": row(&self.wiring.joints),
            "turned": row(&self.wiring.turned),
            "heard": row(&self.wiring.heard),
            "rooms": self.rooms,
        })
    }
}

/// Of the blocks of wire, by their numbers.
#[derive(Default)]
struct Wiring {
    /// Which two join, one after the other.
    joints: Vec<u64>,
    /// A block and a side at which it turns to something that is no wire.
    turned: Vec<u64>,
    /// A block that is no part, a part that it hears, and how much of that part's level is lost.
    heard: Vec<u64>,
}

/// Of each room its name, how many blocks it has, and the numbers of its parts.
fn rooms(placement: &Placement) -> Value {
    let room = |room: &Room| {
        let sides = [room.size.x, room.size.y, room.size.z].map(i64::from);
        let parts = room.parts.iter().map(|part| part.index());
        let parts: Vec<usize> = parts.collect();
        json!([room.name, sides.iter().product::<i64>(), parts])
    };
    placement.rooms.iter().map(room).collect()
}

/// Every block with its number.
struct Numbered {
    blocks: Vec<Block>,
    /// How many blocks each part has, then how many there are of wire, full blocks, caps and rooms.
    counts: Vec<u64>,
    /// The numbers of the blocks of wire.
    wires: BTreeMap<Block, usize>,
    /// How many blocks belong to parts.
    of_parts: usize,
}

impl Numbered {
    fn of(site: &Site, part_count: usize) -> Self {
        let mut of_part: Vec<&[Block]> = vec![&[]; part_count];
        for (piece, part) in site.world.pieces().iter().zip(&site.parts) {
            if let Some(part) = part {
                of_part[part.index()] = &piece.blocks;
            }
        }
        let mut numbered = Self {
            blocks: of_part.concat(),
            counts: of_part.iter().map(|own| own.len() as u64).collect(),
            wires: BTreeMap::new(),
            of_parts: 0,
        };
        numbered.of_parts = numbered.blocks.len();
        // A box that is no part is a room.
        for shape in [Shape::Wire, Shape::Full, Shape::Cap, Shape::Word] {
            let before = numbered.blocks.len();
            let others = site.world.pieces().iter().zip(&site.parts);
            for (piece, _) in others.filter(|(piece, part)| part.is_none() && piece.shape == shape)
            {
                numbered.blocks.extend(&piece.blocks);
            }
            numbered
                .counts
                .push((numbered.blocks.len() - before) as u64);
        }
        // From the end, so that of two at one block the part's own counts.
        let all = numbered.blocks.iter().enumerate().rev();
        let wires = all.filter(|(_, block)| site.world.is_wire(**block));
        numbered.wires = wires.map(|(number, block)| (*block, number)).collect();
        numbered
    }

    /// What is known of the blocks of wire.
    fn wiring(&self, site: &Site) -> Wiring {
        let field = Field::of(&site.world);
        let mut wiring = Wiring::default();
        for (&block, &number) in &self.wires {
            for other in field.wires().joined(block) {
                let Some(&other) = self.wires.get(other) else {
                    continue;
                };
                if number < other {
                    wiring.joints.extend([number as u64, other as u64]);
                }
            }
            for to in field.wires().acts_on(block) {
                let side = block.side_of(to).filter(|side| side.is_level());
                if let Some(side) = side
                    && site.world.at(to).is_some()
                    && !site.world.is_wire(to)
                {
                    wiring.turned.extend([number as u64, side_number(side)]);
                }
            }
            // Wire that is a part has its level in the record.
            if number < self.of_parts {
                continue;
            }
            for (source, carried) in field.in_wire(block).iter() {
                if let Some(part) = site.parts[source] {
                    wiring
                        .heard
                        .extend([number as u64, part.index() as u64, carried.loss.into()]);
                }
            }
        }
        wiring
    }
}

/// Where a piece points, if it is one that points anywhere.
fn pointed(piece: &Piece) -> Option<Side> {
    match piece.shape {
        Shape::Hopper | Shape::Dropper | Shape::Dispenser | Shape::Observer => piece.faces,
        Shape::Comparator | Shape::Repeater | Shape::Inverter => piece.faces,
        Shape::Lever | Shape::Button => piece.faces,
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Chest | Shape::ChestApart => None,
        Shape::DoubleChest | Shape::Barrel | Shape::Container | Shape::Bench => None,
        Shape::Stream | Shape::Mouth | Shape::Word => None,
    }
}

/// The number of a side, as the script has them: 0 is none.
fn side_number(side: Side) -> u64 {
    match side {
        Side::PlusX => 1,
        Side::MinusX => 2,
        Side::PlusY => 3,
        Side::MinusY => 4,
        Side::PlusZ => 5,
        Side::MinusZ => 6,
    }
}

#[cfg(test)]
mod tests {
    use hallwright_core::network::NetworkBuilder;
    use hallwright_core::part::{Part, Signal};
    use hallwright_core::rules::Rules;
    use hallwright_site::blocks::World;
    use hallwright_site::derive::Made;
    use hallwright_site::place::Counts;

    use super::*;

    /// A lever, and beside it wire that is no part of the network.
    #[test]
    fn wire_that_is_no_part_comes_after_the_parts_with_what_it_hears() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: true }));
        let network = builder.build().expect("a lever is sound");
        let blocks = [Block::new(1, 0, 0), Block::new(2, 0, 0)];
        let mut piece = Piece::new("lever", Shape::Lever, [Block::new(0, 0, 0)]);
        piece.faces = Some(Side::MinusY);
        let (world, taken) = World::of_pieces([piece, Piece::new("", Shape::Wire, blocks)]);
        assert_eq!(taken, []);
        let site = Site {
            drawn: Vec::new(),
            world,
            parts: vec![Some(lever), None],
            made: Made::default(),
            findings: Vec::new(),
            counts: Counts::default(),
        };
        let numbered = Numbered::of(&site, network.part_count());
        assert_eq!(numbered.counts, [1, 2, 0, 0, 0]);
        assert_eq!(numbered.blocks[1..], blocks);
        let Wiring {
            joints,
            turned,
            heard,
        } = numbered.wiring(&site);
        assert_eq!(joints, [1, 2]);
        // To the lever; nothing is on the other side of the second block.
        assert_eq!(turned, [1, side_number(Side::MinusX)]);
        assert_eq!(heard, [1, 0, 0, 2, 0, 1]);
    }
}
