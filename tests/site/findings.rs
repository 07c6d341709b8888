//! Every rule: what breaks it, and what does not.

use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal, Stream};
use hallwright_core::rules::Rules;
use hallwright_declared::placement::{Placed, Placement, Supports};
use hallwright_declared::space::{Block, Side};
use hallwright_site::place::{Rule, least_ticks, place};

use crate::drawing::pieces;
use crate::standing::{findings, line, network_of, placement_of, site};

const SOUND: [&str; 0] = [];

/// A network that stands as it is drawn has nothing wrong with it.
fn sound(drawing: &str) {
    assert_eq!(findings(drawing, drawing), SOUND, "{drawing}");
}

#[test]
fn what_stands_as_declared_is_sound() {
    sound("store_1 cap --- hopper_1> hopper_2, --- . barrel_2");
    sound("cap --- lever_1 wire hopper_1 --- # #");
    sound("dropper_1> bench_1 mouth_1 --- . . hopper_1");
    sound("double_1 double_1 --- hopper_1 hopper_2");
    sound(". . . . . cap --- lever_1 wire wire wire repeater_1> hopper_1 --- # # # # #");
}

#[test]
fn overlap() {
    let (network, site) = site("store_1 store_2", "store_1 .");
    assert_eq!(site.findings, []);
    assert_eq!(site.counts.stand, 1);
    let mut placement = Placement::of_parts(2);
    placement.parts[0] = Some(Box::new(Placed::at(Block::new(1, 2, 3))));
    placement.parts[1] = Some(Box::new(Placed::at(Block::new(1, 2, 3))));
    let site = place(&network, &placement);
    assert_eq!(site.findings.len(), 1);
    let finding = &site.findings[0];
    assert_eq!(line(&network, finding), "overlap store_2 store_1");
    assert_eq!(finding.at, Some(Block::new(1, 2, 3)));
    let words = "`store_2` at (1, 2, 3) and `store_1` at (1, 2, 3) fill one block";
    assert_eq!(finding.words(&network), words);
    placement.parts[1] = None;
    placement.full.push(Block::new(1, 2, 3));
    let findings = place(&network, &placement).findings;
    assert_eq!(findings[0].rule, Rule::Overlap);
    let words = "a full block, wire or cap at (1, 2, 3) and `store_1` at (1, 2, 3) fill one block";
    assert_eq!(findings[0].words(&network), words);
}

#[test]
fn the_second_half_of_a_double_chest_and_an_open_bench_are_filled_too() {
    let drawing = "double_1 double_1 . bench_1 mouth_1 . store_1";
    let network = network_of(pieces(drawing));
    let sound = placement_of(&network, &pieces(drawing));
    assert_eq!(place(&network, &sound).findings, []);
    let store = network.find("store_1").expect("it is drawn");
    for (x, other) in [(1, "double_1"), (3, "bench_1"), (4, "mouth_1")] {
        let mut placement = sound.clone();
        placement.parts[store.index()] = Some(Box::new(Placed::at(Block::new(x, 0, 0))));
        let site = place(&network, &placement);
        let lines: Vec<String> = site.findings.iter().map(|f| line(&network, f)).collect();
        assert!(
            lines.contains(&format!("overlap store_1 {other}")),
            "{lines:?}"
        );
    }
}

#[test]
fn a_mouth_in_the_last_block_of_a_stream_is_its_own_or_too_much() {
    // The stream leads to the mouth beside it; another mouth is in its last block.
    let walls = "# # # #";
    let drawing = format!("{walls} \n # stream_1 stream_1 mouth_1 \n {walls}");
    let network = network_of(pieces(&format!("{drawing} \n mouth_2")));
    let mut placement = placement_of(&network, &pieces(&drawing));
    let other = network.find("mouth_2").expect("it is drawn");
    placement.parts[other.index()] = Some(Box::new(Placed::at(Block::new(2, 0, 1))));
    let site = place(&network, &placement);
    let lines: Vec<String> = site.findings.iter().map(|f| line(&network, f)).collect();
    assert_eq!(lines, ["overlap stream_1 mouth_2"]);
}

