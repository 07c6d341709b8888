//! Scenarios that are written with their floors drawn: what is read back is the same network, and what no drawing
//! can say is refused.

use std::path::Path;

use hallwright_core::part::Part;
use hallwright_scenario::{LoadOptions, Loaded, Scenario, load, render};
use hallwright_site::network::{Outline, same_as_matched};
use hallwright_written::{Undrawable, flat, floors};

use crate::{beside, ids_of, load_text, readable};

fn read(fields: &str) -> Loaded {
    let text = format!(
        "(\ntitle: \"Drawn\",\nrun_for: \"10s\",\ngoods: {{\"flax\": 64, \"box\": Box}},\n{fields}\n)\n"
    );
    load_text(&text, &LoadOptions::default())
}

/// One that stands as it says; that nothing ever comes is no matter here.
fn standing(loaded: Loaded) -> Scenario {
    let said = render(&loaded.diagnostics, &loaded.sources, false);
    let is_smell = |id: &&str| id.starts_with("smell::");
    assert!(ids_of(&loaded).iter().all(is_smell), "{said}");
    readable(loaded)
}

/// Of each part of the first network that is no wire the number of the one of its name in the second.
fn by_name(one: &Outline, other: &Outline) -> Vec<usize> {
    let find = |name: &str| {
        let mut members = other.members.iter();
        members.position(|member| member.name == name)
    };
    let found = one.members.iter().map(|member| find(&member.name));
    found.map(|found| found.expect("it is there")).collect()
}

/// The same drawn and read again: the same network, in which every part has its own name.
fn drawn_again(scenario: &Scenario) -> Scenario {
    let text = floors(scenario).unwrap_or_else(|problem| panic!("{problem}"));
    let again = standing(load_text(&text, &LoadOptions::default()));
    let (one, other) = (Outline::of(&scenario.network), Outline::of(&again.network));
    let matched = by_name(&one, &other);
    assert!(same_as_matched(&one, &other, &matched), "{text}");
    let report = |scenario: &Scenario| {
        let site = scenario.declarations.site.clone().expect("it stands");
        (site.links_proven, site.at_their_word, site.problems.clone())
    };
    assert_eq!(report(&again), report(scenario), "{text}");
    assert!(text.contains("floors: ["), "{text}");
    again
}

/// A drawn scenario; the same with positions and declared links; drawn once more.
fn there_and_back(fields: &str) -> Scenario {
    let drawn = standing(read(fields));
    let text = flat(&drawn);
    let declared = standing(load_text(&text, &LoadOptions::default()));
    assert_eq!(flat(&declared), text);
    let parts = |scenario: &Scenario| -> Vec<(String, Part)> {
        let network = &scenario.network;
        let parts = network.parts();
        parts
            .map(|(id, part)| (network.name(id).to_owned(), part.clone()))
            .collect()
    };
    assert_eq!(parts(&declared), parts(&drawn));
    let again = drawn_again(&declared);
    // The order of the parts is settled now, and the first block is at (0, 0, 0).
    let text = floors(&again).expect("it is drawn");
    assert_eq!(floors(&drawn_again(&again)).as_ref(), Ok(&text));
    again
}

/// A lever, wires, an inverter, an observer, a comparator, a repeater and a box of two inputs, each with a hopper
/// that it locks.
const SIGNALS: &str = r##"
    floors: [
        (y: 5, rows: [
            ". . . . . _",
            ". . . . . .",
            ". _ . . . .",
            ". . . . . .",
            ". . . . . .",
            ". _ . . . .",
            ". . . . . .",
            ". . . _ . .",
        ]),
        (y: 4, rows: [
            "run ~      ~     #    not< line",
            ".   watch^ .     .    .    .",
            ".   pulse  .     .    .    .",
            ".   .      .     .    .    .",
            "one both   other .    .    .",
            ".   gate   .     .    .    .",
            ".   .      .     .    .    .",
            "box eye>   late> last .    .",
        ]),
        (y: 3, rows: [
            "# #    # .    . bin",
            ". .    . .    . .",
            ". bin2 . .    . .",
            ". .    . .    . .",
            "# .    # .    . .",
            ". bin3 . .    . .",
            ". .    . .    . .",
            ". #    # bin4 . .",
        ]),
    ],
    parts: {
        "line": Hopper(holds: ["flax"]), "pulse": Hopper(), "gate": Hopper(), "last": Hopper(),
        "bin": Barrel(), "bin2": Chest(), "bin3": Chest(apart: true), "bin4": Container(slots: 27),
        "box": Chest(holds: [(slot: 4, kind: "flax", count: 9)]),
    },
    signals: {
        "run": Lever(starts_on: true), "not": Inverter(), "watch": Observer(),
        "one": Lever(), "other": Button(hold: "20t"),
        "both": AllOf(sides: {"in 1": "-x", "in 2": "+x", "out": "+z"}),
        "eye": Comparator(mode: Subtract), "late": Repeater(delay: "6t"),
    },"##;

