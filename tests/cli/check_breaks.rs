//! Layouts broken on purpose: `check` turns red, and says what is behind it.

use crate::support::{Halls, hallwright, stdout, unwrapped};

/// What `check` says of one of our scenarios with a part of its text replaced; it must be red.
fn red(scenario: &str, old: &str, new: &str) -> String {
    let halls = Halls::new();
    halls.copy("multi-item-line.csv", "", "");
    halls.copy(scenario, old, new);
    let output = hallwright(&["check", &halls.path(scenario)]);
    let text = unwrapped(&stdout(&output));
    assert_eq!(output.status.code(), Some(1), "{text}");
    text
}

/// What `check` says of a small scenario of the granary with a part of a module replaced; it must be
/// red.
fn red_module(scenario: &str, module: &str, old: &str, new: &str) -> String {
    let halls = Halls::new();
    halls.copy_folder("granary", &format!("granary/modules/{module}"), old, new);
    let path = halls.path(&format!("granary/{scenario}"));
    let output = hallwright(&["check", "--shuffles", "0", &path]);
    let text = unwrapped(&stdout(&output));
    assert_eq!(output.status.code(), Some(1), "{text}");
    text
}

/// All of the words must be there.
fn assert_says(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(words), "`{words}` is not in: {text}");
    }
}

#[test]
fn two_goods_swapped_are_reported_with_the_stores_they_went_to() {
    let text = red(
        "bulk-slice.ron",
        r#"BoxOf(["$kind"])"#,
        r#"BoxOf([If(Is("$kind", "barley"), "flax", If(Is("$kind", "flax"), "barley", "$kind"))])"#,
    );
    // Each of the two columns fills up: 223 boxes of 27 x 64 items.
    assert_says(
        &text,
        &[
            "misplaced: 770,688 items, at most 0",
            "385,344 flax in slice[0].store",
            "385,344 barley in slice[1].store",
            "missed in 64 of 64 runs",
        ],
    );
}

#[test]
fn a_wire_that_is_too_short_is_reported_with_the_sieves_it_spoils() {
    // A full block in place of the first block of wire hands the level on as it is: only 1 is lost.
    let text = red(
        "first-slice.ron",
        r#""level!", "~", "~", ".""#,
        r##""level!", "#", "~", ".""##,
    );
    // Level 2 opens the filters at once, and level 3 of a neighbour does, too.
    assert_says(
        &text,
        &[
            "sieves not intact: 2 sieves, at most 0",
            "wool filter.sieve lacks 41 wool, 4 peg, not intact since 0.0 s (0 t)",
            "4 peg in wool filter.store",
            "leaky: 1 of 9 goals missed in 8 runs",
        ],
    );
}

#[test]
fn a_hold_that_is_too_short_is_reported_with_what_the_lamp_saw() {
    // A box that passes is in the watched hopper for up to 8 ticks: with 2 the lamp does not wait.
    let text = red("bulk-slice.ron", r#"hold: "12t""#, r#"hold: "2t""#);
    assert_says(
        &text,
        &[
            r#"first rise of "slice[0].full": 1 item, at least 219"#,
            "218 items too few",
            "it first rose at",
        ],
    );
}

#[test]
fn a_return_at_the_wrong_place_is_reported_with_the_mark_it_misses() {
    // At the last slice of its section, a return leaves the 44 hoppers above it to be cleared: 7 ticks
    // each make 308 ticks, of which the goal allows 200.
    let text = red(
        "multi-item-line.ron",
        r#""middle": Divided("$slices", 2)"#,
        r#""middle": Minus("$slices", 1)"#,
    );
    assert_says(
        &text,
        &[
            "midway returns: 2 of 7 goals missed in 64 runs",
            "at most 10.0 s (200 t)",
            "too late; missed in 64 of 64 runs",
            r#""part[0].line" was cleared after 15."#,
            "one line: 7 goals in 64 runs",
        ],
    );
}

#[test]
fn a_column_that_unlocks_for_too_short_keeps_a_lone_box_half_way_down() {
    let text = red_module("bulk.ron", "bulk.ron", r#""open": 64"#, r#""open": 16"#);
    // The box of tar that comes at the last is above the rack when its column is locked again.
    assert_says(&text, &["box in second.column[2].rack: 1 item, at least 2"]);
}

#[test]
fn a_loader_that_does_not_wait_for_its_stage_spends_tallies_without_boxes() {
    let text = red_module(
        "retrieval.ron",
        "retrieval.ron",
        r#""loaded", "free", "$permit""#,
        r#""loaded", "$permit""#,
    );
    // Thirteen boxes of wool are asked for: 13 x 27 x 64 items.
    assert_says(&text, &["wool in retrieval.counter:", "at least 22,464"]);
}

#[test]
fn a_shuttle_that_waits_for_room_it_does_not_have_leaves_boxes_behind() {
    let text = red_module(
        "retrieval.ron",
        "retrieval.ron",
        r#"inputs: ["done", "full"]"#,
        r#"inputs: ["done"]"#,
    );
    assert_says(&text, &["left behind:", "at most 0"]);
}

#[test]
fn a_quay_that_lets_part_filled_boxes_pass_is_reported() {
    let text = red_module(
        "quay.ron",
        "quay.ron",
        "                        BoxFull,\n",
        "",
    );
    // 8 full boxes of barley and 4 with one piece less: 8 x 1,728 + 4 x 1,727.
    assert_says(&text, &["barley in bulk: 20,732 items, at most 13,824"]);
}

#[test]
fn a_display_that_is_not_tried_again_when_it_is_locked_is_reported() {
    let text = red_module(
        "hatch.ron",
        "hatch.ron",
        r#"inputs: ["taken", "retry"]"#,
        r#"inputs: ["taken"]"#,
    );
    // All eleven boxes stay where they are.
    assert_says(&text, &["left behind: 19,008 items", "19,008 barley"]);
}

#[test]
fn permits_that_stay_on_are_reported_by_the_work_of_idle_lines() {
    let text = red_module(
        "control.ron",
        "control.ron",
        r#"inputs: ["called", "signalled"]"#,
        r#"inputs: ["signalled"]"#,
    );
    assert_says(&text, &["mean work:", "at most 200.00 units/t"]);
}
