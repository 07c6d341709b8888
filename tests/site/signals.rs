//! Section 3: which signals reach whom.

use hallwright_declared::space::Side;
use hallwright_site::blocks::Use;
use hallwright_site::derive::made;
use hallwright_site::network::Ear;

use crate::drawing::{drawn, lines, open, pieces, world_of};

/// What a drawing makes, but for hoppers that are open.
fn heard(drawing: &str) -> Vec<String> {
    let mut lines = drawn(drawing);
    lines.retain(|line| !line.ends_with("is open"));
    lines
}

const NOTHING: [&str; 0] = [];

// Wire.

#[test]
fn nothing_is_heard_across_an_open_block() {
    assert_eq!(heard("hopper_1 . lever_1 --- . . #"), NOTHING);
}

#[test]
fn wire_loses_one_at_each_joint() {
    // The lever acts on the first block: nothing is lost there.
    for (wires, loss) in [(1, 0), (2, 1), (5, 4), (14, 13), (15, 14)] {
        let line = format!("lever_1 {} repeater_1>", "wire ".repeat(wires));
        assert_eq!(heard(&line), [format!("repeater_1 hears lever_1 -{loss}")]);
    }
    let too_long = format!("lever_1 {} repeater_1>", "wire ".repeat(16));
    assert_eq!(heard(&too_long), NOTHING, "from 0 on there is nothing");
}

#[test]
fn wire_joins_a_step_up_unless_the_block_above_the_lower_one_is_full() {
    for (above, reaches) in [
        (".", true),
        ("cap", true),
        ("store_1", true),
        ("#", false),
        ("barrel_1", false),
    ] {
        let up = format!(". {above} wire repeater_1> --- lever_1 wire # #");
        let down = format!("repeater_1< wire {above} . --- # # wire lever_1");
        for drawing in [up, down] {
            let expected: &[&str] = match reaches {
                true => &["repeater_1 hears lever_1 -1"],
                false => &[],
            };
            assert_eq!(heard(&drawing), expected, "{drawing}");
        }
    }
    let two_up = ". . wire repeater_1> --- . . # # --- lever_1 wire # #";
    assert_eq!(heard(two_up), NOTHING, "two steps are no joint");
}

#[test]
fn each_source_comes_with_its_own_loss_on_the_shortest_way() {
    // A ring: the lever is one joint away on one side, and five on the other.
    let ring = "lever_1 wire wire repeater_1>
                . wire wire .
                . wire wire .
                lever_2 wire wire .";
    let lines = heard(ring);
    let expected = ["repeater_1 hears lever_1 -1", "repeater_1 hears lever_2 -4"];
    assert_eq!(lines, expected);
}

#[test]
fn wire_acts_on_the_block_that_carries_it() {
    let over_dropper = "lever_1 wire --- # dropper_1,";
    assert_eq!(heard(over_dropper), ["dropper_1 trigger lever_1 -0"]);
    // The block that carries it is weak, and locks the hopper below it.
    let over_full = ". lever_1 wire --- . # # --- . . hopper_1";
    assert_eq!(heard(over_full), ["hopper_1 lock lever_1 -0"]);
}

/// A block of wire over a strong block: it joins nothing and meets nothing but what is put beside it.
fn dot(beside: [&str; 4]) -> Vec<String> {
    let [north, west, east, south] = beside;
    let drawing = format!(
        ". {north} .
         {west} wire {east}
         . {south} .
         ---
         . . .
         clock_0> # .
         . . ."
    );
    let mut drawn = pieces(&drawing);
    open(&mut drawn, "clock_0", Side::PlusX, Use::Gives);
    let world = world_of(drawn);
    let mut lines = lines(&world, &made(&world));
    lines.retain(|line| !line.ends_with("is open"));
    lines
}

#[test]
fn wire_that_joins_nothing_points_to_all_four_sides() {
    let all = dot(["hopper_1", "hopper_2", "hopper_3", "hopper_4"]);
    let locked = [1, 2, 3, 4].map(|number| format!("hopper_{number} lock clock_0 -0"));
    assert_eq!(all, locked);
}

#[test]
fn wire_with_one_joint_points_there_and_to_the_opposite_side() {
    let one = dot(["hopper_1", "wire", "hopper_3", "hopper_4"]);
    assert_eq!(one, ["hopper_3 lock clock_0 -0"]);
}

#[test]
fn wire_with_two_joints_points_only_there_and_passes_by_the_rest() {
    let corner = dot(["wire", "wire", "hopper_3", "hopper_4"]);
    assert_eq!(corner, NOTHING);
    let line = dot(["hopper_1", "wire", "wire", "hopper_4"]);
    assert_eq!(line, NOTHING);
}

