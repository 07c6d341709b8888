//! Layouts that are drawn floor by floor: what they come to, and what is reported of slips, at the exact
//! character.

use hallwright_declared::placement::Placed;
use hallwright_declared::space::{Block, Side};
use hallwright_scenario::{LoadOptions, Loaded, Scenario, render};
use hallwright_site::network::{Outline, same};

use crate::{ids_of, load_text, readable};

fn read(fields: &str) -> Loaded {
    let text = format!(
        "(\ntitle: \"Drawn\",\nrun_for: \"10s\",\ngoods: {{\"flax\": 64, \"box\": Box}},\n{fields}\n)\n"
    );
    load_text(&text, &LoadOptions::default())
}

/// One that is read, and stands.
fn standing(fields: &str) -> Scenario {
    let loaded = read(fields);
    let said = render(&loaded.diagnostics, &loaded.sources, false);
    assert_eq!(said_of(&loaded), Vec::<&str>::new(), "{said}");
    readable(loaded)
}

/// What is reported, but that nothing ever comes: little is drawn here but what is asked about.
fn said_of(loaded: &Loaded) -> Vec<&'static str> {
    let mut ids = ids_of(loaded);
    ids.retain(|id| !id.starts_with("smell::"));
    ids
}

fn placed(scenario: &Scenario, name: &str) -> Placed {
    let part = scenario.network.find(name).expect("it is there");
    let placed = scenario.declarations.placement.parts[part.index()].clone();
    *placed.expect("it is drawn")
}

fn outline(scenario: &Scenario) -> Outline {
    Outline::of(&scenario.network)
}

fn is_same(one: &Scenario, other: &Scenario) -> bool {
    same(&outline(one), &outline(other)).is_some()
}

/// Two hoppers in a row, the first locked through a wire by a lever and a repeater that it drives.
const DRAWN: &str = r##"
    floors: [
        (y: 2, rows: [
            "_     _     .    .  .",
        ]),
        (y: 1, rows: [
            "feed> line> rest .  .    ",
            "~     .     .    .  .    ",
            "run   ~     ~    ~  late>",
        ]),
        (y: 0, rows: [
            ".     .     .    .  .",
            "#     .     .    .  .",
            "#     #     #    #  #",
        ]),
    ],
    parts: {"feed": Hopper(holds: [(kind: "flax", count: 3)]), "line": Hopper(), "rest": Chest()},
    signals: {"run": Lever(starts_on: true), "late": Repeater(delay: "6t")},"##;

/// The same, declared.
const DECLARED: &str = r#"
    parts: {
        "feed": Hopper(holds: [(kind: "flax", count: 3)], target: "line", lock: "wire"),
        "line": Hopper(target: "rest"),
        "rest": Chest(),
    },
    signals: {
        "run": Lever(starts_on: true),
        "wire": Wire(inputs: ["run"]),
        "behind": Wire(inputs: [Loss("run", 2)]),
        "late": Repeater(delay: "6t", input: "behind"),
    },"#;

#[test]
fn a_drawn_layout_is_the_network_that_its_blocks_make() {
    let drawn = standing(DRAWN);
    assert!(is_same(&drawn, &readable(read(DECLARED))));
    let other = DECLARED.replace("\"run\", 2", "\"run\", 3");
    assert!(!is_same(&drawn, &readable(read(&other))));
    let site = drawn.declarations.site.as_ref().expect("it stands");
    assert_eq!(site.problems, []);
    assert_eq!((site.parts, site.stand, site.at_their_word), (5, 5, 0));
    // Two hand-overs, and two listeners with one source each.
    assert_eq!(site.links_proven, 4);
}

#[test]
fn parts_are_declared_from_the_top_then_by_x_then_by_z() {
    let drawn = standing(DRAWN);
    let names: Vec<&str> = drawn
        .network
        .part_ids()
        .map(|part| drawn.network.name(part))
        .collect();
    let expected = [
        "feed",
        "run",
        "line",
        "rest",
        "late",
        "lock of feed",
        "input 1 of late",
    ];
    assert_eq!(names, expected);
}

