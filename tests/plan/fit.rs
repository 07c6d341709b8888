//! What is built, how it is divided, and how long it gets.

use hallwright_plan::Plan;
use hallwright_plan::fit::Place;
use hallwright_plan::hall::Sort;

use crate::support::{planned, small_hall};

/// Goods that need so many bulk slices, and so many multi-item slices of one kind each.
fn rows(bulk: usize, multi: usize) -> String {
    let bulk = (0..bulk).map(|number| format!("log {number}, 64, 3000, 1, , bulk\n"));
    let multi = (0..multi).map(|number| format!("lath {number}, 64, 3000, 1, , multi\n"));
    bulk.chain(multi).collect()
}

/// How long a hall is, and in how many rows.
fn size(plan: &Plan) -> (u64, u64) {
    (plan.layout.length_blocks, plan.layout.rows)
}

#[test]
fn the_hall_is_as_short_as_its_rows_allow() {
    // Heads count a block each: 9 bulk slices of 1 block take 10. Of 8 multi-item slices of 4 blocks three stand in a
    // section, as none has more than 14 blocks of line: 13, 13 and 9. Two rows: 10 + 13 in the first, and the rest comes
    // back. A turn takes 4 more.
    let hall = small_hall("growth: Slices(multi: 1),");
    let (plan, reported) = planned(&rows(9, 7), &hall);
    let plan = plan.expect("it fits");
    assert!(reported.is_empty(), "{reported:?}");
    assert_eq!(size(&plan), (10 + 13 + 4, 2));
    let figures: Vec<_> = plan
        .lines
        .iter()
        .map(|line| (line.used, line.places.len(), line.free()))
        .collect();
    assert_eq!(figures, [(9, 9, 0), (7, 8, 1), (0, 0, 0)]);
    // In one row all of it one behind the other, and what a turn would take.
    let (plan, _) = planned(
        &rows(9, 7),
        &small_hall("rows: 1, growth: Slices(multi: 1),"),
    );
    assert_eq!(size(&plan.expect("it fits")), (10 + 13 + 13 + 9 + 4, 1));
}

#[test]
fn a_reserve_that_does_not_fit_is_warned_of_and_goods_that_do_not_are_refused() {
    // 7 slices of 4 blocks are sections of 13, 13 and 5 blocks: with a turn 35. There is no room for 10 more.
    let hall = |length: u64| {
        small_hall(&format!(
            "rows: 1, length_blocks: {length}, growth: Slices(multi: 10),"
        ))
    };
    let (plan, reported) = planned(&rows(0, 7), &hall(35));
    assert_eq!(reported, ["there is too little room for the reserve"]);
    let plan = plan.expect("the goods fit");
    let line = plan.line(Sort::Multi).expect("there are some");
    assert_eq!((line.reserve, line.free(), line.places.len()), (10, 0, 7));
    let (plan, reported) = planned(&rows(0, 7), &hall(34));
    assert!(plan.is_none());
    assert_eq!(reported, ["the hall is too short for the goods"]);
}

#[test]
fn the_reserve_is_a_share_a_count_or_new_kinds_a_year() {
    let reserve = |growth: &str| {
        let (plan, _) = planned(&rows(6, 2), &small_hall(&format!("growth: {growth},")));
        let lines = plan.expect("it fits").lines;
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
    assert_eq!((line.left_out(), line.free()), (2, 0));
}

#[test]
fn a_line_is_divided_until_it_stops_in_time() {
    // 20 multi-item slices of 4 hoppers, 3 a section. From the tick rules at most 8 ticks a hopper; two hoppers in a
    // filter, one that gathers for each of 4 kinds, two barrels and one more take 15 each: 12 * 8 + 9 * 15 = 231.
    let sections = |hall: &str| {
        let (plan, reported) = planned(&rows(0, 20), &small_hall(hall));
        let plan = plan.expect("it fits");
        let sections = plan.sections().map(|(laid, _)| laid.section.places);
        (sections.collect::<Vec<_>>(), reported)
    };
    assert_eq!(
        sections("stop_within: \"20s\","),
        (vec![3, 3, 3, 3, 3, 3, 2], vec![])
    );
    // In 9 s = 180 t: (180 - 135) / 8 = 5 hoppers, 1 slice; but signals take some ticks more.
    let (places, reported) = sections("stop_within: \"9s\",");
    assert_eq!(places, [1; 20]);
    assert_eq!(reported.len(), 1, "{reported:?}");
    assert!(
        reported[0].ends_with("ticks, and 180 are wished"),
        "{reported:?}"
    );
    // More sections may be laid down.
    let hall = small_hall("").replace("kinds: 4", "kinds: 4, sections: 10");
    let plan = planned(&rows(0, 20), &hall).0.expect("it fits");
    assert_eq!(plan.sections().count(), 10);
}

#[test]
fn what_one_line_does_not_carry_goes_down_two() {
    // 2.5 items a second are 9,000 an hour. 30 bulk slices are sections of 14, 14 and 2.
    let busy = |each: u64| -> String {
        let rows = (0..30).map(|number| format!("log {number}, 64, 3000, {each}, , bulk\n"));
        rows.collect()
    };
    let plan = planned(&busy(300), &small_hall("")).0.expect("it fits");
    assert_eq!((plan.hall.lines, plan.unsorted().len()), (1, 1));
    let plan = planned(&busy(301), &small_hall("")).0.expect("it fits");
    assert_eq!((plan.hall.lines, plan.unsorted().len()), (2, 2));
    let lines: Vec<(&str, u64)> = plan
        .sections()
        .map(|(laid, _)| (laid.section.name.as_str(), laid.section.line))
        .collect();
    assert_eq!(lines, [("bulk 1", 0), ("bulk 2", 1), ("bulk 3", 1)]);
    // 16 of the kinds go down the second line.
    let (plan, reported) = planned(&busy(570), &small_hall(""));
    assert!(plan.is_none());
    assert_eq!(
        reported,
        ["9120 items come in an hour for the slices of line 2, and it carries 9000"]
    );
    let (_, reported) = planned(&busy(601), &small_hall(""));
    assert_eq!(
        reported,
        ["18030 items come in an hour; a line carries 9000, and there are 2"]
    );
    // Laid down is laid down.
    let (_, reported) = planned(&busy(301), &small_hall("lines: 1,"));
    assert_eq!(
        reported,
        ["9030 items come in an hour; a line carries 9000, and there is 1"]
    );
}