#[test]
fn the_blocks_of_a_mouth_are_side_by_side() {
    let declared = "mouth_1 mouth_1 --- hopper_1 hopper_2";
    assert_eq!(findings(declared, declared), SOUND);
    let apart = findings(declared, "mouth_1 . mouth_1 --- hopper_1 . hopper_2");
    assert_eq!(apart, ["mouth-apart mouth_1"]);
    let higher = findings(declared, ". mouth_1 --- mouth_1 hopper_2 --- hopper_1 .");
    assert_eq!(higher, ["mouth-apart mouth_1"]);
}

#[test]
fn where_things_can_point() {
    let drawing = "repeater_1> . comparator_1> . observer_1'";
    assert_eq!(findings(drawing, drawing), SOUND);
    assert_eq!(
        findings(drawing, "repeater_1' . comparator_1, . observer_1"),
        [
            "faces repeater_1 +y",
            "faces comparator_1 -y",
            "faces observer_1 nowhere",
        ]
    );
    let network = network_of(pieces("cap --- hopper_1"));
    let mut placement = Placement::of_parts(1);
    placement.caps.push(Block::new(0, 1, 0));
    for side in Side::ALL {
        placement.parts[0] = Some(Box::new(Placed::at(Block::default()).facing(side)));
        let rules: Vec<Rule> = place(&network, &placement)
            .findings
            .iter()
            .map(|finding| finding.rule)
            .collect();
        let expected: &[Rule] = if side == Side::PlusY {
            &[Rule::Faces]
        } else {
            &[]
        };
        assert_eq!(rules, expected, "{side}");
    }
    let network = network_of(pieces("double_1 double_1"));
    let mut placed = Placed::at(Block::default());
    placed.along = Some(Side::PlusY);
    let mut placement = Placement::of_parts(1);
    placement.parts[0] = Some(Box::new(placed));
    assert_eq!(place(&network, &placement).findings[0].rule, Rule::Faces);
}

#[test]
fn a_cap_takes_what_closes_the_hopper_and_nothing_else() {
    let network = network_of(pieces("cap --- hopper_1"));
    let mut placement = Placement::of_parts(1);
    placement.parts[0] = Some(Box::new(Placed::at(Block::default())));
    placement.caps.push(Block::new(0, 1, 0));
    assert_eq!(place(&network, &placement).findings, []);
    placement.full.push(Block::new(0, 1, 0));
    assert_eq!(
        place(&network, &placement).findings,
        [],
        "a full block closes it"
    );
    let network = network_of(pieces("store_1 --- hopper_1"));
    let mut placement = Placement::of_parts(2);
    placement.parts[0] = Some(Box::new(Placed::at(Block::new(0, 1, 0))));
    placement.parts[1] = Some(Box::new(Placed::at(Block::default())));
    placement.caps.push(Block::new(0, 1, 0));
    assert_eq!(place(&network, &placement).findings[0].rule, Rule::Overlap);
}

#[test]
fn support() {
    let network = network_of(pieces("repeater_1> wire"));
    let repeater = network.find("repeater_1").expect("it is drawn");
    let mut placement = Placement::of_parts(network.part_count());
    let at = Block::new(0, 5, 0);
    placement.parts[repeater.index()] = Some(Box::new(Placed::at(at).facing(Side::PlusX)));
    let bare = place(&network, &placement);
    assert_eq!(bare.findings.len(), 1);
    assert_eq!(line(&network, &bare.findings[0]), "support repeater_1");
    assert_eq!(bare.findings[0].wanted_at, [Block::new(0, 4, 0)]);
    placement.supports = Supports::Added;
    assert_eq!(place(&network, &placement).findings, []);
    placement.supports = Supports::Listed;
    placement.full.push(Block::new(0, 4, 0));
    assert_eq!(place(&network, &placement).findings, []);
    // Droppers, dispensers and barrels carry as well; hoppers, chests and caps do not.
    for carrier in ["dropper_9,", "dispenser_9,", "barrel_9"] {
        sound(&format!("wire --- {carrier}"));
        sound(&format!("repeater_1> --- {carrier}"));
    }
    for other in ["store_9", "chest_9", "hopper_9,"] {
        let drawing = format!("wire --- {other}");
        let name = other.trim_end_matches(',');
        assert_eq!(
            findings(&drawing, &drawing),
            [format!("support wire {name}")]
        );
    }
}

