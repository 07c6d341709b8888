//! Rooms: which parts are in them, and what is asked of the signals that come to them and leave them.

use hallwright_declared::placement::Room;
use hallwright_declared::site::SiteReport;
use hallwright_declared::space::Block;
use hallwright_scenario::{LoadOptions, Loaded, Scenario, ids};
use hallwright_written::{flat, floors};

use crate::{ids_of, load_text, readable};

fn loaded(fields: &str) -> Loaded {
    let text =
        format!("(\ntitle: \"Rooms\",\nrun_for: \"2s\",\ngoods: {{\"flax\": 64}},\n{fields}\n)\n");
    load_text(&text, &LoadOptions::default())
}

fn site(scenario: &Scenario) -> &SiteReport {
    scenario
        .declarations
        .site
        .as_ref()
        .expect("something stands")
}

fn rooms(scenario: &Scenario) -> &[Room] {
    &scenario.declarations.placement.rooms
}

fn names<'s>(scenario: &'s Scenario, room: &Room) -> Vec<&'s str> {
    let parts = room.parts.iter();
    parts.map(|part| scenario.network.name(*part)).collect()
}

/// A lever in a room of 8 by 5 by 6 blocks, and a hopper at this x that it locks through these signals.
fn gate(x: i32, signals: &str, lock: &str) -> Loaded {
    loaded(&format!(
        "parts: {{\n\"gate\": Hopper(holds: [\"flax\"], position: ({x}, 0, 0), lock: \"{lock}\"),\n}},\n\
         signals: {{\n\"permit\": Lever(),\n{signals}\n}},\n\
         rooms: {{\n\"control room\": (position: (0, 0, -3), size: (8, 5, 6), parts: [\"permit\"]),\n}},\n\
         caps: [({x}, 1, 0)],"
    ))
}

#[test]
fn a_signal_from_a_room_takes_the_time_of_its_distance() {
    // The room ends at x = 7, so that the hopper is 18 steps away, and then 19.
    assert_eq!(gate(25, "", "permit").diagnostics, []);
    let far = gate(26, "", "permit");
    assert_eq!(ids_of(&far), ["site::too-fast"]);
    assert_eq!(
        far.diagnostics[0].message,
        "`gate` at (26, 0, 0) hears `permit` in the room `control room`, 19 steps away, after 0 ticks, \
         and 2 are needed"
    );
    let line = far
        .sources
        .position(far.diagnostics[0].primary().expect("it is in a text"));
    assert_eq!(line.line, 6, "it is at the part's line");
    // A wire takes no time, wherever it is said to be; a repeater's worth of delay mends it.
    let wire = "\"wire\": Wire(inputs: [\"permit\"]),";
    assert_eq!(ids_of(&gate(26, wire, "wire")), ["site::too-fast"]);
    let way = |ticks: u32| format!("\"way\": DelayLine(input: \"permit\", delay: \"{ticks}t\"),");
    assert_eq!(ids_of(&gate(26, &way(1), "way")), ["site::too-fast"]);
    assert_eq!(gate(26, &way(2), "way").diagnostics, []);
    assert_eq!(ids_of(&gate(44, &way(2), "way")), ["site::too-fast"]);
    let repeaters = "\"one\": Repeater(input: \"permit\"), \"two\": Repeater(input: \"one\"),";
    assert_eq!(gate(44, repeaters, "two").diagnostics, []);
}

#[test]
fn a_room_listens_no_sooner_than_it_can() {
    let lamp = |x: i32, input: &str| {
        loaded(&format!(
            "signals: {{\n\"permit\": Lever(position: ({x}, 0, 0)),\n\"way\": Repeater(input: \"permit\"),\n\
             \"wire\": Wire(inputs: [\"permit\"]),\n\"lamp\": Repeater(input: \"{input}\"),\n}},\n\
             full: [({x}, -1, 0)],\n\
             rooms: {{\"control room\": (position: (0, 0, 0), size: (2, 2, 2), parts: [\"lamp\"])}},"
        ))
    };
    assert_eq!(lamp(-18, "permit").diagnostics, []);
    assert_eq!(ids_of(&lamp(-19, "permit")), ["site::too-fast"]);
    assert_eq!(ids_of(&lamp(-19, "wire")), ["site::too-fast"]);
    assert_eq!(lamp(-19, "way").diagnostics, []);
}