#[test]
fn a_drawn_module_is_shifted_and_turned_as_a_whole() {
    let module = |uses: &str| format!("modules: {{\"m\": ({DRAWN})}}, uses: {{{uses}}},");
    let plain = standing(&module("\"a\": One(module: \"m\")"));
    for x in ["+x", "-x", "+z", "-z"] {
        for z in ["+z", "-z", "+x", "-x"] {
            if x.ends_with('x') == z.ends_with('x') {
                continue;
            }
            let turned = module(&format!(
                "\"a\": One(module: \"m\", position: (7, 3, -9), axes: (x: \"{x}\", z: \"{z}\"))"
            ));
            assert!(is_same(&plain, &standing(&turned)), "{x} {z}");
        }
    }
    let row = "\"a\": Row(module: \"m\", count: 3, step: (0, 0, 6))";
    let row = standing(&module(row));
    assert_eq!(
        placed(&row, "a[2].rest").position,
        Some(Block::new(2, 1, 12))
    );
    let site = row.declarations.site.as_ref().expect("it stands");
    assert_eq!((site.parts, site.links_proven), (15, 12));
}

#[test]
fn modules_that_are_drawn_beside_each_other_are_linked_by_their_blocks() {
    let fields = r##"
        modules: {"cell": (
            ports: {"line": "line"},
            floors: [(y: 1, rows: ["_"]), (y: 0, rows: ["line>"])],
            parts: {"line": Hopper()},
        )},
        uses: {"row": Row(module: "cell", count: 3, step: (1, 0, 0))},
        parts: {"rest": Chest(position: (3, 0, 0))},"##;
    let declared = r#"parts: {
        "a": Hopper(target: "b"), "b": Hopper(target: "c"), "c": Hopper(target: "rest"),
        "rest": Chest(),
    },"#;
    assert!(is_same(&standing(fields), &readable(read(declared))));
    // What is no port is not meant to be reached from another module.
    let hidden = fields.replace("ports: {\"line\": \"line\"},", "");
    assert_eq!(said_of(&read(&hidden)), ["site::between-modules"]);
    // Of what stands around a module no port is asked: it was drawn with the module in view.
    let around = r##"
        modules: {"cell": (
            ports: {"line": "line"},
            floors: [(y: 1, rows: ["_"]), (y: 0, rows: ["line>"])],
            parts: {"line": Hopper()},
        )},
        uses: {"one": One(module: "cell", position: (0, 0, 0))},
        floors: [(y: 0, rows: [". rest"])],
        parts: {"rest": Chest()},"##;
    assert_eq!(said_of(&read(around)), Vec::<&str>::new());
}