#[test]
fn levers_buttons_and_inverters_are_fastened_on_any_side_but_inverters_do_not_hang() {
    for part in ["lever_1", "button_1", "inverter_1"] {
        for drawing in [
            format!("{part}, --- #"),
            format!("{part}> #"),
            format!("# {part}<"),
        ] {
            sound(&drawing);
        }
    }
    sound("# --- lever_1'");
    sound("# --- button_1'");
    assert_eq!(
        findings("# --- inverter_1'", "# --- inverter_1'"),
        ["support inverter_1"]
    );
}

#[test]
fn target_apart() {
    let beside = "cap . --- hopper_1> store_1";
    assert_eq!(findings(beside, beside), SOUND);
    let turned = "cap . --- hopper_1, store_1";
    assert_eq!(findings(beside, turned), ["target-apart hopper_1 store_1"]);
    let above = "cap store_1 --- hopper_1> .";
    let (network, site) = site(beside, above);
    assert_eq!(
        line(&network, &site.findings[0]),
        "target-apart hopper_1 store_1"
    );
    assert_eq!(site.findings[0].wanted_at, [Block::new(1, 0, 0)]);
    assert_eq!(site.findings[0].other_at, Some(Block::new(1, 1, 0)));
}

#[test]
fn a_hopper_of_which_nobody_says_where_it_points_points_to_its_target() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let store = builder.add("store", Part::Container(Container { slots: 27 }));
    let hopper = Hopper {
        target: Some(store),
        intake: Intake::Cap,
        lock: None,
    };
    let hopper = builder.add("hopper", Part::Hopper(hopper));
    let network = builder.build().expect("a hopper may push into a store");
    let mut placement = Placement::of_parts(2);
    placement.parts[hopper.index()] = Some(Box::new(Placed::at(Block::default())));
    placement.caps.push(Block::new(0, 1, 0));
    for side in Side::ALL {
        placement.parts[store.index()] = Some(Box::new(Placed::at(Block::default().beside(side))));
        let site = place(&network, &placement);
        let rules: Vec<Rule> = site.findings.iter().map(|finding| finding.rule).collect();
        match side {
            Side::PlusY => {
                // The cap is there, and the hopper draws from what it is to push into.
                assert_eq!(
                    rules,
                    [Rule::Overlap, Rule::TargetApart, Rule::DrawsUnasked]
                );
            }
            _ => assert_eq!(rules, [], "{side}"),
        }
    }
    placement.parts[store.index()] = Some(Box::new(Placed::at(Block::new(0, 0, 2))));
    let site = place(&network, &placement);
    assert_eq!(site.findings.len(), 1);
    assert_eq!(site.findings[0].rule, Rule::TargetApart);
    assert_eq!(
        site.findings[0].wanted_at.len(),
        5,
        "below and on four sides"
    );
}

#[test]
fn above_apart() {
    let declared = "store_1 cap --- hopper_1 .";
    assert_eq!(
        findings(declared, "cap store_1 --- hopper_1 ."),
        ["above-apart hopper_1 store_1"]
    );
    assert_eq!(
        findings(declared, ". --- hopper_1 store_1"),
        ["above-apart hopper_1 store_1"]
    );
    // Either half of a double chest.
    let declared = ". double_1 double_1 --- . hopper_1 .";
    assert_eq!(
        findings(declared, "double_1 double_1 --- . hopper_1"),
        SOUND
    );
    assert_eq!(
        findings(declared, "double_1 double_1 . --- . . hopper_1"),
        ["above-apart hopper_1 double_1"]
    );
}

#[test]
fn mouth_apart() {
    let declared = "mouth_1 --- hopper_1";
    assert_eq!(
        findings(declared, ". mouth_1 --- hopper_1 ."),
        ["mouth-apart hopper_1 mouth_1"]
    );
    let bench = "bench_1 mouth_1 --- . hopper_1";
    assert_eq!(findings(bench, bench), SOUND);
    assert_eq!(
        findings(bench, "bench_1 . mouth_1 --- . . hopper_1"),
        ["mouth-apart bench_1 mouth_1"]
    );
    let walls = "# # # #";
    let stream =
        |row: &str, below: &str| format!("{walls} \n {row} \n {walls} \n --- . \n {below}");
    let beside = stream("# stream_1 stream_1 mouth_1", ". . . hopper_1");
    assert_eq!(findings(&beside, &beside), SOUND);
    let apart = stream("# stream_1 # mouth_1", ". . . hopper_1");
    assert_eq!(findings(&beside, &apart), ["mouth-apart stream_1 mouth_1"]);
}