#[test]
fn between_two_rooms_the_nearest_blocks_count_and_within_one_nothing() {
    let two = |x: i32, of_far: &str| {
        loaded(&format!(
            "signals: {{\n\"permit\": Lever(),\n\"wire\": Wire(inputs: [\"permit\"]),\n\
             \"lamp\": Repeater(input: \"wire\"),\n\"eye\": Observer(watches: Signal(\"{of_far}\")),\n\
             \"own\": Repeater(input: \"lamp\"),\n}},\n\
             rooms: {{\n\"near\": (position: (0, 0, 0), size: (60, 3, 3), parts: [\"permit\"]),\n\
             \"far\": (position: ({x}, 0, 0), size: (40, 2, 2), parts: [\"lamp\", \"own\", \"eye\"]),\n}},"
        ))
    };
    assert_eq!(two(77, "lamp").diagnostics, []);
    assert_eq!(ids_of(&two(78, "lamp")), ["site::too-fast"]);
    // What is in the other room cannot be watched, near as it may be.
    assert_eq!(ids_of(&two(60, "permit")), ["site::watching-apart"]);
}

#[test]
fn a_wire_in_a_room_is_a_part_of_it_both_ways() {
    let through = |lever: i32, gate: i32| {
        loaded(&format!(
            "parts: {{\"gate\": Hopper(holds: [\"flax\"], position: ({gate}, 0, 0), lock: \"wire\")}},\n\
             signals: {{\"permit\": Lever(position: ({lever}, 0, 0)), \"wire\": Wire(inputs: [\"permit\"])}},\n\
             full: [({lever}, -1, 0)], caps: [({gate}, 1, 0)],\n\
             rooms: {{\"room\": (position: (0, 0, 0), size: (2, 2, 2), parts: [\"wire\"])}},"
        ))
    };
    assert_eq!(through(-4, -6).diagnostics, []);
    // The two are near each other, and far from the room.
    let messages = |loaded: &Loaded| -> Vec<String> {
        let all = loaded.diagnostics.iter();
        all.map(|one| one.message.clone()).collect()
    };
    let away = messages(&through(-30, -33));
    assert_eq!(away.len(), 2, "{away:?}");
    assert!(
        away.iter()
            .all(|one| one.contains("`wire` in the room `room`")),
        "{away:?}"
    );
}

#[test]
fn nothing_is_read_or_watched_through_the_wall_of_a_room() {
    let eye = |signal: &str, parts: &str| {
        loaded(&format!(
            "parts: {{\"quay\": Chest(holds: [\"flax\"], position: (0, 0, 0)),\n\
             \"feed\": Hopper(holds: [\"flax\"], position: (0, 1, 0), target: \"quay\", lock: \"permit\")}},\n\
             signals: {{\"permit\": Lever(), {signal}}}, caps: [(0, 2, 0)],\n\
             rooms: {{\"room\": (position: (1, 0, 0), size: (3, 2, 2), parts: [\"permit\", {parts}])}},"
        ))
    };
    let reads = eye("\"eye\": Comparator(reads: \"quay\")", "\"eye\"");
    assert_eq!(ids_of(&reads), ["site::reading-apart"]);
    let message = "`eye` in the room `room` does not read `quay` at (0, 0, 0)";
    assert_eq!(reads.diagnostics[0].message, message);
    let help = reads.diagnostics[0].help.clone().unwrap_or_default();
    assert!(help.contains("beside what it reads"), "{help}");
    assert!(help.contains("lead its signal to the room"), "{help}");
    let watches = eye("\"eye\": Observer(watches: Lock(\"feed\"))", "\"eye\"");
    assert_eq!(ids_of(&watches), ["site::watching-apart"]);
    // From outside as well: nobody knows in which block it would be.
    let outside = eye(
        "\"eye\": Observer(watches: Signal(\"permit\"), position: (4, 0, 0), faces: \"-x\")",
        "",
    );
    assert_eq!(ids_of(&outside), ["site::watching-apart"]);
    let wire = eye(
        "\"wire\": Wire(inputs: [\"permit\"]), \
         \"eye\": Observer(watches: Signal(\"wire\"), position: (4, 0, 0), faces: \"-x\")",
        "\"wire\"",
    );
    assert_eq!(ids_of(&wire), ["site::watching-apart"]);
}

#[test]
fn nothing_else_is_in_the_blocks_of_a_room() {
    let beside = |fields: &str| {
        let loaded = loaded(&format!(
            "signals: {{\"permit\": Lever()}},\n{fields}\nrooms: {{\n\
             \"room\": (position: (0, 0, 0), size: (3, 2, 2), parts: [\"permit\"]),\n}},"
        ));
        let all = loaded.diagnostics.iter();
        let all = all.map(|one| format!("{}: {}", one.id, one.message));
        all.collect::<Vec<String>>()
    };
    assert_eq!(beside(""), [""; 0]);
    assert_eq!(
        beside("parts: {\"quay\": Barrel(holds: [\"flax\"], position: (2, 1, 1))},"),
        ["site::overlap: the room `room` at (2, 1, 1) and `quay` at (2, 1, 1) fill one block"]
    );
    assert_eq!(
        beside("full: [(0, 0, 0)],"),
        [
            "site::overlap: a full block, wire or cap at (0, 0, 0) and the room `room` at (0, 0, 0) fill one block"
        ]
    );
}

