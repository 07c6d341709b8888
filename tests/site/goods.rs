//! Section 2: where goods go.

use hallwright_declared::space::Side;
use hallwright_site::blocks::Use;
use hallwright_site::derive::made;
use hallwright_site::network::Role;

use crate::drawing::{drawn, lines, open, pieces, world_of};

#[test]
fn a_hopper_pushes_down_or_beside_and_draws_from_above() {
    assert_eq!(
        drawn(
            "store_1 cap
             ---
             hopper_1> hopper_2
             ---
             . barrel_2"
        ),
        [
            "hopper_1 draws from store_1",
            "hopper_1 pushes into hopper_2",
            "hopper_2 pushes into barrel_2",
        ]
    );
}

#[test]
fn a_hopper_never_pushes_up() {
    assert_eq!(
        drawn("chest_1 --- hopper_1'"),
        ["hopper_1 draws from chest_1"]
    );
}

#[test]
fn a_hopper_has_one_outlet() {
    // It stands beside two chests and points to the third.
    assert_eq!(
        drawn(
            "cap --- store_1 hopper_1, store_2
             --- . store_3"
        ),
        ["hopper_1 is open", "hopper_1 pushes into store_3"]
    );
}

#[test]
fn a_hopper_draws_from_either_half_of_a_double_chest() {
    assert_eq!(
        drawn("double_1 double_1 --- hopper_1 hopper_2"),
        [
            "hopper_1 draws from double_1",
            "hopper_2 draws from double_1"
        ]
    );
}

#[test]
fn a_mouth_is_directly_above_its_hopper_and_may_have_several() {
    assert_eq!(
        drawn("mouth_1 mouth_1 --- hopper_1 hopper_2"),
        ["hopper_1 mouth mouth_1", "hopper_2 mouth mouth_1"]
    );
}

#[test]
fn a_hopper_without_anything_above_is_open_and_any_block_caps_it() {
    assert_eq!(drawn(". --- hopper_1"), ["hopper_1 is open"]);
    for cap in ["cap", "#", "comparator_1>", "wire"] {
        assert_eq!(drawn(&format!("{cap} --- hopper_1")), [""; 0], "{cap}");
    }
}

#[test]
fn a_hopper_below_a_stream_drinks_unless_it_is_below_its_mouth() {
    let mut drawn = pieces("stream_1 stream_1 --- hopper_1 hopper_2");
    let mut mouth = pieces(". mouth_1 --- . .");
    drawn.append(&mut mouth);
    let world = world_of(drawn);
    assert_eq!(
        lines(&world, &made(&world)),
        [
            "hopper_1 drinks from stream_1",
            "hopper_2 mouth mouth_1",
            "stream_1 end mouth_1",
        ]
    );
}

#[test]
fn a_dropper_hands_to_the_block_in_front_of_it_in_six_directions() {
    for (drawing, what) in [
        ("dropper_1> store_1", "into store_1"),
        ("store_1 dropper_1<", "into store_1"),
        ("dropper_1v \n store_1", "into store_1"),
        ("store_1 \n dropper_1^", "into store_1"),
        ("store_1 --- dropper_1'", "into store_1"),
        ("dropper_1, --- store_1", "into store_1"),
        ("dropper_1> double_1 double_1", "into double_1"),
        ("dropper_1> stream_1 stream_1", "throws at stream_1"),
        ("dropper_1> mouth_1", "throws at mouth_1"),
        ("dropper_1> bench_1", "into bench_1"),
    ] {
        assert_eq!(drawn(drawing), [format!("dropper_1 {what}")], "{drawing}");
    }
    assert_eq!(
        drawn("stream_1 \n stream_1 \n dropper_1^"),
        ["dropper_1 throws at stream_1"]
    );
    assert_eq!(drawn("dropper_1 store_1"), [""; 0], "it has no front");
}

#[test]
fn a_dispenser_throws_its_item_even_before_an_inventory() {
    assert_eq!(drawn("dispenser_1> store_1"), [""; 0]);
    assert_eq!(drawn("dispenser_1> bench_1"), ["dispenser_1 bench bench_1"]);
    assert_eq!(
        drawn("dispenser_1> stream_1"),
        ["dispenser_1 throws at stream_1"]
    );
}

#[test]
fn a_bench_leads_to_a_mouth_beside_it_and_a_stream_to_one_at_its_end() {
    assert_eq!(drawn("bench_1 mouth_1"), ["bench_1 out mouth_1"]);
    assert_eq!(drawn("mouth_1 --- bench_1"), ["bench_1 out mouth_1"]);
    assert_eq!(drawn("bench_1 . mouth_1"), [""; 0]);
    assert_eq!(drawn("bench_1 stream_1"), ["bench_1 out stream_1"]);
    assert_eq!(drawn("stream_1 stream_1 mouth_1"), ["stream_1 end mouth_1"]);
    assert_eq!(drawn("mouth_1 stream_1 stream_1"), [""; 0], "at its start");
    assert_eq!(
        drawn("bench_1 --- hopper_1"),
        ["hopper_1 draws from bench_1"]
    );
}