#[test]
fn a_mouth_of_which_nobody_says_where_it_is_is_above_its_hoppers() {
    let declared = "mouth_1 mouth_1 --- hopper_1 hopper_2";
    let (_, site) = site(declared, ". . --- hopper_1 hopper_2");
    assert_eq!(site.findings, []);
    assert_eq!(site.counts.stand, 3);
    assert_eq!(site.counts.links_proven, 2);
    let blocked = findings(declared, "# . --- hopper_1 hopper_2");
    assert_eq!(blocked, ["overlap mouth_1"]);
}

#[test]
fn front_apart() {
    for declared in [
        "dropper_1> store_1",
        "dropper_1> stream_1",
        "dispenser_1> bench_1",
    ] {
        let other = declared.split_whitespace().last().unwrap_or_default();
        let name = declared.split('>').next().unwrap_or_default();
        let turned = declared.replace('>', "<");
        let expected = format!("front-apart {name} {other}");
        assert!(
            findings(declared, &turned).contains(&expected),
            "{declared}"
        );
    }
    // A dispenser throws what a dropper would hand on.
    let dispenser = findings("dropper_1> store_1", "dropper_1> store_1");
    assert_eq!(dispenser, SOUND);
}

#[test]
fn a_dispenser_hands_nothing_on() {
    let network = network_of(pieces("dropper_1> store_1"));
    let mut drawn = pieces("dropper_1> store_1");
    drawn[0].shape = hallwright_site::blocks::Shape::Dispenser;
    let placement = placement_of(&network, &drawn);
    let site = place(&network, &placement);
    let lines: Vec<String> = site.findings.iter().map(|f| line(&network, f)).collect();
    assert_eq!(lines, ["front-apart dropper_1 store_1"]);
}

fn stream_site(path: &[Block], sources: &[Block], closed: bool) -> Vec<String> {
    let mut builder = NetworkBuilder::new(Rules::default());
    let mouth = builder.add("mouth", Part::Mouth);
    let transit_ticks = 30;
    let stream = builder.add(
        "stream",
        Part::Stream(Stream {
            transit_ticks,
            mouth,
        }),
    );
    let network = builder.build().expect("a stream may lead to a mouth");
    let mut placement = Placement::of_parts(2);
    let mut placed = Placed::along_path(path.iter().copied());
    placed.sources = sources.to_vec();
    placement.parts[stream.index()] = Some(Box::new(placed));
    if let Some(last) = path.last() {
        placement.parts[mouth.index()] = Some(Box::new(Placed::at(*last)));
    }
    if closed {
        let around = path
            .iter()
            .flat_map(|block| Side::LEVEL.map(|side| block.beside(side)));
        placement.full = around.filter(|block| !path.contains(block)).collect();
        placement.full.sort();
        placement.full.dedup();
    }
    let site = place(&network, &placement);
    site.findings
        .iter()
        .map(|finding| line(&network, finding))
        .collect()
}

fn row(blocks: i32) -> Vec<Block> {
    (0..blocks).map(|x| Block::new(x, 0, 0)).collect()
}

#[test]
fn stream_path() {
    assert_eq!(stream_site(&row(5), &[], true), SOUND);
    let [a, b] = [Block::new(0, 0, 0), Block::new(0, -1, 0)];
    assert_eq!(stream_site(&[a, b], &[], true), SOUND, "straight down");
    for next in [
        Block::new(0, 1, 0),
        Block::new(2, 0, 0),
        Block::new(1, -1, 0),
        Block::new(1, 0, 1),
        a,
    ] {
        assert_eq!(
            stream_site(&[a, next], &[], true),
            ["stream-path stream"],
            "{next}"
        );
    }
    let back = [a, Block::new(1, 0, 0), a];
    assert_eq!(
        stream_site(&back, &[], true),
        ["stream-path stream"],
        "twice through one"
    );
}