#[test]
fn signals_are_carried_by_the_blocks_that_are_drawn() {
    let scenario = there_and_back(SIGNALS);
    let site = scenario.declarations.site.as_ref().expect("it stands");
    assert_eq!((site.stand, site.at_their_word), (site.parts, 1));
    // Goods: four hoppers into what is below. Signals: a lock each, the inverter, the observer, two inputs, the
    // reading and the repeater.
    assert_eq!(site.links_proven, 4 + 4 + 6);
}

/// A shuttle between two docks, a stream that falls into its mouth, a bench, and a double chest that lies along -x.
const GOODS: &str = r##"
    floors: [
        (y: 3, rows: [
            ". . _ . . . . .",
            ". . . . . . . .",
            ". . . # # # #      .",
            ". . # w> w> w> w #",
            ". . . # # # #      .",
        ]),
        (y: 2, rows: [
            ".   .    load .    .    .    . .",
            ".   .    .    .    .    .    . .",
            ".   .    .    .    .    .    # .",
            ".   .    .    .    .    #    end #",
            ".   .    .    .    .    .    # .",
        ]),
        (y: 1, rows: [
            "run cart cart cart cart cart .   .",
            ".   .    .    .    .    .    .   .",
            ".   .    .    .    .    .    .   .",
            ".   .    .    .    .    .    in  .",
            ".   .    .    .    .    .    .   .",
            "fire throw> stand land .  .   .   .",
        ]),
        (y: 0, rows: [
            "# . . .    # out<  .     .",
            ". . . .    . .     .     .",
            ". . . .    . .     .     .",
            ". . . .    . store store< .",
            ". . . .    . .     .     .",
            "# . # take< . .    .     .",
        ]),
    ],
    parts: {
        "load": Hopper(), "out": Hopper(), "in": Hopper(), "take": Hopper(),
        "loads": Dock(), "unloads": Dock(),
        "cart": Shuttle(slots: 5, stops: [
            (dock: "loads", travel: "20t", dwell: "40t"), (dock: "unloads", travel: "20t", dwell: "40t"),
        ], sides: {
            "loads": (at: (0, 0, 0), side: "+y"), "unloads": (at: (4, 0, 0), side: "-y"),
            "release 1": (at: (0, 0, 0), side: "-x"),
        }),
        "w": Stream(), "end": Mouth(),
        "throw": Dispenser(), "stand": Bench(lift: Signal("run"), after: "8t"), "land": Mouth(),
        "store": DoubleChest(holds: [(slot: 0, kind: "flax", count: 5)]),
    },
    signals: {"run": Lever(), "fire": Button(hold: "20t")},"##;

#[test]
fn goods_go_where_the_blocks_that_are_drawn_lead() {
    let scenario = there_and_back(GOODS);
    let network = &scenario.network;
    let part = |name: &str| network.part(network.find(name).expect("it is there"));
    let Part::Shuttle(cart) = part("cart") else {
        panic!("it is a shuttle");
    };
    assert_eq!(network.name(cart.stops[1].dock), "unloads");
    assert_eq!(cart.stops[0].release, network.find("run"));
    assert_eq!(cart.stops[1].release, None);
    let in_hopper = part("in").hopper().expect("it is a hopper");
    assert_eq!(in_hopper.target, network.find("store"));
}

#[test]
fn the_slices_of_a_scenario_that_stands_are_drawn_and_read_back() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/bulk-slice.ron");
    for variant in ["gate watched", "one level lower"] {
        let options = LoadOptions {
            variant: Some(variant.to_owned()),
            ..LoadOptions::default()
        };
        let scenario = standing(load(&path, &options));
        let again = drawn_again(&scenario);
        assert_eq!(
            again.timeline.entries().len(),
            scenario.timeline.entries().len()
        );
        assert_eq!(again.run_ticks, scenario.run_ticks);
        assert_eq!(
            again.declarations.goals.len(),
            scenario.declarations.goals.len()
        );
    }
    drawn_again(&readable(load(
        &beside("valid/positions.ron"),
        &LoadOptions::default(),
    )));
}

/// A hopper above a double chest whose name is no word, locked by a lever through two blocks of wire; and far from
/// it what stands nowhere.
const HALF: &str = r#"
    parts: {
        "line": Hopper(target: "oak store", lock: "lock", position: (5, 11, 7)),
        "oak store": DoubleChest(position: (5, 10, 7), along: "-x", holds: ["flax"]),
        "far": Hopper(target: "bin", lock: "far wire"),
        "bin": Chest(holds: ["flax"]),
    },
    signals: {
        "run": Lever(position: (8, 11, 7)),
        "lock": Wire(inputs: ["run"], path: [(7, 11, 7), (6, 11, 7)]),
        "there": Lever(),
        "far wire": Wire(inputs: ["there"]),
    },
    full: [(6, 10, 7), (7, 10, 7), (8, 10, 7)],
    caps: [(5, 12, 7)],
    lamps: {"far": (signal: "far wire", watches: "bin"), "near": (signal: "run", watches: "oak store")},"#;