#[test]
fn a_chain_leads_where_the_blocks_do_or_is_an_error() {
    let row = |step: &str| {
        read(&format!(
            "modules: {{\"cell\": (
                ports: {{\"inlet\": \"line\", \"outlet\": \"line\"}},
                floors: [(y: 1, rows: [\"_\"]), (y: 0, rows: [\"line>\"])],
                parts: {{\"line\": Hopper()}},
            )}},
            uses: {{\"row\": Row(module: \"cell\", count: 3, step: {step})}},
            full: [(3, 0, 0), (5, 0, 0)],"
        ))
    };
    assert_eq!(said_of(&row("(1, 0, 0)")), Vec::<&str>::new());
    assert!(said_of(&row("(2, 0, 0)")).contains(&"layout::bad-chain"));
}

#[test]
fn what_fills_several_blocks_is_drawn_in_each_of_them() {
    let scenario = standing(
        r##"
        floors: [
            (y: 2, rows: [
                "#      #     #     #    #     #",
                "throw> wash> wash> wash- #    #",
                "run    #     #     #    pick pick",
                ".      .     .     .    pick pick",
            ]),
            (y: 1, rows: [
                ".  .  .  #     .     .",
                ".  .  #  wash> end   end",
                "#  .  .  #     store> store",
                ".  .  .  .     .     .",
            ]),
            (y: 0, rows: [
                ".  .  .  .     .     .",
                ".  .  .  .     in!   in!",
                ".  .  .  .     deep  deep<",
                ".  .  .  .     .     .",
            ]),
        ],
        parts: {
            "throw": Dropper(), "run": Lever(), "wash": Stream(), "end": Mouth(), "in": Hopper(),
            "store": DoubleChest(), "deep": Container(slots: 54),
            "pick": Selector(takes: Kinds(["flax"]), sides: {"match": "-y", "rest": "-y"}),
        },"##
            .replace("in!   in!", "in!   in2!")
            .replace("\"in\": Hopper()", "\"in\": Hopper(), \"in2\": Hopper()")
            .as_str(),
    );
    let wash = placed(&scenario, "wash").path;
    let expected = [(1, 2, 1), (2, 2, 1), (3, 2, 1), (3, 1, 1)];
    assert_eq!(wash, expected.map(|(x, y, z)| Block::new(x, y, z)));
    assert_eq!(placed(&scenario, "end").path.len(), 2);
    assert_eq!(placed(&scenario, "store").along, Some(Side::PlusX));
    let deep = placed(&scenario, "deep");
    assert_eq!(
        (deep.position, deep.along),
        (Some(Block::new(5, 0, 2)), Some(Side::MinusX))
    );
    let pick = placed(&scenario, "pick");
    assert_eq!(
        (pick.position, pick.size),
        (Some(Block::new(4, 2, 2)), Some(Block::new(2, 1, 2)))
    );
    // Four blocks of water: what the path says is what a layout would have to say.
    let part = scenario.network.find("wash").expect("it is drawn");
    let stream = scenario
        .network
        .part(part)
        .stream()
        .expect("it is a stream");
    assert_eq!(
        stream.transit_ticks,
        scenario.network.rules().transit_ticks(4)
    );
}

#[test]
fn what_the_blocks_make_and_nobody_wanted_is_seen() {
    // The second lever stands beside the hopper, and locks it.
    let drawn = DRAWN
        .replace("\"_     _     .    .  .\"", "\"_     stop  .    .  .\"")
        .replace(
            "\"run\": Lever(starts_on: true)",
            "\"run\": Lever(starts_on: true), \"stop\": Lever()",
        );
    let scenario = readable(read(&drawn));
    let line = scenario.network.find("line").expect("it is drawn");
    let hopper = scenario
        .network
        .part(line)
        .hopper()
        .expect("it is a hopper");
    assert!(hopper.lock.is_some());
}

/// Every slip, what is said of it, and the word under the mark.
const SLIPS: [(&str, &str, &str); 17] = [
    (
        r#"floors: [(y: 0, rows: ["lien> box"])], parts: {"line": Hopper(), "box": Chest()},"#,
        "floor::unknown-word",
        "lien>",
    ),
    (
        r#"floors: [(y: 0, rows: ["line", "line2 ."])], parts: {"line": Hopper(), "line2": Hopper()},"#,
        "floor::ragged-rows",
        ".",
    ),
    (
        r#"floors: [(y: 0, rows: ["line .", "line2"])], parts: {"line": Hopper(), "line2": Hopper()},"#,
        "floor::ragged-rows",
        "\"",
    ),
    (
        r#"floors: [(y: 0, rows: ["line line"])], parts: {"line": Hopper()},"#,
        "floor::drawn-twice",
        "line",
    ),
    (
        r#"floors: [(y: 0, rows: ["line"])], parts: {"line": Hopper(position: (3, 0, 0))},"#,
        "floor::drawn-twice",
        "(3, 0, 0)",
    ),
    (
        r#"floors: [(y: 0, rows: ["c c c"])], parts: {"c": DoubleChest()},"#,
        "floor::drawn-twice",
        "c",
    ),
    (
        r#"floors: [(y: 0, rows: ["."])], parts: {"line": Hopper()},"#,
        "floor::never-drawn",
        "\"line\"",
    ),
    (
        r#"floors: [(y: 0, rows: ["line"]), (y: 0, rows: ["."])], parts: {"line": Hopper()},"#,
        "floor::same-height",
        "0",
    ),
    (
        r#"floors: [(y: 0, rows: ["line+"])], parts: {"line": Hopper()},"#,
        "floor::bad-sign",
        "line+",
    ),
    (
        r#"floors: [(y: 1, rows: ["eye"])], parts: {"eye": Comparator()},"#,
        "floor::bad-sign",
        "eye",
    ),
    (
        r#"floors: [(y: 1, rows: ["c>"])], parts: {"c": Chest()},"#,
        "floor::bad-sign",
        "c>",
    ),
    (
        r#"floors: [(y: 1, rows: ["c"])], parts: {"c": DoubleChest()},"#,
        "floor::bad-shape",
        "c",
    ),
    (
        r#"floors: [(y: 1, rows: ["c . c"])], parts: {"c": DoubleChest()},"#,
        "floor::bad-shape",
        "c",
    ),
    (
        r#"floors: [(y: 1, rows: ["w> w> . w>"])], parts: {"w": Stream()},"#,
        "floor::bad-shape",
        "w>",
    ),
    (
        r#"floors: [(y: 1, rows: ["t t", "t ."])], parts: {"t": Clock(period: "20t", high: "4t")},"#,
        "floor::bad-shape",
        "t",
    ),
    (
        r#"floors: [(y: 1, rows: ["line"])], parts: {"line": Hopper(lock: "run")}, uses: {}, signals: {"run": Lever(position: (0, 0, 0))},"#,
        "floor::link-declared",
        "\"run\"",
    ),
    (
        r#"floors: [(y: 1, rows: ["line w"])], parts: {"line": Hopper(), "w": Wire(inputs: [])},"#,
        "floor::unknown-word",
        "w",
    ),
];

#[test]
fn a_slip_is_reported_at_its_very_word() {
    for (fields, id, word) in SLIPS {
        let loaded = read(fields);
        let said = render(&loaded.diagnostics, &loaded.sources, false);
        let found = loaded.diagnostics.iter().find(|one| one.id == id);
        let found = found.unwrap_or_else(|| panic!("{fields}: {said}"));
        let span = found.primary().expect("it has a place");
        let marked = loaded.sources.text(span);
        assert_eq!(marked, word, "{said}");
        assert!(loaded.scenario.is_none(), "{said}");
    }
}

#[test]
fn a_word_in_a_row_with_escapes_is_reported_at_its_row() {
    let loaded = read(r#"floors: [(y: 0, rows: ["\u{6c}ine nil"])], parts: {"line": Hopper()},"#);
    assert_eq!(ids_of(&loaded), ["floor::unknown-word"]);
    let span = loaded.diagnostics[0].primary().expect("it has a place");
    let marked = loaded.sources.text(span);
    assert_eq!(marked, r#""\u{6c}ine nil""#);
}

#[test]
fn a_part_whose_condition_does_not_hold_leaves_its_block_open() {
    let fields = |flag: &str| {
        format!(
            "parameters: {{\"low\": {flag}}},
            floors: [(y: 2, rows: [\"_\"]), (y: 1, rows: [\"line\"]), (y: 0, rows: [\"store\"])],
            parts: {{\"line\": Hopper(), \"store\": Chest(when: \"$low\")}},"
        )
    };
    let hopper = |flag: &str| {
        let scenario = readable(read(&fields(flag)));
        let line = scenario.network.find("line").expect("it is drawn");
        scenario
            .network
            .part(line)
            .hopper()
            .expect("it is a hopper")
            .target
    };
    assert!(hopper("true").is_some());
    assert!(hopper("false").is_none());
}

#[test]
fn a_stream_and_a_wire_take_length_and_losses_from_their_paths() {
    let fields = |stream: &str, inputs: &str| {
        format!(
            "parts: {{
                \"throw\": Dropper(out: \"wash\", position: (0, 0, 0)),
                \"wash\": Stream({stream}mouth: \"end\", path: [(1, 0, 0), (3, 0, 0)]),
                \"end\": Mouth(position: (4, 0, 0)),
                \"line\": Hopper(lock: \"wire\", position: (20, 1, 0)),
            }},
            signals: {{
                \"run\": Lever(position: (20, 1, 4)),
                \"wire\": Wire(inputs: [{inputs}], path: [(20, 1, 1), (20, 1, 3)]),
            }},
            full: [(1, 0, 1), (2, 0, 1), (3, 0, 1), (1, 0, -1), (2, 0, -1), (3, 0, -1),
                (20, 0, 1), (20, 0, 2), (20, 0, 3), (20, 0, 4)],
            caps: [(20, 2, 0)],"
        )
    };
    let scenario = standing(&fields("", "\"run\""));
    let is = |one: &str| is_same(&scenario, &readable(read(one)));
    assert!(is(&fields("blocks: 3, ", "Loss(\"run\", 2)")));
    assert!(!is(&fields("", "Loss(\"run\", 1)")));
    assert_eq!(
        said_of(&read(&fields("", "Loss(\"run\", 1)"))),
        ["site::loss"]
    );
    assert_eq!(
        said_of(&read(&fields("blocks: 4, ", "\"run\""))),
        ["layout::length-differs"]
    );
    assert_eq!(
        said_of(&read(&fields("transit: \"1t\", ", "\"run\""))),
        ["layout::length-differs"]
    );
}

#[test]
fn a_drawn_part_that_lacks_what_it_needs_is_a_problem_with_a_place() {
    let loose = |floors: &str, parts: &str| {
        let loaded = read(&format!("floors: [{floors}], parts: {{{parts}}},"));
        let said = said_of(&loaded);
        let help = loaded
            .diagnostics
            .iter()
            .find(|one| one.id == "site::loose-end");
        (
            said,
            help.and_then(|one| one.help.clone()).unwrap_or_default(),
        )
    };
    let chest = "\"c\": Chest(), \"eye\": Comparator()";
    let (said, help) = loose("(y: 1, rows: [\"c eye<\"]), (y: 0, rows: [\". #\"])", chest);
    assert_eq!(said, ["site::loose-end"]);
    assert!(help.ends_with("Here that is (2, 1, 0)."), "{help}");
    let (said, _) = loose("(y: 1, rows: [\"c eye>\"]), (y: 0, rows: [\". #\"])", chest);
    assert_eq!(said, Vec::<&str>::new());
    for (floors, parts) in [
        ("(y: 0, rows: [\"shut> #\"])", "\"shut\": Inverter()"),
        (
            "(y: 1, rows: [\"late>\"]), (y: 0, rows: [\"#\"])",
            "\"late\": Repeater()",
        ),
        ("(y: 0, rows: [\"see> .\"])", "\"see\": Observer()"),
        (
            "(y: 1, rows: [\"hold\"])",
            "\"hold\": Hold(hold: \"9t\", sides: {\"in\": \"+x\"})",
        ),
    ] {
        assert_eq!(loose(floors, parts).0, ["site::loose-end"], "{floors}");
    }
    // A hopper that hands on to open air, and an inverter that hears itself through the block above it.
    let open = "(y: 1, rows: [\"_ .\"]), (y: 0, rows: [\"h> .\"])";
    assert_eq!(loose(open, "\"h\": Hopper()").0, ["site::loose-end"]);
    let itself = "(y: 2, rows: [\". .\"]), (y: 1, rows: [\"# ~\"]), (y: 0, rows: [\"shut> #\"])";
    assert_eq!(
        loose(itself, "\"shut\": Inverter()").0,
        ["site::feeds-unasked"]
    );
    // A stream that ends nowhere, and a hopper that nothing closes.
    let stream = "(y: 1, rows: [\"# #\", \"w> w\", \"# #\"])";
    assert!(
        loose(stream, "\"w\": Stream()")
            .0
            .contains(&"site::loose-end")
    );
    assert_eq!(
        loose(
            "(y: 1, rows: [\"h\"]), (y: 0, rows: [\"#\"])",
            "\"h\": Hopper()"
        )
        .0,
        ["site::open-top"]
    );
}

#[test]
fn a_block_that_is_no_part_is_reported_at_its_word() {
    let loaded = read("floors: [(y: 3, rows: [\"~ # #\", \". ~ .\"])],");
    let said = said_of(&loaded);
    assert_eq!(said, ["site::support", "site::support"]);
    for one in &loaded.diagnostics {
        let span = one.primary().expect("it has a place");
        assert_eq!(loaded.sources.text(span), "~");
    }
}

#[test]
fn what_a_flat_layout_leaves_undrawn_declares_its_links() {
    // The first part is one that a repeater could listen to: it must not be taken for what is not said.
    let fields = |input: &str| {
        format!(
            "flat: true, floors: [(y: 1, rows: [\"run\"]), (y: 0, rows: [\"#\"])],
            parts: {{\"run\": Lever(), \"late\": Repeater({input})}},"
        )
    };
    assert_eq!(said_of(&read(&fields(""))), ["text::missing-field"]);
    assert_eq!(
        said_of(&read(&fields("input: \"run\""))),
        Vec::<&str>::new()
    );
}