#[test]
fn wire_turns_to_what_it_meets() {
    // Whatever it turns to is to the east; then it points west too, and not to the south.
    for meets in [
        "comparator_3>",
        "comparator_3<",
        "comparator_3^",
        "inverter_3,",
        "lever_3",
        "button_3",
        "repeater_3>",
        "repeater_3<",
        "observer_3>",
    ] {
        let lines = dot([".", "hopper_2", meets, "hopper_4"]);
        assert!(
            lines.contains(&"hopper_2 lock clock_0 -0".to_owned()),
            "{meets}"
        );
        assert!(
            !lines.contains(&"hopper_4 lock clock_0 -0".to_owned()),
            "{meets}"
        );
    }
    for passed in [
        "repeater_3^",
        "observer_3<",
        "observer_3v",
        "store_3",
        "barrel_3",
        "dropper_3>",
        "#",
        "cap",
        "mouth_3",
        "clock_3",
    ] {
        let lines = dot([".", "hopper_2", passed, "hopper_4"]);
        assert!(
            lines.contains(&"hopper_4 lock clock_0 -0".to_owned()),
            "{passed}"
        );
    }
}

#[test]
fn wire_turns_to_the_declared_side_of_a_box() {
    let drawing = "lever_1 wire latch_1 --- # # . ";
    let mut boxes = pieces(drawing);
    let closed = world_of(boxes.clone());
    assert_eq!(lines(&closed, &made(&closed)), NOTHING);
    open(
        &mut boxes,
        "latch_1",
        Side::MinusX,
        Use::Hears(Ear::Input(1)),
    );
    let world = world_of(boxes);
    assert_eq!(lines(&world, &made(&world)), ["latch_1 hears 1 lever_1 -0"]);
}

#[test]
fn wire_does_not_act_across_a_step_at_which_it_points() {
    // It points east, where it joins wire a step down; the hopper there is at its own height.
    let drawing = "lever_1 wire hopper_1 . --- # # wire . --- . . # .";
    assert_eq!(heard(drawing), ["hopper_1 lock lever_1 -0"]);
}

// Sources.

#[test]
fn a_repeater_and_a_comparator_act_on_the_block_in_front() {
    assert_eq!(
        heard("lever_1 repeater_1> hopper_1"),
        ["hopper_1 lock repeater_1", "repeater_1 hears lever_1"]
    );
    assert_eq!(
        heard("lever_1 comparator_1> hopper_1"),
        ["comparator_1 rear lever_1", "hopper_1 lock comparator_1"]
    );
    assert_eq!(
        heard("hopper_2 repeater_1> . \n . hopper_1 . "),
        NOTHING,
        "not on those behind and beside it"
    );
}

#[test]
fn an_observer_acts_on_the_block_at_its_back() {
    assert_eq!(
        heard("hopper_1 observer_1> hopper_2"),
        [
            "hopper_1 lock observer_1",
            "observer_1 watcheslock hopper_2"
        ]
    );
}

#[test]
fn a_lever_and_a_button_act_on_all_their_neighbours() {
    for switch in ["lever_0", "button_0"] {
        let drawing = format!(
            ". . . \n . hopper_5 . \n . . .
             ---
             . hopper_1 . \n hopper_2 {switch}v hopper_3 \n . # .
             --- . . . \n . hopper_6 . \n . . ."
        );
        let locked = [1, 2, 3, 5, 6].map(|number| format!("hopper_{number} lock {switch}"));
        // The hopper above hangs over them: it pushes nowhere, for below it is no inventory.
        assert_eq!(heard(&drawing), locked);
    }
}

#[test]
fn an_inverter_acts_on_all_its_neighbours_but_the_one_it_is_fastened_to() {
    let drawing = ". . . \n . hopper_5 . \n . . .
         ---
         . hopper_1 . \n hopper_2 inverter_0v hopper_3 \n . dropper_4, .
         --- . . . \n . hopper_6 . \n . . .";
    let locked = [1, 2, 3, 5, 6].map(|number| format!("hopper_{number} lock inverter_0"));
    assert_eq!(heard(drawing), locked);
}

