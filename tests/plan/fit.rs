//! What lines up, how long it gets, what is free.

use hallwright_plan::fit::{Place, pattern_width, slices_on};
use hallwright_plan::hall::Sort;

use crate::support::{planned, small_hall};

/// Common practice, no source.
#[test]
fn patterns_of_four_three_and_two_blocks_repeat_after_twelve() {
    assert_eq!(pattern_width([4, 3, 2]), 12);
    assert_eq!(pattern_width([1]), 1);
    assert_eq!(pattern_width([6, 4]), 12);
}

/// Common practice, no source.
#[test]
fn a_length_has_twice_as_many_bulk_slices_of_one_block_as_multi_item_slices_of_two() {
    for length in [2, 12, 96] {
        assert_eq!(slices_on(length, 1, 2), 2 * slices_on(length, 2, 2));
    }
}

/// Goods that need so many bulk slices, and so many multi-item slices of one kind each.
fn rows(bulk: usize, multi: usize) -> String {
    let bulk = (0..bulk).map(|number| format!("log {number}, 64, 3000, 1, , bulk\n"));
    let multi = (0..multi).map(|number| format!("lath {number}, 64, 3000, 1, , multi\n"));
    bulk.chain(multi).collect()
}

#[test]
fn the_hall_is_as_short_as_the_goods_and_the_reserve_allow() {
    // Tiles of lcm(1, 2, 3) = 6 blocks. 3 multi-item slices on one tile, one side: 7 in use and 1
    // in reserve need 3 tiles, 18 blocks; 9 bulk slices need 2.
    let hall = small_hall("growth: Slices(multi: 1),");
    let (plan, reported) = planned(&rows(9, 7), &hall);
    let fit = plan.expect("it fits").fit;
    assert!(reported.is_empty(), "{reported:?}");
    assert_eq!(
        (fit.pattern_blocks, fit.tiles, fit.length_blocks()),
        (6, 3, 18)
    );
    let figures: Vec<_> = fit
        .lines
        .iter()
        .map(|line| (line.used, line.room, line.free()))
        .collect();
    assert_eq!(figures, [(9, 18, 9), (7, 9, 2), (0, 6, 6)]);
    // The table around it: on 12 blocks there are 6 multi-item slices, too few for 7.
    let choice = &fit.choices[1];
    assert_eq!(
        (choice.tiles, choice.length_blocks, choice.has_reserve),
        (2, 12, false)
    );
    assert_eq!(choice.room, [(12, Some(3)), (6, None), (4, Some(4))]);
}

#[test]
fn two_sides_halve_the_length() {
    let (plan, _) = planned(
        &rows(9, 7),
        &small_hall("sides: 2, growth: Slices(multi: 1),"),
    );
    // 6 multi-item slices on a tile: 8 need 2 tiles.
    assert_eq!(plan.expect("it fits").fit.length_blocks(), 12);
}

#[test]
fn a_reserve_that_does_not_fit_is_warned_of_and_goods_that_do_not_are_refused() {
    // 7 in use fit on 18 blocks (9 slices), 4 more do not.
    let hall = |length: u64| {
        small_hall(&format!(
            "length_blocks: {length}, growth: Slices(multi: 4),"
        ))
    };
    let (plan, reported) = planned(&rows(0, 7), &hall(20));
    assert_eq!(reported, ["the reserve is short"]);
    let fit = plan.expect("the goods fit").fit;
    assert_eq!(fit.length_blocks(), 18);
    let line = fit
        .lines
        .iter()
        .find(|line| line.sort == Sort::Multi)
        .expect("there are some");
    assert_eq!((line.reserve, line.free(), line.places.len()), (4, 2, 9));
    let (plan, reported) = planned(&rows(0, 7), &hall(17));
    assert!(plan.is_none());
    assert_eq!(
        reported,
        ["the goods need a hall of 18 blocks, and it is to have 17"]
    );
}

#[test]
fn the_reserve_is_a_share_a_count_or_new_kinds_a_year() {
    let reserve = |growth: &str| {
        let (plan, _) = planned(&rows(6, 2), &small_hall(&format!("growth: {growth},")));
        let lines = plan.expect("it fits").fit.lines;
        lines.iter().map(|line| line.reserve).collect::<Vec<_>>()
    };
    // A quarter of 6, of 2 and of none, rounded up.
    assert_eq!(reserve("Share(0.25)"), [2, 1, 0]);
    assert_eq!(reserve("Slices(bulk: 3, oddments: 1)"), [3, 0, 1]);
    // 12 kinds to come, of which 6/8 and 2/8 as of those of today.
    assert_eq!(reserve("NewKinds(a_year: 4, years: 3)"), [9, 3, 0]);
}

#[test]
fn slices_that_are_left_out_take_room_and_hold_nothing() {
    let hall = small_hall("left_out: [(slices: \"multi\", from: 2, count: 2)],");
    let (plan, _) = planned(&rows(0, 4), &hall);
    let plan = plan.expect("it fits");
    let line = plan.line(Sort::Multi).expect("there are some");
    assert_eq!(
        line.places,
        [
            Place::Used(0),
            Place::LeftOut,
            Place::LeftOut,
            Place::Used(1),
            Place::Used(2),
            Place::Used(3),
        ]
    );
    // 4 in use and 2 left out are 6 of 2 blocks: 12 blocks, with no room to spare.
    assert_eq!(
        (
            plan.fit.length_blocks(),
            line.room,
            line.left_out,
            line.free()
        ),
        (12, 4, 2, 0)
    );
}

#[test]
fn a_line_is_divided_until_it_stops_in_time() {
    // 20 multi-item slices of 4 hoppers. From the tick rules at most 8 ticks a hopper; the filter and
    // the chest take 60, signals 10. In 20 s = 400 t: (400 - 70) / 8 = 41 hoppers, 10 slices.
    let (plan, reported) = planned(&rows(0, 20), &small_hall("stop_within: \"20s\","));
    let sections = plan.expect("it fits").sections;
    assert!(reported.is_empty());
    let figures: Vec<_> = sections
        .iter()
        .map(|section| (section.places, section.line_hoppers))
        .collect();
    assert_eq!(figures, [(10, 40), (10, 40)]);
    // Not even one slice of 4 hoppers stops in 5 s = 100 t: 4 x 8 + 70 = 102.
    let (_, reported) = planned(&rows(0, 20), &small_hall("stop_within: \"5s\","));
    assert_eq!(
        reported,
        ["a stop of the slices `multi` takes up to 102 ticks, and 100 are wished"]
    );
}
