//! Where parts stand and how they are turned, through modules that are shifted and turned themselves.

use hallwright_declared::placement::{Gate, Placed};
use hallwright_declared::space::{Block, Side};
use hallwright_scenario::{LoadOptions, Scenario};

use crate::{ids_of, load_text, readable};

fn read(fields: &str) -> hallwright_scenario::Loaded {
    let text = format!(r#"(title: "Placing", run_for: "10s", goods: {{"barley": 64}}, {fields})"#);
    load_text(&text, &LoadOptions::default())
}

fn placed(scenario: &Scenario, name: &str) -> Placed {
    let part = scenario.network.find(name).expect("it is there");
    let placed = scenario.declarations.placement.parts[part.index()].clone();
    *placed.expect("it is said")
}

#[test]
fn parts_stand_where_a_layout_says_and_face_where_it_says() {
    let fields = r#"
        parts: {
            "head": Hopper(target: "store", position: (0, 0, 0), faces: "+x"),
            "store": DoubleChest(position: (1, 0, 0), along: "z"),
            "drop": Dropper(target: "store", position: (1, 1, 0), faces: "-y"),
            "brook": Stream(blocks: 3, mouth: "end", path: [(4, 0, 0), (6, 0, 0)]),
            "end": Mouth(path: [(7, 0, 0), (7, 0, 1)], blocks: 2),
        },
        signals: {
            "run": Lever(position: (3, 1, 0), on: "-y"),
            "line": Wire(inputs: ["run"], path: [(3, 1, 1), (3, 1, 3), (5, 1, 3)]),
        },
        full: [(3, 0, 0)],
        caps: [(0, 1, 0)],"#;
    let scenario = readable(read(fields));
    assert_eq!(placed(&scenario, "head").faces, Some(Side::PlusX));
    assert_eq!(placed(&scenario, "store").along, Some(Side::PlusZ));
    assert_eq!(placed(&scenario, "drop").faces, Some(Side::MinusY));
    assert_eq!(placed(&scenario, "run").on, Some(Side::MinusY));
    // Straight runs are written by their ends.
    let line = [(3, 1, 1), (3, 1, 2), (3, 1, 3), (4, 1, 3), (5, 1, 3)];
    assert_eq!(
        placed(&scenario, "line").path,
        line.map(|(x, y, z)| Block::new(x, y, z))
    );
    assert_eq!(placed(&scenario, "brook").path.len(), 3);
    assert_eq!(scenario.declarations.placement.full, [Block::new(3, 0, 0)]);
    assert_eq!(scenario.declarations.placement.caps, [Block::new(0, 1, 0)]);
}

/// A module set down at (10, 0, 0) with its `x` along `-z` and its `z` along `+x`.
const TURNED: &str = r#"
    modules: {"cell": (
        parts: {
            "head": Hopper(target: "store", position: (1, 0, 0), faces: "+x"),
            "store": Chest(position: (2, 0, 0)),
            "eye": Selector(takes: Kinds(["barley"]), match: "store", rest: "store",
                position: (0, 3, 0), size: (2, 1, 3),
                sides: {"in": "-x", "match": (at: (1, 0, 2), side: "+z")}),
        },
        full: [(0, 0, 5)],
    )},
    uses: {
        "one": One(module: "cell", position: (10, 0, 0), axes: (x: "-z", z: "+x")),
        "many": Row(module: "cell", count: 2, position: (30, 0, 0), step: (0, 0, 9), axes: (x: "-x")),
    },"#;

#[test]
fn a_module_is_turned_as_its_axes_say() {
    let scenario = readable(read(TURNED));
    let head = placed(&scenario, "one.head");
    assert_eq!(head.position, Some(Block::new(10, 0, -1)));
    assert_eq!(head.faces, Some(Side::MinusZ));
    // Its own box is 2 along x and 3 along z. Its x now runs to -z and its z to +x, so that it fills
    // x 10 to 12 and z -1 to 0, and its corner is at (10, 3, -1).
    let eye = placed(&scenario, "one.eye");
    assert_eq!(eye.position, Some(Block::new(10, 3, -1)));
    assert_eq!(eye.size, Some(Block::new(3, 1, 2)));
    let gate = |name: &str, at: (i32, i32, i32), side| Gate {
        name: name.to_owned(),
        at: Block::new(at.0, at.1, at.2),
        side,
    };
    // Its block (1, 0, 2) is at (12, 3, -1).
    let gates = [
        gate("in", (0, 0, 1), Side::PlusZ),
        gate("match", (2, 0, 0), Side::PlusX),
    ];
    assert_eq!(eye.sides, gates);
    // Full blocks turn too: one in "one", two in the row, which is mirrored but stepped in the hall's frame.
    let full = [(15, 0, 0), (30, 0, 5), (30, 0, 14)];
    assert_eq!(
        scenario.declarations.placement.full,
        full.map(|(x, y, z)| Block::new(x, y, z))
    );
    assert_eq!(
        placed(&scenario, "many[1].store").position,
        Some(Block::new(28, 0, 9))
    );
    assert_eq!(placed(&scenario, "many[1].head").faces, Some(Side::MinusX));
}

#[test]
fn sides_and_turns_that_are_none_are_reported() {
    for (wrong, id) in [
        (
            r#""a": DoubleChest(position: (0, 0, 0), along: "w")"#,
            "layout::bad-side",
        ),
        (
            r#""a": Hopper(position: (0, 0, 0), faces: 3)"#,
            "text::wrong-type",
        ),
        (
            r#""a": Clock(period: "9t", high: "2t", position: (0, 0, 0), size: (1, 0, 1))"#,
            "text::bad-number",
        ),
        (
            r#""a": Mouth(path: [(0, 0, 0), (900000, 0, 0)])"#,
            "text::bad-number",
        ),
        (
            r#""a": Clock(period: "9t", high: "2t", position: (0, 0, 0), size: (9000, 9000, 9000))"#,
            "text::bad-number",
        ),
        // Fields of which the part makes nothing.
        (
            r#""a": Barrel(position: (0, 0, 0), along: "x")"#,
            "text::unknown-field",
        ),
        (r#""a": Barrel(path: [(0, 0, 0)])"#, "text::unknown-field"),
        (
            r#""a": Lever(position: (0, 0, 0), faces: "x")"#,
            "text::unknown-field",
        ),
        (
            r#""a": Hopper(position: (0, 0, 0), sides: {"in": "x"})"#,
            "text::unknown-field",
        ),
        (
            r#""a": Mouth(position: (0, 0, 0), path: [(0, 0, 0)])"#,
            "layout::one-of-fields",
        ),
    ] {
        let loaded = read(&format!("parts: {{{wrong}}},"));
        assert_eq!(ids_of(&loaded), [id], "{wrong}");
    }
    let uses = r#"modules: {"m": (parts: {"a": Chest()})}, uses: {"u": One(module: "m", axes: (x: "+z"))},"#;
    assert_eq!(ids_of(&read(uses)), ["layout::bad-side"]);
}

#[test]
fn a_flat_layout_keeps_where_everything_stands() {
    let scenario = readable(read(TURNED));
    let written = hallwright_written::flat(&scenario);
    let read = readable(load_text(&written, &LoadOptions::default()));
    assert_eq!(read.declarations.placement, scenario.declarations.placement);
}