#[test]
fn a_strong_block_is_what_a_source_points_at_or_is_fastened_to() {
    // A hopper beyond the full block hears it, though not itself.
    for drawing in [
        "repeater_0> # hopper_1",
        "comparator_0> # hopper_1",
        "hopper_1 # observer_0>",
        "lever_0> # hopper_1",
        "button_0> # hopper_1",
        "hopper_1 --- # --- inverter_0> #",
    ] {
        let source = [
            "repeater_0",
            "comparator_0",
            "observer_0",
            "lever_0",
            "button_0",
            "inverter_0",
        ];
        let source = source.into_iter().find(|source| drawing.contains(source));
        let lock = format!("hopper_1 lock {} -0", source.unwrap_or_default());
        assert_eq!(heard(drawing), [lock], "{drawing}");
    }
    // Other full neighbours of a lever, and those beside an inverter, are not strong.
    assert_eq!(heard("hopper_1 # lever_0 --- . . #"), NOTHING);
    assert_eq!(heard("hopper_1 # inverter_0 --- . . #"), NOTHING);
}

#[test]
fn a_strong_block_gives_its_level_to_wires_beside_above_and_below() {
    for drawing in [
        "repeater_0> # wire hopper_1",
        ". wire hopper_1 --- repeater_0> #",
        "repeater_0> # --- . wire hopper_1",
    ] {
        assert_eq!(heard(drawing), ["hopper_1 lock repeater_0 -0"], "{drawing}");
    }
}

#[test]
fn a_weak_block_gives_wires_nothing() {
    assert_eq!(heard("lever_1 wire # wire hopper_1"), NOTHING);
    assert_eq!(
        heard("lever_1 wire # hopper_1"),
        ["hopper_1 lock lever_1 -0"]
    );
}

#[test]
fn strong_and_weak_blocks_make_no_other_block_so() {
    assert_eq!(heard("repeater_0> # # hopper_1"), NOTHING);
    assert_eq!(heard("lever_1 wire # # hopper_1"), NOTHING);
}

#[test]
fn droppers_dispensers_and_barrels_are_full_and_the_rest_is_not() {
    for full in ["dropper_2,", "dispenser_2,", "barrel_2"] {
        let lines = heard(&format!("repeater_0> {full} hopper_1"));
        assert!(
            lines.contains(&"hopper_1 lock repeater_0 -0".to_owned()),
            "{full}"
        );
    }
    for other in [
        "store_2",
        "chest_2",
        "cap",
        "observer_2>",
        "comparator_2>",
        "mouth_2",
    ] {
        let lines = heard(&format!("repeater_0> {other} hopper_1"));
        assert!(
            !lines.contains(&"hopper_1 lock repeater_0 -0".to_owned()),
            "{other}"
        );
    }
}

#[test]
fn a_box_acts_on_the_block_at_its_out_side() {
    let mut boxes = pieces("clock_1 hopper_1 \n # . \n hopper_2 .");
    open(&mut boxes, "clock_1", Side::PlusX, Use::Gives);
    let one = world_of(boxes.clone());
    let is_lock = |line: &String| line.contains("lock");
    let locks = |world| -> Vec<String> {
        lines(world, &made(world))
            .into_iter()
            .filter(is_lock)
            .collect()
    };
    assert_eq!(locks(&one), ["hopper_1 lock clock_1"]);
    open(&mut boxes, "clock_1", Side::PlusZ, Use::Gives);
    let both = ["hopper_1 lock clock_1", "hopper_2 lock clock_1 -0"];
    assert_eq!(locks(&world_of(boxes)), both);
}

// Who listens.

#[test]
fn a_hopper_is_locked_by_full_neighbours_on_all_sides() {
    for drawing in [
        ". lever_0, --- . # --- . hopper_1",
        "hopper_1 . --- # lever_0<",
        "lever_0> # hopper_1",
    ] {
        assert_eq!(heard(drawing), ["hopper_1 lock lever_0 -0"], "{drawing}");
    }
}

#[test]
fn a_dropper_fires_by_what_acts_on_the_block_above_it() {
    for (drawing, source) in [
        ("repeater_0> . --- . dropper_1,", "repeater_0"),
        ("comparator_0> store_9 --- . dropper_1,", "comparator_0"),
        (". observer_0> --- dropper_1, .", "observer_0"),
        ("inverter_0, . --- # dropper_1,", "inverter_0"),
    ] {
        let trigger = format!("dropper_1 trigger {source}");
        assert_eq!(heard(drawing), [trigger], "{drawing}");
    }
    let wire = "lever_0 wire . --- # # dispenser_1,";
    assert_eq!(heard(wire), ["dispenser_1 trigger lever_0 -0"]);
    // A hopper does not care for the block above it.
    assert_eq!(heard("repeater_0> . --- . hopper_1"), NOTHING);
}