#[test]
fn two_rooms_do_not_overlap() {
    let two = loaded(
        "signals: {\"permit\": Lever(), \"halt\": Inverter(input: \"permit\")},\nrooms: {\n\
         \"one\": (position: (0, 0, 0), size: (3, 2, 2), parts: [\"permit\"]),\n\
         \"two\": (position: (2, 1, 1), size: (3, 2, 2), parts: [\"halt\"]),\n},",
    );
    assert_eq!(ids_of(&two), ["site::overlap"]);
    let message = "the room `two` at (2, 1, 1) and the room `one` at (2, 1, 1) fill one block";
    assert_eq!(two.diagnostics[0].message, message);
}

#[test]
fn what_is_in_a_room_stands_and_is_taken_at_its_word() {
    let scenario = readable(gate(
        20,
        "\"spare\": Repeater(input: \"permit\"),",
        "permit",
    ));
    let site = site(&scenario);
    assert_eq!((site.parts, site.stand, site.at_their_word), (3, 2, 1));
    assert_eq!((site.links_proven, site.problems.len()), (0, 0));
}

/// A module with a room, set down once and in a row, and a room of the layout itself with what a pattern, a
/// choice and a parameter name.
const ROOMS: &str = r#"
    parameters: {"also": Name, "is_long": true},
    variants: {"plain": {"also": "spare"}},
    modules: {"cell": (
        parameters: {"inside": ["run", "halt"]},
        ports: {"halt": "halt"},
        parts: {"gate": Hopper(holds: ["flax"], position: (6, 0, 0), lock: "halt")},
        signals: {
            "run": Lever(), "halt": Inverter(input: "run"), "line": Wire(inputs: ["halt"]),
            "lamp": Repeater(input: "line"),
        },
        caps: [(6, 1, 0)],
        rooms: {"box": (position: (1, 0, 2), size: (4, 2, 3), parts: "$inside")},
    )},
    uses: {
        "one": One(module: "cell", position: (10, 0, 0), axes: (x: "-z", z: "+x")),
        "row": Row(module: "cell", count: 2, position: (30, 0, 0), step: (0, 0, 9), axes: (x: "-x")),
        "third": One(module: "cell", position: (60, 0, 0), with: {"inside": ["third.run"]}),
    },
    signals: {"spare": Lever(), "long": DelayLine(input: "spare", delay: "9t")},
    rooms: {"hall": (position: (40, 0, 0), size: (4, 4, 4),
        parts: ["row[*].line", "$also", If("$is_long", "long", "spare"), "one.lamp"])},"#;

fn with_rooms() -> Scenario {
    let text = format!("(title: \"Rooms\", run_for: \"2s\", goods: {{\"flax\": 64}}, {ROOMS})");
    let options = LoadOptions {
        variant: Some("plain".to_owned()),
        ..LoadOptions::default()
    };
    readable(load_text(&text, &options))
}

#[test]
fn rooms_are_set_down_and_turned_with_their_modules() {
    let scenario = with_rooms();
    let found: Vec<(&str, Block, Block, Vec<&str>)> = rooms(&scenario)
        .iter()
        .map(|room| {
            (
                room.name.as_str(),
                room.corner,
                room.size,
                names(&scenario, room),
            )
        })
        .collect();
    let block = Block::new;
    let hall = vec!["spare", "long", "one.lamp", "row[0].line", "row[1].line"];
    assert_eq!(
        found,
        [
            ("hall", block(40, 0, 0), block(4, 4, 4), hall),
            // Its own x runs to -z and its z to +x.
            (
                "one.box",
                block(12, 0, -4),
                block(3, 2, 4),
                vec!["one.run", "one.halt"]
            ),
            (
                "row[0].box",
                block(26, 0, 2),
                block(4, 2, 3),
                vec!["row[0].run", "row[0].halt"]
            ),
            (
                "row[1].box",
                block(26, 0, 11),
                block(4, 2, 3),
                vec!["row[1].run", "row[1].halt"]
            ),
            (
                "third.box",
                block(61, 0, 2),
                block(4, 2, 3),
                vec!["third.run"]
            ),
        ]
    );
}

#[test]
fn rooms_are_written_out_flat_and_read_back_as_the_same() {
    let scenario = with_rooms();
    let text = flat(&scenario);
    let again = readable(load_text(&text, &LoadOptions::default()));
    assert_eq!(again.declarations, scenario.declarations);
    assert_eq!(flat(&again), text);
}

