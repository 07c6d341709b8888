//! Where everything is at the end, and what stores have room for.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::KindId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_declared::declarations::{Declarations, StorePurpose};

use crate::support::{capped, chest, filling, run_with, store};

/// A box with so much of a kind in it.
fn packed(slot: u16, carton: KindId, kind: KindId, count: u8) -> Filling {
    Filling {
        contents: vec![filling(0, kind, count)],
        ..filling(slot, carton, 1)
    }
}

#[test]
fn the_room_of_a_store_is_that_of_its_slots() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let crock = builder.kind("crock", StackLimit::Sixteen);
    let carton = builder.box_kind("carton");
    let names = ["grain", "shelf", "boxes", "both"];
    let [grain, shelf, boxes, both] = names.map(|name| chest(&mut builder, name, 27));
    builder.fill(boxes, packed(0, carton, barley, 9));
    builder.fill(both, packed(0, carton, barley, 9));
    builder.fill(both, filling(1, barley, 9));
    let slice = |name: &str, part, takes: &[KindId]| store(name, part, takes, StorePurpose::Slice);
    let declared = Declarations {
        stores: vec![
            slice("grain", grain, &[barley]),
            slice("shelf", shelf, &[barley, crock]),
            slice("boxes", boxes, &[barley]),
            slice("both", both, &[barley]),
        ],
        ..Declarations::default()
    };
    let network = builder.build().expect("sound");
    let found = run_with(&network, &declared, 1, Vec::new());
    let room: Vec<(u64, bool, Option<u64>)> = found
        .stores
        .iter()
        .map(|store| &store.capacity)
        .map(|room| (room.slots, room.is_for_boxes, room.items))
        .collect();
    // Of several kinds, what the one that stacks least leaves; a box has 27 slots of its own.
    let expected = [
        (27, false, Some(27 * 64)),
        (27, false, Some(27 * 16)),
        (27, true, Some(27 * 27 * 64)),
        (27, false, Some(27 * 64)),
    ];
    assert_eq!(room, expected);
}

#[test]
fn goods_in_lines_are_listed_but_for_fillers_that_never_moved() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let carton = builder.box_kind("carton");
    let barrel = chest(&mut builder, "barrel", 1);
    builder.fill(barrel, filling(0, barley, 63));
    let [spill, empties] = ["spill", "empties"].map(|name| chest(&mut builder, name, 27));
    builder.fill(spill, packed(0, carton, flax, 9));
    builder.fill(empties, filling(0, carton, 1));
    let line = builder.add("line", capped(Some(barrel), None));
    builder.fill(line, filling(0, barley, 5));
    let fillers = builder.add("fillers", capped(None, None));
    builder.fill(fillers, filling(2, flax, 7));
    let sieve = builder.add("sieve", capped(None, None));
    builder.fill(sieve, filling(0, barley, 3));
    let declared = Declarations {
        stores: vec![
            store("grain", barrel, &[barley], StorePurpose::Slice),
            store("empties", empties, &[carton], StorePurpose::Slice),
            store("overflow", spill, &[], StorePurpose::Overflow),
        ],
        sieves: vec![sieve],
        ..Declarations::default()
    };
    let network = builder.build().expect("sound");
    let found = run_with(&network, &declared, 100, Vec::new());
    let here = &found.whereabouts;
    let in_lines = here.in_lines.iter();
    let in_lines: Vec<_> = in_lines.map(|row| (row.part.as_str(), row.items)).collect();
    assert_eq!(in_lines, [("line", 4)]);
    assert_eq!(here.in_lines_items, 4 + 7);
    assert_eq!(here.sieve_items, 3);
    // What would fit into the overflow still has no room at home.
    let no_room = here.no_room.iter();
    let no_room: Vec<_> = no_room.map(|row| (row.store.as_str(), row.items)).collect();
    assert_eq!(no_room, [("grain", 4)]);
    assert_eq!((here.sorted_items, here.sorted_boxes), (64 + 1, 1));
    assert_eq!((here.overflow_items, here.overflow_boxes), (1 + 9, 1));
}