#[test]
fn levers_buttons_and_full_blocks_beside_the_block_above_only_arm_a_dropper() {
    for (drawing, source) in [
        ("# lever_0< . --- . . dropper_1,", "lever_0"),
        ("# button_0< . --- . . dropper_1,", "button_0"),
        ("repeater_0> # . --- . . dropper_1,", "repeater_0"),
        ("lever_0 wire # . --- # # . dropper_1,", "lever_0"),
    ] {
        let armed = format!("dropper_1 armed by {source}");
        assert_eq!(heard(drawing), [armed], "{drawing}");
    }
    // One that triggers it as well arms nothing: the lever is fastened to the dropper.
    assert_eq!(
        heard("lever_0, --- dropper_1,"),
        ["dropper_1 trigger lever_0"]
    );
    assert_eq!(heard("# lever_0< . --- . . hopper_1"), NOTHING);
    // One that is fastened to a full block beside the dropper fires it through that.
    assert_eq!(
        heard("lever_0 . --- # dropper_1,"),
        ["dropper_1 trigger lever_0 -0"]
    );
}

#[test]
fn an_inverter_listens_to_the_block_to_which_it_is_fastened() {
    let strong = "lever_0> # inverter_1<";
    assert_eq!(heard(strong), ["inverter_1 hears lever_0 -0"]);
    let weak = "lever_0 wire wire # inverter_1<";
    assert_eq!(heard(weak), ["inverter_1 hears lever_0 -1"]);
    // Nor to what stands beside it or acts on it.
    assert_eq!(heard("repeater_0> inverter_1, --- . #"), NOTHING);
}

#[test]
fn a_repeater_and_a_comparator_listen_at_their_backs() {
    for (part, ear) in [
        ("repeater_1>", "repeater_1 hears"),
        ("comparator_1>", "comparator_1 rear"),
    ] {
        for (behind, source) in [
            ("lever_0", "lever_0"),
            ("repeater_0>", "repeater_0"),
            ("comparator_0>", "comparator_0"),
            ("observer_0<", "observer_0"),
            ("repeater_0> #", "repeater_0 -0"),
            ("lever_0 wire wire", "lever_0 -1"),
            ("lever_0 wire #", "lever_0 -0"),
        ] {
            let drawing = format!("{behind} {part}");
            assert_eq!(heard(&drawing), [format!("{ear} {source}")], "{drawing}");
        }
        // Wire that runs past its back turns to it. A source that points elsewhere is not heard.
        let passing = format!("lever_0 . \n wire . \n wire {part} \n wire .");
        assert_eq!(heard(&passing), [format!("{ear} lever_0 -1")]);
        assert_eq!(heard(&format!("repeater_0< {part}")), NOTHING);
    }
}

#[test]
fn nothing_that_acts_on_a_repeater_elsewhere_is_heard() {
    let above = "lever_0 --- repeater_1>";
    let beside = "lever_0 \n repeater_1>";
    let before = "repeater_1> lever_0";
    for drawing in [above, beside, before] {
        assert_eq!(heard(drawing), NOTHING, "{drawing}");
    }
}

#[test]
fn a_comparator_listens_at_its_sides_to_wires_repeaters_and_comparators() {
    for (beside, source) in [
        ("repeater_0v", "repeater_0"),
        ("comparator_0v", "comparator_0"),
    ] {
        let drawing = format!("{beside} \n subtractor_1>");
        assert_eq!(heard(&drawing), [format!("subtractor_1 side {source}")]);
    }
    let wire = "lever_0 \n wire \n wire \n comparator_1>";
    assert_eq!(heard(wire), ["comparator_1 side lever_0 -1"]);
    // Both sides are one ear.
    assert_eq!(
        heard("repeater_0v \n comparator_1> \n repeater_2^"),
        [
            "comparator_1 side repeater_0",
            "comparator_1 side repeater_2"
        ]
    );
    // Neither a lever nor a strong block there, nor an observer.
    for beside in ["lever_0", "repeater_0v \n #", "observer_0^"] {
        assert_eq!(
            heard(&format!("{beside} \n comparator_1>")),
            NOTHING,
            "{beside}"
        );
    }
}

#[test]
fn a_repeater_is_locked_by_a_repeater_or_comparator_at_its_side_and_by_nothing_else() {
    assert_eq!(
        heard("repeater_0v \n repeater_1>"),
        ["repeater_1 lock repeater_0"]
    );
    assert_eq!(
        heard("repeater_1> \n comparator_0^"),
        ["repeater_1 lock comparator_0"]
    );
    for beside in [
        "lever_0",
        "repeater_0v \n #",
        "lever_0 \n wire",
        "observer_0^",
    ] {
        assert_eq!(
            heard(&format!("{beside} \n repeater_1>")),
            NOTHING,
            "{beside}"
        );
    }
}