#[test]
fn stream_run() {
    assert_eq!(stream_site(&row(8), &[], true), SOUND);
    assert_eq!(stream_site(&row(9), &[], true), ["stream-run stream 9"]);
    assert_eq!(stream_site(&row(12), &[], true), ["stream-run stream 12"]);
    // A new source, or a drop, begins anew.
    assert_eq!(stream_site(&row(16), &[Block::new(8, 0, 0)], true), SOUND);
    assert_eq!(
        stream_site(&row(16), &[Block::new(7, 0, 0)], true),
        ["stream-run stream 9"]
    );
    let mut dropping = row(8);
    dropping.extend((7..15).map(|x| Block::new(x, -1, 0)));
    assert_eq!(stream_site(&dropping, &[], true), SOUND);
    dropping.push(Block::new(15, -1, 0));
    assert_eq!(stream_site(&dropping, &[], true), ["stream-run stream 9"]);
}

#[test]
fn stream_open() {
    assert_eq!(stream_site(&row(1), &[], false), ["stream-open stream"; 4]);
    let drawing = "# # # \n # stream_1 mouth_1 \n . # #";
    assert_eq!(
        findings(drawing, drawing),
        SOUND,
        "its mouth is where it runs to"
    );
    let drawing = "# . # \n # stream_1 mouth_1 \n . # #";
    assert_eq!(findings(drawing, drawing), ["stream-open stream_1"]);
    // A mouth beside another block than the last, or a bench, is open.
    let drawing = "# mouth_1 # # \n # stream_1 stream_1 # \n . # #";
    let lines = findings(drawing, drawing);
    assert!(
        lines.contains(&"stream-open stream_1".to_owned()),
        "{lines:?}"
    );
}

#[test]
fn drinks() {
    let declared = "cap --- hopper_1";
    let network = network_of(pieces(
        "# # # # \n # stream_1 stream_1 # \n . # # . \n --- . \n . . hopper_1 \n",
    ));
    let stands = "# # # # \n # stream_1 stream_1 # \n . # # . \n --- . \n . hopper_1 . \n";
    let placement = placement_of(&network, &pieces(stands));
    let lines: Vec<String> = place(&network, &placement)
        .findings
        .iter()
        .map(|finding| line(&network, finding))
        .collect();
    assert!(
        lines.contains(&"drinks hopper_1 stream_1".to_owned()),
        "{lines:?}"
    );
    assert_eq!(findings(declared, declared), SOUND);
}

#[test]
fn open_top() {
    let (network, site) = site("cap --- hopper_1", ". --- hopper_1");
    assert_eq!(line(&network, &site.findings[0]), "open-top hopper_1");
    assert_eq!(site.findings[0].wanted_at, [Block::new(0, 1, 0)]);
    let help =
        "Put one of `caps` or `full` on it, or declare a mouth there. Here that is (0, 1, 0).";
    assert_eq!(site.findings[0].help(), help);
    assert_eq!(findings("cap --- hopper_1", "# --- hopper_1"), SOUND);
}

#[test]
fn chests_join() {
    let declared = "chest_1 . chest_2";
    assert_eq!(
        findings(declared, "chest_1 chest_2"),
        ["chests-join chest_1 chest_2"]
    );
    assert_eq!(
        findings(declared, "chest_1 \n chest_2"),
        ["chests-join chest_1 chest_2"]
    );
    assert_eq!(findings(declared, "chest_1 --- chest_2"), SOUND);
    assert_eq!(findings("apart_1 chest_2", "apart_1 chest_2"), SOUND);
    let three = "chest_1 . chest_2 . chest_3";
    assert_eq!(
        findings(three, "chest_1 chest_2 chest_3"),
        ["chests-join chest_1 chest_2", "chests-join chest_2 chest_3"]
    );
}

#[test]
fn draws_and_pushes_unasked() {
    let declared = "cap . --- hopper_1 store_1";
    assert_eq!(
        findings(declared, "store_1 . --- hopper_1 ."),
        ["draws-unasked hopper_1 store_1"]
    );
    assert_eq!(
        findings(declared, "cap --- hopper_1 --- store_1"),
        ["pushes-unasked hopper_1 store_1"]
    );
    let mouth = "cap . mouth_1 --- hopper_1 .";
    assert_eq!(
        findings(mouth, "mouth_1 --- hopper_1"),
        ["draws-unasked hopper_1 mouth_1"]
    );
    let both = "store_1 store_2 --- hopper_1 .";
    assert_eq!(
        findings(both, "store_2 store_1 --- hopper_1 ."),
        [
            "above-apart hopper_1 store_1",
            "draws-unasked hopper_1 store_2"
        ]
    );
    let dropper = "dropper_1> store_1 store_2";
    assert_eq!(
        findings(dropper, "dropper_1> store_2 store_1"),
        [
            "front-apart dropper_1 store_1",
            "pushes-unasked dropper_1 store_2"
        ]
    );
}