#[test]
fn rooms_stay_beside_what_is_drawn() {
    let scenario = readable(loaded(
        "parts: {\"gate\": Hopper(holds: [\"flax\"], position: (6, 3, 4), lock: \"line\", faces: \"-y\"),\n\
         \"store\": Barrel(position: (6, 2, 4))},\n\
         signals: {\"run\": Lever(), \"line\": Wire(inputs: [\"run\"]),\n\
         \"out\": Lever(position: (6, 3, 6)), \"lamp\": Repeater(input: \"out\")},\n\
         caps: [(6, 4, 4)], full: [(6, 2, 6)],\n\
         rooms: {\"room\": (position: (1, 2, 3), size: (4, 2, 3), parts: [\"run\", \"lamp\", \"line\"])},",
    ));
    let problems = &site(&scenario).problems;
    let ids: Vec<&str> = problems.iter().map(|one| one.rule).collect();
    // The hopper points at the barrel, which nobody declared.
    assert_eq!(ids, ["site::pushes-unasked"]);
    let scenario = readable(loaded(
        "parts: {\"gate\": Hopper(holds: [\"flax\"], position: (6, 3, 4), target: \"store\", lock: \"line\"),\n\
         \"store\": Barrel(position: (6, 2, 4))},\n\
         signals: {\"run\": Lever(), \"line\": Wire(inputs: [\"run\"]),\n\
         \"out\": Lever(position: (6, 3, 6)), \"lamp\": Repeater(input: \"out\")},\n\
         caps: [(6, 4, 4)], full: [(6, 2, 6)],\n\
         rooms: {\"room\": (position: (1, 2, 3), size: (4, 2, 3), parts: [\"run\", \"lamp\", \"line\"])},",
    ));
    let text = floors(&scenario).unwrap_or_else(|why| panic!("{why}"));
    let drawn = load_text(&text, &LoadOptions::default());
    assert_eq!(drawn.diagnostics, [], "{text}");
    let drawn = readable(drawn);
    let [room] = rooms(&drawn) else {
        panic!("{text}");
    };
    // The floors begin at the least coordinates of all, (1, 2, 3).
    assert_eq!(
        (room.corner, room.size),
        (Block::new(0, 0, 0), Block::new(4, 2, 3))
    );
    let mut inside = names(&drawn, room);
    inside.sort_unstable();
    assert_eq!(inside, ["lamp", "line", "run"]);
    assert_eq!(site(&drawn).problems, []);
    assert_eq!(site(&drawn).stand, site(&scenario).stand);
}

#[test]
fn a_use_stands_for_its_signal_parts_without_a_place_of_their_own() {
    let scenario = readable(loaded(
        "modules: {\"cell\": (\n\
         parts: {\"gate\": Hopper(holds: [\"flax\"], lock: \"run\")},\n\
         signals: {\"run\": Lever(), \"seen\": Lever(position: (1, 0, 0))}, full: [(1, -1, 0)])},\n\
         uses: {\"cell\": One(module: \"cell\")},\n\
         rooms: {\"room\": (position: (4, 0, 0), size: (1, 1, 1), parts: [\"cell\"])},",
    ));
    assert_eq!(names(&scenario, &rooms(&scenario)[0]), ["cell.run"]);
}

#[test]
fn a_room_that_cannot_be_is_reported_where_it_is_written() {
    let of = |fields: &str| {
        let signals = "parts: {\"quay\": Chest(holds: [\"flax\"])},\n\
            signals: {\"run\": Lever(), \"set\": Lever(position: (50, 0, 0))}, full: [(50, -1, 0)],\n";
        ids_of(&loaded(&format!("{signals}{fields}")))
    };
    let room = |size: &str, parts: &str| {
        of(&format!(
            "rooms: {{\"room\": (position: (0, 0, 0), size: {size}, parts: {parts})}},"
        ))
    };
    assert_eq!(room("(1, 1, 1)", "[\"run\"]"), [""; 0]);
    assert_eq!(room("(0, 1, 1)", "[\"run\"]"), [ids::BAD_NUMBER]);
    assert_eq!(room("(1, 1, 1)", "[\"quay\"]"), [ids::NO_SIGNAL_IN_ROOM]);
    assert_eq!(room("(1, 1, 1)", "[\"set\"]"), [ids::PLACED_IN_ROOM]);
    assert_eq!(room("(1, 1, 1)", "[\"rum\"]"), [ids::UNKNOWN_PART]);
    assert_eq!(room("(1, 1, 1)", "[]"), [ids::EMPTY_ROOM]);
    let two = |one: &str, two: &str| {
        let room = |name: &str, x: i32| {
            format!("\"{name}\": (position: ({x}, 0, 0), size: (1, 1, 1), parts: [\"run\"])")
        };
        of(&format!("rooms: {{{}, {}}},", room(one, 0), room(two, 9)))
    };
    assert_eq!(two("one", "two"), [ids::PART_IN_TWO_ROOMS]);
    assert!(two("one", "one").contains(&ids::DUPLICATE_NAME));
    assert!(two("one", "run").contains(&ids::DUPLICATE_NAME));
}
