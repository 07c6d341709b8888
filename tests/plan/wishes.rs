//! Wishes for a sort, a slice and a side.

use hallwright_plan::catalogue::Wish;
use hallwright_plan::hall::Sort;
use hallwright_plan::report::report;
use hallwright_plan::{Plan, parts::Parts};

use proptest::prelude::*;

use crate::support::{catalogue_of, named, placed, planned, planned_with_places, small_hall};

#[test]
fn a_wish_has_a_sort_a_slice_and_a_side() {
    let wishes = [
        ("automatic", None, None, None),
        ("bulk", Some(Sort::Bulk), None, None),
        ("bulk 3", Some(Sort::Bulk), Some(3), None),
        ("bulk 3 side 2", Some(Sort::Bulk), Some(3), Some(2)),
        ("multi  side 1", Some(Sort::Multi), None, Some(1)),
        ("side 2", None, None, Some(2)),
        ("automatic side 2", None, None, Some(2)),
    ];
    for (text, sort, slice, side) in wishes {
        let rows =
            format!("name, stack_limit, amount, inflow_per_hour, wish\nrye, 64, 1, 1, {text}\n");
        let goods = catalogue_of(&rows).0.expect("nothing is wrong").goods;
        assert_eq!(goods[0].wish, Wish { sort, slice, side }, "{text}");
    }
    for text in [
        "bulk 0",
        "bulk side",
        "bulk side 3",
        "automatic 3",
        "bulk 3 4",
        "3",
        "bulk -1",
        "shelf",
    ] {
        let rows =
            format!("name, stack_limit, amount, inflow_per_hour, wish\nrye, 64, 1, 1, {text}\n");
        let (none, reported) = catalogue_of(&rows);
        assert!(none.is_none(), "{text}");
        assert_eq!(reported.lines(), [format!("2:16 `{text}` is no wish")]);
    }
}

#[test]
fn goods_in_boxes_stand_at_no_side() {
    let hall = "(sides: 2, stop_within: \"30s\", boxes: (levels: 2))";
    let (none, lines) = planned("barley, 64, 64, 9, , bulk side 1\n", hall);
    assert!(none.is_none());
    assert_eq!(lines.len(), 1, "{lines:?}");
    assert!(
        lines[0].contains("goods in boxes stand in a wing, at no side"),
        "{lines:?}"
    );
}

#[test]
fn what_is_wished_into_a_slice_stands_there_and_others_around_it() {
    let rows = "barley, 64, 64, 9, , bulk 3\nwheat, 64, 64, 5, , bulk\nrye, 64, 64, 2, , bulk\noat, 64, 64, 1, , bulk 1\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    assert_eq!(
        named(&plan, Sort::Bulk),
        [["oat"], ["wheat"], ["barley"], ["rye"]]
    );
    // Numbers count what is left out, as the allocation does.
    let hall = small_hall("left_out: [(slices: \"bulk\", from: 2, count: 1)],");
    let plan = planned(rows, &hall).0.expect("it fits");
    assert_eq!(placed(&plan, "barley"), ("bulk", vec![3]));
    assert_eq!(placed(&plan, "wheat"), ("bulk", vec![4]));
}

#[test]
fn slices_between_wished_ones_stay_free() {
    let rows =
        "barley, 64, 64, 9, , bulk 5\nflax, 64, 64, 1, , multi 2\nwool, 64, 64, 1, , multi 2\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    let none: Vec<&str> = Vec::new();
    assert_eq!(
        named(&plan, Sort::Bulk),
        [
            none.clone(),
            none.clone(),
            none.clone(),
            none.clone(),
            vec!["barley"]
        ]
    );
    assert_eq!(named(&plan, Sort::Multi), [none, vec!["flax", "wool"]]);
    let line = plan.line(Sort::Bulk).expect("there is one");
    assert_eq!((line.used, line.places.len()), (1, 5));
}

#[test]
fn goods_stand_on_the_side_that_is_wished() {
    let rows = "barley, 64, 64, 9, , bulk side 2\nwheat, 64, 64, 5, , bulk\nrye, 64, 64, 2, , bulk side 1\noat, 64, 64, 1, , bulk side 1\n";
    let plan = planned(rows, &small_hall("sides: 2,")).0.expect("it fits");
    // The line has to be so long that it comes to a second row.
    assert_eq!(named(&plan, Sort::Bulk)[..3], [["wheat"], ["rye"], ["oat"]]);
    check_sides(&plan);
    // Twenty on the first side, which has fourteen in a row, and others that would stand there but for them.
    let kind = |number: u64| {
        let (inflow, wish) = (
            100 - number,
            if number.is_multiple_of(2) {
                "bulk side 1"
            } else {
                "bulk"
            },
        );
        format!("log {number}, 64, 64, {inflow}, , {wish}\n")
    };
    let rows: String = (0..40).map(kind).collect();
    let plan = planned(&rows, &small_hall("sides: 2,")).0.expect("it fits");
    check_sides(&plan);
}