#[test]
fn floors_are_cut_to_what_stands_and_their_columns_are_aligned() {
    let text = floors(&standing(read(HALF))).expect("it can be drawn");
    let drawn = r##"    floors: [
        (y: 2, rows: [
            ". _",
        ]),
        (y: 1, rows: [
            ". line ~ ~ run",
        ]),
        (y: 0, rows: [
            ". . # # #",
        ]),
    ],
"##;
    assert!(text.contains(drawn), "{text}");
    for line in [
        "// The block (0, 0, 0) of the floors was (4, 10, 7) in the layout from which this was written.\n",
        "        \"line\": Hopper(),\n",
        "        \"run\": Lever(starts_on: false),\n",
        "\"oak store\": DoubleChest(holds: [(slot: 0, kind: \"flax\", count: 1)], position: (1, 0, 0), along: \"-x\"),",
        "        \"far\": Hopper(target: \"bin\", lock: \"far wire\"),\n",
        "        \"far wire\": Wire(inputs: [\"there\"]),\n",
    ] {
        assert!(text.contains(line), "{line}{text}");
    }
    assert!(
        !text.contains("\"lock\""),
        "a drawn wire has no name: {text}"
    );
    assert!(!text.contains("full: "), "{text}");
    let rows = floors(&standing(read(SIGNALS))).expect("it can be drawn");
    let row = r#""run ~      ~     #    not< line","#;
    assert!(rows.contains(row), "{rows}");
}

#[test]
fn what_stands_nowhere_is_declared_as_ever() {
    let again = drawn_again(&standing(read(HALF)));
    let lamps: Vec<&str> = again
        .declarations
        .lamps
        .iter()
        .map(|lamp| again.network.name(lamp.signal))
        .collect();
    assert_eq!(lamps, ["far wire", "run"]);
}

/// Why these fields cannot be drawn.
fn refused(fields: &str) -> Undrawable {
    floors(&readable(read(fields))).expect_err("it cannot be drawn")
}