#[test]
fn a_comparator_reads_what_is_at_its_back_or_behind_one_full_block() {
    for read in [
        "store_1",
        "chest_1",
        "barrel_1",
        "hopper_1,",
        "dropper_1,",
        "bench_1",
    ] {
        let name = read.trim_end_matches(',');
        assert_eq!(
            heard(&format!("{read} comparator_1>")),
            [format!("comparator_1 reads {name}")]
        );
        assert_eq!(
            heard(&format!("{read} # comparator_1>")),
            [format!("comparator_1 reads {name}")]
        );
    }
    assert_eq!(heard("store_1 # # comparator_1>"), NOTHING);
    assert_eq!(heard("store_1 cap comparator_1>"), NOTHING);
    assert_eq!(
        heard("double_1 double_1 comparator_1>"),
        ["comparator_1 reads double_1"]
    );
    // A barrel at its back is read, and not what is behind it.
    assert_eq!(
        heard("store_1 barrel_2 comparator_1>"),
        ["comparator_1 reads barrel_2"]
    );
}

#[test]
fn a_comparator_that_reads_does_not_listen_at_its_back() {
    let drawing = "repeater_0> barrel_1 comparator_1>";
    assert_eq!(heard(drawing), ["comparator_1 reads barrel_1"]);
}

#[test]
fn a_signal_in_the_block_that_a_comparator_reads_through_drowns_the_reading() {
    let drawing = "lever_0 . . --- # . . --- . . .";
    assert_eq!(heard(drawing), NOTHING);
    let strong = "lever_0v \n store_1 # comparator_1>";
    assert_eq!(
        heard(strong),
        ["comparator_1 reads store_1"],
        "the lever is not at that block"
    );
    let strong = ". lever_0v . \n store_1 # comparator_1>";
    assert_eq!(
        heard(strong),
        [
            "comparator_1 drowned by lever_0",
            "comparator_1 reads store_1"
        ]
    );
    let weak = ". lever_0 . \n . wire . \n store_1 # comparator_1>";
    assert_eq!(
        heard(weak),
        [
            "comparator_1 drowned by lever_0",
            "comparator_1 reads store_1"
        ]
    );
}

#[test]
fn an_observer_watches_the_block_in_front_of_its_eye() {
    for (seen, what) in [
        ("hopper_1", "watcheslock hopper_1"),
        ("dropper_1>", "watchestrigger dropper_1"),
        ("dispenser_1>", "watchestrigger dispenser_1"),
        ("repeater_1>", "watchessignal repeater_1"),
        ("comparator_1>", "watchessignal comparator_1"),
        ("inverter_1,", "watchessignal inverter_1"),
        ("lever_1,", "watchessignal lever_1"),
        ("button_1,", "watchessignal button_1"),
        ("observer_1'", "watchessignal observer_1"),
    ] {
        let drawing = format!("observer_0> {seen}");
        assert_eq!(heard(&drawing), [format!("observer_0 {what}")], "{drawing}");
    }
    for seen in ["store_1", "#", "."] {
        assert_eq!(heard(&format!("observer_0> {seen}")), NOTHING, "{seen}");
    }
}

#[test]
fn an_observer_of_wire_watches_the_level_of_that_block() {
    let drawing = "observer_0> wire wire wire lever_1";
    assert_eq!(heard(drawing), ["observer_0 watch lever_1 -2"]);
}

#[test]
fn a_box_listens_at_its_side_as_a_repeater_at_its_back() {
    for (behind, heard) in [
        ("lever_0", "lever_0"),
        ("repeater_0>", "repeater_0"),
        ("repeater_0> #", "repeater_0 -0"),
        ("lever_0 wire wire", "lever_0 -1"),
    ] {
        let mut boxes = pieces(&format!("{behind} latch_1 \n --- . . ."));
        open(
            &mut boxes,
            "latch_1",
            Side::MinusX,
            Use::Hears(Ear::Input(0)),
        );
        let world = world_of(boxes);
        let expected = format!("latch_1 hears {heard}");
        assert_eq!(lines(&world, &made(&world)), [expected], "{behind}");
    }
    let mut boxes = pieces("latch_1 lever_0");
    open(
        &mut boxes,
        "latch_1",
        Side::MinusX,
        Use::Hears(Ear::Input(0)),
    );
    let world = world_of(boxes);
    assert_eq!(lines(&world, &made(&world)), NOTHING, "at another side");
}

#[test]
fn a_selector_is_locked_as_a_hopper() {
    assert_eq!(heard("lever_0 selector_1"), ["selector_1 lock lever_0"]);
    assert_eq!(
        heard("lever_0> # selector_1"),
        ["selector_1 lock lever_0 -0"]
    );
}
