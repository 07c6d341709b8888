//! Where the parts of a placed hall stand, as the script reads it, by hand from `in_blocks.ron`.

use serde_json::{Value, json};

use crate::support::{Data, drawn};

/// The script's module with the numbers of the sides.
const STAND: &str = include_str!("../../crates/script/modules/stand.js");

type At = (i64, i64, i64);

/// The blocks of each part, then those of wire, the full ones, the caps and those of rooms.
fn blocks(data: &Data) -> Vec<Vec<At>> {
    let stand = &data["stand"];
    let least = |axis: usize| stand["least"][axis].as_i64().expect("a number");
    let row = |axis: usize, name: &str| -> Vec<i64> {
        let offsets = data.series(&stand[name]);
        let at = |offset| least(axis) + i64::try_from(offset).expect("halls are small");
        offsets.into_iter().map(at).collect()
    };
    let rows = [row(0, "x"), row(1, "y"), row(2, "z")];
    let mut next = 0..rows[0].len();
    let counts = data.numbers(&stand["counts"]);
    let own = |count: &u64| -> Vec<At> {
        let numbers = next.by_ref().take(*count as usize);
        numbers
            .map(|number| (rows[0][number], rows[1][number], rows[2][number]))
            .collect()
    };
    let all = counts.iter().map(own).collect();
    assert!(next.is_empty(), "every block belongs to something");
    all
}

fn part(data: &Value, name: &str) -> usize {
    let all = data["parts"]["names"].as_array().expect("a list");
    let found = all.iter().position(|known| known == name);
    found.unwrap_or_else(|| panic!("no {name}"))
}

/// The sides by their numbers, as the script calls them.
fn sides() -> Vec<&'static str> {
    let list = STAND.split_once("export const SIDE_NAMES = [");
    let list = list.and_then(|(_, rest)| rest.split_once("];"));
    let (list, _) = list.expect("the script has names of sides");
    list.split(", ")
        .map(|name| name.trim_matches('"'))
        .collect()
}

#[test]
fn every_part_has_the_blocks_that_it_fills() {
    let (data, _) = drawn("page/in_blocks.ron");
    let blocks = blocks(&data);
    for (name, filled) in [
        ("inbox", vec![(0, 2, 0), (1, 2, 0)]),
        ("head", vec![(1, 1, 0)]),
        ("brook", vec![(6, 4, 2), (7, 4, 2), (7, 3, 2)]),
        ("pond", vec![(7, 3, 2)]),
        ("line", vec![(2, 0, 2), (1, 0, 2), (0, 0, 2)]),
        ("later", vec![]),
    ] {
        assert_eq!(blocks[part(&data, name)], filled, "{name}");
    }
    let mut sorter = blocks[part(&data, "sorter")].clone();
    sorter.sort_unstable();
    assert_eq!(
        sorter,
        [(10, 0, 0), (10, 1, 0), (11, 0, 0), (11, 1, 0)],
        "as large as it says"
    );
    let [wire, full, caps, rooms] = &blocks[blocks.len() - 4..] else {
        panic!("four rows");
    };
    assert_eq!(rooms, &[]);
    assert_eq!(data["stand"]["rooms"], json!([]));
    assert_eq!(wire, &[(4, 4, 3), (4, 4, 4)]);
    assert_eq!(full.len(), 19);
    assert!(full.contains(&(3, 0, 0)));
    assert_eq!(caps, &[(2, 2, 0), (10, 3, 0)]);
}

#[test]
fn a_room_has_its_name_its_blocks_and_its_parts() {
    let (data, _) = drawn("page/rooms.ron");
    let run = part(&data, "run");
    assert_eq!(data["stand"]["rooms"], json!([["control room", 6, [run]]]));
    let blocks = blocks(&data);
    assert_eq!(blocks[run], []);
    let room = [4, 5].map(|x| [-1, 0, 1].map(|z| (x, 0, z)));
    assert_eq!(blocks.last(), Some(&room.concat()));
}

#[test]
fn what_points_somewhere_has_its_side_said_or_not() {
    let (data, _) = drawn("page/in_blocks.ron");
    let faces = data.numbers(&data["stand"]["faces"]);
    let sides = sides();
    for (name, side) in [
        // To what they push into, which they need not say.
        ("head", "+x"),
        ("next", "-y"),
        ("hand", "+y"),
        ("thrower", "+x"),
        ("level", "+z"),
        ("eye", "+z"),
        // What they are fastened to; below, if they do not say.
        ("off", "+x"),
        ("bell", "+x"),
        ("gate", "-y"),
        ("inbox", ""),
        ("brook", ""),
        ("line", ""),
        ("sorter", ""),
        ("later", ""),
    ] {
        assert_eq!(sides[faces[part(&data, name)] as usize], side, "{name}");
    }
}

#[test]
fn wire_joins_block_by_block_and_turns_to_what_it_meets() {
    let (data, _) = drawn("page/in_blocks.ron");
    let stand = &data["stand"];
    let all = blocks(&data).concat();
    let joints: Vec<[At; 2]> = data
        .numbers(&stand["joints"])
        .chunks(2)
        .map(|pair| [all[pair[0] as usize], all[pair[1] as usize]])
        .collect();
    assert_eq!(joints.len(), 3);
    for joint in [
        [(2, 0, 2), (1, 0, 2)],
        [(1, 0, 2), (0, 0, 2)],
        [(4, 4, 3), (4, 4, 4)],
    ] {
        assert!(joints.contains(&joint), "{joints:?}");
    }
    let sides = sides();
    let turned: Vec<(At, &str)> = data
        .numbers(&stand["turned"])
        .chunks(2)
        .map(|pair| (all[pair[0] as usize], sides[pair[1] as usize]))
        .collect();
    // To the comparator that feeds it, and at its other end to the block of the inverter.
    assert_eq!(turned.len(), 3, "{turned:?}");
    assert!(turned.contains(&((4, 4, 3), "-z")), "{turned:?}");
    assert!(turned.contains(&((2, 0, 2), "-z")), "{turned:?}");
    assert!(turned.contains(&((0, 0, 2), "-x")), "{turned:?}");
    // Wire that is a part has its level in the record; the other hears the button, and loses 1 on the way.
    let knock = part(&data, "knock");
    let heard: Vec<(At, usize, u64)> = data
        .numbers(&stand["heard"])
        .chunks(3)
        .map(|each| (all[each[0] as usize], each[1] as usize, each[2]))
        .collect();
    assert_eq!(heard, [((4, 4, 3), knock, 0), ((4, 4, 4), knock, 1)]);
}

#[test]
fn a_hall_without_positions_has_no_blocks() {
    let (data, _) = drawn("page/links.ron");
    assert_eq!(data["stand"], Value::Null);
    assert_eq!(data.names(&[0]), ["inbox"]);
}