#[test]
fn nothing_that_stands_nowhere_or_does_not_make_the_network_is_drawn() {
    let nothing = refused(r#"parts: {"bin": Chest(holds: ["flax"])},"#);
    assert_eq!(nothing, Undrawable::NothingStands);
    let apart = HALF.replace("position: (5, 10, 7), along", "position: (5, 10, 9), along");
    assert_eq!(
        refused(&apart).to_string(),
        "the blocks do not make the network: `line` at (5, 11, 7) does not hand on to `oak store` at (5, 10, 9) \
         (site::target-apart); mend what a run's site warnings say first"
    );
    let worse = apart.replace("caps: [(5, 12, 7)],", "");
    let said = refused(&worse).to_string();
    assert!(
        said.contains("network: 2 problems, the first: `line` at"),
        "{said}"
    );
}

/// A part of `HALF` changed, and what cannot be drawn then.
const LINKS: [(&str, &str, &str); 7] = [
    (
        r#""far": Hopper(target: "bin""#,
        r#""far": Hopper(target: "oak store""#,
        "`oak store` stands and `far` stands nowhere, but they are linked, which no block shows: say where `far` \
         stands, or leave `oak store` unplaced too",
    ),
    (
        r#""far": Hopper(target: "bin", lock: "far wire")"#,
        r#""far": Hopper(target: "bin", lock: "run")"#,
        "`run` stands and `far` stands nowhere, but",
    ),
    (
        r#"Wire(inputs: ["run"]"#,
        r#"Wire(inputs: ["run", "there"]"#,
        "`line` stands and `there` stands nowhere, but",
    ),
    (
        r#""lock": Wire(inputs: ["run"], path: [(7, 11, 7), (6, 11, 7)])"#,
        r#""lock": Wire(inputs: ["run"])"#,
        "`line` hears `run` through the wire `lock`, which stands nowhere, and no blocks carry that signal there: \
         say the `path` of `lock`",
    ),
    (
        r#""far wire": Wire(inputs: ["there"])"#,
        r#""far wire": Wire(inputs: ["there"], path: [(20, 11, 7)])"#,
        "`far` stands nowhere and hears the wire `far wire`, which would be drawn and have no name: say where `far` \
         stands, or give it a wire of its own",
    ),
    (
        r#""near": (signal: "run""#,
        r#""near": (signal: "lock""#,
        "the lamp `near` names the wire `lock`, which would be drawn and have no name: name a part that gives or \
         hears its signal instead",
    ),
    (
        r#"lamps: {"#,
        r#"regions: {"all": ["line", "lock"]}, lamps: {"#,
        "the region `all` names the wire `lock`, which",
    ),
];

#[test]
fn links_that_no_block_shows_and_names_that_would_be_lost_are_refused() {
    for (there, changed, said) in LINKS {
        assert!(HALF.contains(there), "{there}");
        let full = "full: [(20, 10, 7), (6, 10, 7)";
        let fields = HALF
            .replace("full: [(6, 10, 7)", full)
            .replace(there, changed);
        let problem = refused(&fields).to_string();
        assert!(problem.starts_with(said), "{changed}: {problem}");
    }
}

#[test]
fn a_wire_that_stands_nowhere_is_left_out_where_the_blocks_carry_its_signal() {
    let beside = HALF
        .replace("position: (8, 11, 7)", "position: (6, 11, 7)")
        .replace(", path: [(7, 11, 7), (6, 11, 7)]", "");
    let again = drawn_again(&standing(read(&beside)));
    assert_eq!(again.network.find("lock"), None);
}

#[test]
fn names_that_are_no_words_are_refused_of_parts_that_hear_a_drawn_wire() {
    let renamed = |name: &str| {
        let fields = HALF.replace("\"line\"", &format!("\"{name}\""));
        refused(&fields).to_string()
    };
    let help = "nor can it keep its links, for the wire `lock` that it hears would be drawn and have no name: mend \
                one of the two";
    for (name, why) in [
        ("the line", "its name has a blank in it"),
        ("line-", "the last letter of its name is a sign"),
        ("#", "its name is the word for a block that is no part"),
    ] {
        let said = format!("`{name}` cannot be drawn, for {why}; {help}");
        assert_eq!(renamed(name), said);
    }
    let turned = "target: \"oak store\", faces: \"+z\", lock";
    let taken = HALF
        .replace("\"far\"", "\"line!\"")
        .replace("target: \"oak store\", lock", turned)
        .replace("position: (5, 10, 7)", "position: (5, 11, 8)");
    assert_eq!(
        refused(&taken).to_string(),
        format!("`line` cannot be drawn, for `line!` is the name of another part; {help}")
    );
}

#[test]
fn what_has_no_word_keeps_its_position_and_its_links_if_it_hears_no_wire() {
    let named = HALF.replace("\"run\"", "\"the lever\"");
    let text = floors(&drawn_again(&standing(read(&named)))).expect("it is drawn");
    let lever = "\"the lever\": Lever(starts_on: false, position: (4, 1, 0)),";
    assert!(text.contains(lever), "{text}");
    let beside = HALF
        .replace("position: (8, 11, 7)", "position: (6, 11, 7)")
        .replace(", path: [(7, 11, 7), (6, 11, 7)]", "")
        .replace("lock: \"lock\"", "lock: \"run\"")
        .replace("\"line\"", "\"the line\"");
    let text = floors(&drawn_again(&standing(read(&beside)))).expect("it is drawn");
    let line = "\"the line\": Hopper(target: \"oak store\", lock: \"run\", position: (1, 1, 0)),";
    assert!(text.contains(line), "{text}");
    assert!(text.contains("\". . run\""), "{text}");
}

#[test]
fn what_lacks_something_on_purpose_is_declared_where_it_stands() {
    let fields = r#"
        parts: {
            "bin": Chest(holds: ["flax"], position: (0, 1, 0)),
            "still": Dropper(target: "bin", position: (-1, 1, 0), faces: "+x"),
        },
        signals: {
            "run": Lever(position: (3, 1, 0)), "dead": Wire(inputs: []),
            "both": AllOf(inputs: ["run", "dead"], position: (4, 1, 0), sides: {"in 1": "-x", "out": "+x"}),
        },
        full: [(3, 0, 0)],"#;
    let text = floors(&drawn_again(&standing(read(fields)))).expect("it is drawn");
    for line in [
        "\"still\": Dropper(target: \"bin\", position: (0, 1, 0), faces: \"+x\"),",
        "\"both\": AllOf(inputs: [\"run\", \"dead\"], position: (5, 1, 0), sides: {",
        "\"dead\": Wire(inputs: []),",
    ] {
        assert!(text.contains(line), "{line}{text}");
    }
}

#[test]
fn parts_worlds_apart_are_refused() {
    let far = r#"parts: {
        "bin": Chest(holds: ["flax"], position: (0, 1, 0)), "far": Chest(holds: ["flax"], position: (2000000, 1, 2)),
    },"#;
    assert_eq!(
        refused(far).to_string(),
        "the floors would have more than 4000000 words, for the parts stand far apart: move them together"
    );
}