/// Every kind with a wish for a side stands there, as the report says.
fn check_sides(plan: &Plan) {
    let report = report(plan, &Parts::default(), None);
    for good in &plan.catalogue.goods {
        let places = report
            .allocation
            .iter()
            .filter(|place| place.kinds.contains(&good.name));
        for place in places {
            let is_met = good.wish.side.is_none_or(|side| side == place.side);
            assert!(is_met, "{} is on side {}", good.name, place.side);
        }
    }
}

#[test]
fn wishes_that_contradict_one_another_or_the_hall_are_reported_with_their_places() {
    let refused = |rows: &str, more: &str| {
        let (plan, reported) = planned_with_places(rows, &small_hall(more));
        assert!(plan.is_none(), "{rows}");
        reported
    };
    let rows = "barley, 64, 64, 9, , bulk 3\nrye, 64, 64, 1, , bulk 3\n";
    let expected = "3:19 `rye` has no room in slice 3 of `bulk`: `barley` is wished there, too";
    assert_eq!(refused(rows, "growth: Slices(bulk: 9),"), [expected]);
    // 100 stacks take slices 1 and 2.
    let rows = "barley, 64, 6400, 9, , bulk 1\nrye, 64, 64, 1, , bulk 2\n";
    let expected = "3:19 `rye` has no room in slice 2 of `bulk`: `barley` is wished there, too";
    assert_eq!(refused(rows, ""), [expected]);
    let rows = "barley, 64, 64, 9, , bulk 1007\nwool, 64, 64, 9, , multi side 2\n";
    assert_eq!(
        refused(rows, ""),
        [
            "3:20 `wool` wishes for side 2, and the hall has one",
            "2:22 `barley` wishes for slice 1007 of `bulk`, and the hall has no room for so many",
        ]
    );
    let rows = "barley, 64, 64, 9, , bulk 2\n";
    let expected = "2:22 slice 2 of `bulk` is left out of the hall";
    let hall = "left_out: [(slices: \"bulk\", from: 2, count: 1)],";
    assert_eq!(refused(rows, hall), [expected]);
    let rows = "barley, 64, 64, 9, , bulk 1 side 2\n";
    let expected = "2:22 slice 1 of `bulk` cannot stand on side 2";
    assert_eq!(refused(rows, "sides: 2,"), [expected]);
    let rows = "mallet, 1, 4, 9, , bulk 1\n";
    let expected = "2:1 no item filter sorts out `mallet`, which does not stack";
    assert_eq!(refused(rows, ""), [expected]);
}

fn any_wish() -> impl Strategy<Value = String> {
    let sort = prop::sample::select(vec!["bulk", "multi", "oddments"]);
    let slice = prop_oneof![3 => Just(String::new()), 1 => (1..20_u64).prop_map(|slice| format!(" {slice}"))];
    let side = prop::sample::select(vec!["", "", " side 1", " side 2"]);
    (sort, slice, side).prop_map(|(sort, slice, side)| format!("{sort}{slice}{side}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn every_wish_is_met_or_what_is_wrong_is_said(
        kinds in prop::collection::vec((0..120_u64, any_wish()), 1..12),
        gap in 1..9_u64,
    ) {
        let rows: String = kinds.iter().enumerate().map(|(number, (stacks, wish))| {
            format!("kind {number}, 64, {}, {number}, , {wish}\n", stacks * 64)
        }).collect();
        let hall = small_hall(&format!("sides: 2, left_out: [(slices: \"bulk\", from: {gap}, count: 2)],"));
        let (plan, reported) = planned(&rows, &hall);
        let Some(plan) = plan else {
            prop_assert!(!reported.is_empty());
            return Ok(());
        };
        check_sides(&plan);
        for good in &plan.catalogue.goods {
            let (sort, slices) = placed(&plan, &good.name);
            prop_assert!(good.wish.sort.is_some_and(|wished| wished.name() == sort));
            prop_assert!(good.wish.slice.is_none_or(|wished| slices.first() == Some(&wished)), "{}", good.name);
        }
        for sort in Sort::ALL {
            let line = &plan.allocation.lines[sort.index()];
            let kinds = plan.hall.slice(sort).map_or(0, |slice| slice.kinds);
            for (goods, stacks) in line.slices.iter().zip(&line.stacks) {
                prop_assert!(goods.len() <= kinds && stacks.iter().sum::<u64>() <= 54);
            }
        }
    }
}

#[test]
fn a_side_without_room_for_thousands_of_slices_is_refused() {
    // 1,850 slices are wished on one side, so half as many would have to stay free on the other: laying them
    // all out 200 times takes long.
    let rows: String = (0..10)
        .map(|kind| format!("kind {kind}, 1, 4984, 900, , automatic side 2\n"))
        .collect();
    let hall = "(sides: 2, rows: 4, oddments: (width_blocks: 2, slots: 27, kinds: 1))";
    let (plan, messages) = planned(&rows, hall);
    assert!(plan.is_none());
    let refused = "a side has no room for all slices `oddments` that are wished there";
    assert_eq!(messages, [refused]);
}