#[test]
fn signals_apart() {
    assert_eq!(
        findings("lever_1 repeater_1>", "lever_1 . repeater_1>"),
        ["signal-apart repeater_1 lever_1"]
    );
    let hopper = "cap . --- hopper_1 lever_1";
    assert_eq!(findings(hopper, hopper), SOUND);
    assert_eq!(
        findings(hopper, "cap . --- hopper_1 . lever_1"),
        ["lock-apart hopper_1 lever_1"]
    );
    assert_eq!(
        findings("dropper_1, lever_1", "dropper_1, . lever_1"),
        ["trigger-apart dropper_1 lever_1"]
    );
    assert_eq!(
        findings("store_1 comparator_1>", "store_1 . comparator_1>"),
        ["reading-apart comparator_1 store_1"]
    );
    assert_eq!(
        findings("observer_1> lever_1", "observer_1> . lever_1"),
        ["watching-apart observer_1 lever_1"]
    );
    let locked = "repeater_1v \n repeater_2>";
    assert_eq!(
        findings(locked, "repeater_1^ \n repeater_2>"),
        ["lock-apart repeater_2 repeater_1"]
    );
    // A wire that does not come all the way.
    let wired = "lever_1 wire wire repeater_1>";
    assert_eq!(findings(wired, wired), SOUND);
    assert_eq!(
        findings(wired, "lever_1 wire . repeater_1>"),
        ["signal-apart repeater_1 lever_1"]
    );
    let watched = "observer_1> wire lever_1";
    assert_eq!(findings(watched, watched), SOUND);
    assert_eq!(
        findings(watched, "observer_1< wire lever_1"),
        ["watching-apart observer_1 lever_1"]
    );
}

#[test]
fn signals_unasked() {
    let hopper = "cap . . --- hopper_1 . lever_1";
    assert_eq!(
        findings(hopper, "cap . --- hopper_1 lever_1"),
        ["locks-unasked hopper_1 lever_1"]
    );
    assert_eq!(
        findings("dropper_1, . lever_1", "dropper_1, lever_1"),
        ["fires-unasked dropper_1 lever_1"]
    );
    assert_eq!(
        findings(
            "repeater_1> . . --- . . dropper_1,",
            "repeater_1> . --- . dropper_1,"
        ),
        ["fires-unasked dropper_1 repeater_1"]
    );
    assert_eq!(
        findings("lever_1 . repeater_1>", "lever_1 repeater_1>"),
        ["feeds-unasked repeater_1 lever_1"]
    );
    assert_eq!(
        findings("store_1 . comparator_1>", "store_1 comparator_1>"),
        ["feeds-unasked comparator_1 store_1"]
    );
    assert_eq!(
        findings("observer_1> . lever_1", "observer_1> lever_1"),
        ["feeds-unasked observer_1 lever_1"]
    );
    // Two lines of wire that touch.
    let lines = "lever_1 wire repeater_1> \n . . . \n lever_2 wire repeater_2>";
    assert_eq!(findings(lines, lines), SOUND);
    assert_eq!(
        findings(
            lines,
            "lever_1 wire repeater_1> \n lever_2 wire repeater_2>"
        ),
        [
            "feeds-unasked repeater_1 lever_2",
            "feeds-unasked repeater_2 lever_1"
        ]
    );
}

#[test]
fn drowned_and_armed() {
    let declared = ". . . lever_1v \n . . . \n store_1 # comparator_1>";
    let drowned = ". lever_1v . \n store_1 # comparator_1>";
    assert_eq!(
        findings(declared, drowned),
        ["drowned comparator_1 lever_1"]
    );
    let declared = "# lever_1< . . --- . . . dropper_1,";
    assert_eq!(findings(declared, declared), SOUND);
    let armed = "# lever_1< . --- . . dropper_1,";
    assert_eq!(findings(declared, armed), ["armed dropper_1 lever_1"]);
}