#[test]
fn where_two_mouths_stand_alike_the_one_that_is_meant_counts() {
    let drawing = "mouth_1 bench_1 mouth_2";
    assert_eq!(drawn(drawing), ["bench_1 out mouth_2"]);
    let mut meant = pieces(drawing);
    let bench = meant.iter_mut().find(|piece| piece.name == "bench_1");
    bench.expect("it is drawn").meant.push("mouth_1".to_owned());
    let world = world_of(meant);
    assert_eq!(lines(&world, &made(&world)), ["bench_1 out mouth_1"]);
}

#[test]
fn a_selector_is_met_at_its_sides() {
    let drawing = ". cap . .
         ---
         hopper_1> selector_1 store_1 .
         . store_2 . .
         --- . hopper_2 . .";
    let mut boxes = pieces(drawing);
    let none = world_of(boxes.clone());
    let open_top = "hopper_1 is open".to_owned();
    assert_eq!(
        lines(&none, &made(&none)),
        std::slice::from_ref(&open_top),
        "no side is declared"
    );
    open(&mut boxes, "selector_1", Side::MinusX, Use::Takes);
    open(
        &mut boxes,
        "selector_1",
        Side::PlusX,
        Use::HandsOn(Role::Match),
    );
    open(
        &mut boxes,
        "selector_1",
        Side::PlusZ,
        Use::HandsOn(Role::Rest),
    );
    let world = world_of(boxes);
    let expected = [
        open_top,
        "hopper_1 pushes into selector_1".to_owned(),
        "selector_1 match store_1".to_owned(),
        "selector_1 rest store_2".to_owned(),
    ];
    // Nothing can be drawn out of a selector: the hopper below it is closed.
    assert_eq!(lines(&world, &made(&world)), expected);
}

#[test]
fn a_dock_is_met_at_its_sides_for_goods_and_readings() {
    let drawing = "dock_1 comparator_1> comparator_2< \n --- hopper_1 # #";
    let mut boxes = pieces(drawing);
    open(
        &mut boxes,
        "dock_1",
        Side::MinusY,
        Use::Docks("dock_1".to_owned()),
    );
    let below = world_of(boxes.clone());
    assert_eq!(lines(&below, &made(&below)), ["hopper_1 draws from dock_1"]);
    open(
        &mut boxes,
        "dock_1",
        Side::PlusX,
        Use::Docks("dock_1".to_owned()),
    );
    let beside = world_of(boxes);
    let all = ["comparator_1 reads dock_1", "hopper_1 draws from dock_1"];
    assert_eq!(lines(&beside, &made(&beside)), all);
}

#[test]
fn single_chests_beside_each_other_join_and_the_first_in_order_has_the_first_slots() {
    let joined = |drawing: &str| -> Vec<(String, String)> {
        let world = world_of(pieces(drawing));
        let name = |number: usize| world.piece(number).name.clone();
        let pairs = world.joined_chests().into_iter();
        pairs.map(|(a, b)| (name(a), name(b))).collect()
    };
    let pair = |a: &str, b: &str| vec![(a.to_owned(), b.to_owned())];
    assert_eq!(joined("chest_2 chest_1"), pair("chest_2", "chest_1"));
    assert_eq!(joined("chest_2 \n chest_1"), pair("chest_2", "chest_1"));
    assert_eq!(joined("chest_1 --- chest_2"), []);
    assert_eq!(joined("chest_1 apart_2"), []);
    assert_eq!(joined("chest_1 barrel_2"), []);
    assert_eq!(joined("chest_1 . chest_2"), []);
    assert_eq!(
        joined("chest_1 chest_2 chest_3"),
        pair("chest_1", "chest_2")
    );
}

#[test]
fn a_full_block_above_a_chest_shuts_it_for_operators_and_for_nobody_else() {
    let drawing = "# barrel_1 cap --- chest_1 apart_2 store_3 --- hopper_1 hopper_2 hopper_3";
    let world = world_of(pieces(drawing));
    let shut: Vec<&str> = world
        .shut_chests()
        .into_iter()
        .map(|number| world.piece(number).name.as_str())
        .collect();
    assert_eq!(shut, ["apart_2", "chest_1"]);
    assert_eq!(
        drawn(drawing),
        [
            "hopper_1 draws from chest_1",
            "hopper_2 draws from apart_2",
            "hopper_3 draws from store_3",
        ]
    );
}
