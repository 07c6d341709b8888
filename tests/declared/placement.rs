//! Where parts stand, and where they come to stand when a module is set down.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_declared::placement::{Origin, Placed, Placement, Room};
use hallwright_declared::space::{Axes, Block, Side};

/// The module's own (0, 0, 0) comes to stand here.
const ORIGIN: Block = Block::new(10, 5, -10);

/// The blocks of a box.
fn blocks(corner: Block, size: Block) -> BTreeSet<Block> {
    let mut blocks = BTreeSet::new();
    for x in 0..size.x {
        for y in 0..size.y {
            blocks.extend((0..size.z).map(|z| corner + Block::new(x, y, z)));
        }
    }
    blocks
}

fn room(corner: Block, size: Block, part: usize) -> Room {
    Room {
        name: "room".to_owned(),
        corner,
        size,
        parts: vec![PartId::from_index(part)],
    }
}

/// A module of a box with a gate, a wire that fills two blocks, and a part of which nothing is said.
fn module() -> Placement {
    let gated = Placed {
        size: Some(Block::new(2, 1, 3)),
        ..Placed::at(Block::new(1, 2, 0))
    };
    let wire = Placed::along_path([Block::new(4, 0, 1), Block::new(4, 0, 2)]);
    Placement {
        parts: vec![
            Some(Box::new(gated.gate("out", Side::MinusX))),
            None,
            Some(Box::new(wire)),
        ],
        full: vec![Block::new(1, 0, 0)],
        caps: vec![Block::new(2, 0, 0)],
        wires: vec![Block::new(3, 0, 1)],
        rooms: vec![room(Block::new(2, 0, 1), Block::new(3, 1, 2), 1)],
        ..Placement::default()
    }
}

#[test]
fn a_module_that_is_set_down_fills_the_blocks_that_its_own_become() {
    let module = module();
    for axes in Axes::all() {
        let down = module.set_down(axes, ORIGIN);
        let become_of = |own: &Block| ORIGIN + axes.way(*own);
        for (set, own) in [
            (&down.full, &module.full),
            (&down.caps, &module.caps),
            (&down.wires, &module.wires),
        ] {
            let own: Vec<Block> = own.iter().map(become_of).collect();
            assert_eq!(*set, own);
        }
        let (own, set) = (&module.rooms[0], &down.rooms[0]);
        let expected = blocks(own.corner, own.size).iter().map(become_of).collect();
        assert_eq!(blocks(set.corner, set.size), expected, "{axes:?}");
        assert_eq!((&set.name, &set.parts), (&own.name, &own.parts));
        let filled = |placement: &Placement| {
            let placed = placement.parts[0].clone().expect("it stands somewhere");
            let (corner, size) = (placed.position.expect("here"), placed.size.expect("so"));
            // The block of its gate, and the one outside.
            let gate = corner + placed.sides[0].at;
            (
                blocks(corner, size),
                gate,
                gate.beside(placed.sides[0].side),
            )
        };
        let (own, own_gate, own_outside) = filled(&module);
        let (set, gate, outside) = filled(&down);
        assert_eq!(set, own.iter().map(become_of).collect(), "{axes:?}");
        assert_eq!(gate, become_of(&own_gate), "{axes:?}");
        assert_eq!(outside, become_of(&own_outside), "{axes:?}");
        assert_eq!(down.parts[1], None);
    }
}

#[test]
fn the_position_of_a_part_is_its_block_or_the_first_of_its_path() {
    let positions = [Some((1, 2, 0)), None, Some((4, 0, 1))];
    assert_eq!(module().positions(), positions);
}

#[test]
fn each_part_knows_the_number_of_its_room() {
    let mut placement = module();
    let one = Block::new(1, 1, 1);
    placement.rooms.push(room(Block::default(), one, 0));
    // What is no part of the network is in none of its rooms.
    placement.rooms.push(room(Block::default(), one, 9));
    assert_eq!(placement.room_of_each(3), [Some(1), Some(0), None]);
}

#[test]
fn what_is_said_of_a_part_is_kept() {
    let block = Block::new(1, 2, 3);
    let placed = Placed::at(block).facing(Side::PlusY);
    assert_eq!(
        (placed.position, placed.faces),
        (Some(block), Some(Side::PlusY))
    );
    assert!(!placed.clone().of_origin(Origin::Added).is_added_wire());
    let wire = Placed::default();
    assert!(!wire.is_added_wire());
    assert!(wire.of_origin(Origin::Added).is_added_wire());
}