#[test]
fn loss() {
    let declared = "lever_1 wire wire repeater_1>";
    assert_eq!(
        findings(declared, "lever_1 wire wire wire repeater_1>"),
        ["loss repeater_1 lever_1 1 2"]
    );
    assert_eq!(
        findings(declared, "lever_1 wire repeater_1>"),
        ["loss repeater_1 lever_1 1 0"]
    );
    let itself = "lever_1 repeater_1> . \n . . . \n . . wire";
    assert_eq!(
        findings(itself, "lever_1 wire repeater_1>"),
        SOUND,
        "nothing is lost on one block"
    );
}

/// A lever and a hopper that it locks through signal parts that stand nowhere.
fn far(between: &[Signal], apart: i32) -> Vec<String> {
    let mut builder = NetworkBuilder::new(Rules::default());
    let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
    let mut last = lever;
    for (number, signal) in between.iter().enumerate() {
        let mut signal = signal.clone();
        match &mut signal {
            Signal::Wire { inputs } => *inputs = vec![(last, 0)],
            Signal::Repeater { input, .. } | Signal::Inverter { input } => *input = last,
            other => panic!("{other:?} is not used here"),
        }
        last = builder.add(&format!("between {number}"), Part::Signal(signal));
    }
    let hopper = Hopper {
        target: None,
        intake: Intake::Cap,
        lock: Some(last),
    };
    let hopper = builder.add("hopper", Part::Hopper(hopper));
    let network = builder.build().expect("the line is sound");
    let mut placement = Placement::of_parts(network.part_count());
    placement.supports = Supports::Added;
    placement.parts[lever.index()] = Some(Box::new(Placed::at(Block::default())));
    placement.parts[hopper.index()] = Some(Box::new(Placed::at(Block::new(apart, 0, 0))));
    placement.caps.push(Block::new(apart, 1, 0));
    let site = place(&network, &placement);
    site.findings
        .iter()
        .map(|finding| line(&network, finding))
        .collect()
}

#[test]
fn too_fast() {
    let nobody = hallwright_core::id::PartId::from_index(0);
    let wire = Signal::Wire { inputs: Vec::new() };
    let repeater = |delay_ticks| Signal::Repeater {
        input: nobody,
        delay_ticks,
        lock: None,
    };
    assert_eq!(
        far(std::slice::from_ref(&wire), 18),
        SOUND,
        "a wire that is not drawn may be there"
    );
    assert_eq!(
        far(std::slice::from_ref(&wire), 19),
        ["too-fast hopper lever 19 2 0"]
    );
    assert_eq!(far(&[repeater(2)], 36), SOUND);
    assert_eq!(far(&[repeater(2)], 37), ["too-fast hopper lever 37 4 2"]);
    assert_eq!(far(&[repeater(4)], 54), SOUND, "as slow as two");
    assert_eq!(
        far(&[repeater(2), wire, Signal::Inverter { input: nobody }], 54),
        SOUND
    );
    assert_eq!(
        far(&[], 40),
        ["lock-apart hopper lever"],
        "a link without wire is made or missed"
    );
    assert_eq!(least_ticks(40), 4);
    // Up and down on the way: the longer of the two counts.
    assert_eq!(Block::default().steps_to(Block::new(3, -9, 4)), 9);
    assert_eq!(Block::default().steps_to(Block::new(-7, 9, 4)), 11);
}

#[test]
fn a_line_of_drawn_wire_that_is_too_long_is_too_fast() {
    let line = |wires: usize| format!("lever_1 {} repeater_1>", "wire ".repeat(wires));
    let lines = findings(&line(15), &line(18));
    assert_eq!(lines, ["too-fast repeater_1 lever_1 19 2 0"]);
    assert_eq!(
        findings(&line(15), &line(17)),
        ["signal-apart repeater_1 lever_1"]
    );
}

#[test]
fn what_stands_nowhere_is_neither_proven_nor_missed() {
    let declared = "store_1 cap --- hopper_1> hopper_2, --- . store_2";
    let (network, site) = site(declared, ". cap --- . hopper_2,");
    assert_eq!(site.findings, []);
    let counts = site.counts;
    let found = (
        counts.parts,
        counts.stand,
        counts.links_proven,
        counts.problems,
    );
    assert_eq!(found, (network.part_count(), 1, 0, 0));
}

#[test]
fn what_was_looked_at_is_counted() {
    let declared = "store_1 cap --- hopper_1> hopper_2, lever_1 --- . store_2 #";
    let (_, site) = site(declared, declared);
    assert_eq!(
        site.counts.to_string(),
        "Built: 5 parts, 5 stand, 4 links proven, 0 taken at their word, 0 problems"
    );
}

#[test]
fn every_rule_has_an_id_and_a_help_of_its_own() {
    let ids: std::collections::BTreeSet<&str> = Rule::ALL.iter().map(|rule| rule.id()).collect();
    assert_eq!(ids.len(), Rule::ALL.len());
    for rule in Rule::ALL {
        assert!(rule.id().starts_with("site::"));
        assert!(rule.help().ends_with('.'));
    }
}

/// What is said of the only finding, and how it is mended.
fn said(declared: &str, stands: &str) -> (String, String) {
    let (network, site) = site(declared, stands);
    let [finding] = site.findings.as_slice() else {
        panic!("{stands}: {:?}", site.findings);
    };
    let help = finding.help();
    let places = help.strip_prefix(finding.rule.help());
    let places = places.expect("it says what the rule asks first");
    (finding.words(&network), places.trim().to_owned())
}

#[test]
fn the_help_says_of_which_block_it_speaks() {
    let target = "cap . --- hopper_1> store_1";
    let (words, places) = said(target, "cap store_1 --- hopper_1> .");
    assert_eq!(
        words,
        "`hopper_1` at (0, 0, 0) does not hand on to `store_1` at (1, 1, 0)"
    );
    assert_eq!(places, "The other would have to be at (1, 0, 0).");
    let (words, places) = said("lever_1 repeater_1>", "lever_1 . repeater_1>");
    assert_eq!(
        words,
        "`lever_1` at (0, 0, 0) does not reach the input of `repeater_1` at (2, 0, 0)"
    );
    assert_eq!(places, "The signal has to come to (1, 0, 0).");
    let (_, places) = said("store_1 comparator_1>", "store_1 . comparator_1>");
    assert_eq!(places, "It reads at (1, 0, 0).");
    let (_, places) = said("observer_1> lever_1", "observer_1> . lever_1");
    assert_eq!(places, "It looks at (1, 0, 0).");
    let mouth = "mouth_1 mouth_1 --- hopper_1 hopper_2";
    let (words, places) = said(mouth, "mouth_1 . mouth_1 --- hopper_1 . hopper_2");
    assert_eq!(
        words,
        "`mouth_1` at (2, 1, 0) has a block that is not beside the others"
    );
    assert!(
        places.starts_with("Beside this block is one of (3, 1, 0)"),
        "{places}"
    );
}

#[test]
fn the_help_about_a_support_says_what_is_in_its_way() {
    let bare = said_of_lever();
    assert_eq!(
        bare.0,
        "`lever` at (0, 1, 0) has no full block to be fastened to"
    );
    assert_eq!(bare.1, "Here that is (0, 0, 0).");
    let (words, places) = said("wire --- store_9", "wire --- store_9");
    assert_eq!(
        words,
        "`store_9` at (0, 0, 0) cannot carry `wire` at (0, 1, 0)"
    );
    assert_eq!(
        places,
        "What is there now would have to move. Here that is (0, 0, 0)."
    );
    // It would hear itself, too: it is said once that it cannot hang.
    let (words, places) = said("# --- inverter_1'", "# --- inverter_1'");
    assert_eq!(
        words,
        "`inverter_1` at (0, 0, 0) hangs from above, and cannot"
    );
    assert!(
        places.starts_with("Say with `on` on which side that is. Here that is one of"),
        "{places}"
    );
}

/// Of a lever on nothing.
fn said_of_lever() -> (String, String) {
    let mut builder = NetworkBuilder::new(Rules::default());
    builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
    let network = builder.build().expect("a lever is sound");
    let mut placement = Placement::of_parts(1);
    placement.parts[0] = Some(Box::new(Placed::at(Block::new(0, 1, 0))));
    let site = place(&network, &placement);
    assert_eq!(site.findings.len(), 1);
    let help = site.findings[0].help();
    let places = help.trim_start_matches(Rule::Support.help()).trim();
    (site.findings[0].words(&network), places.to_owned())
}
