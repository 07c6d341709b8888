//! What is reported of catalogues and halls, with its place.

use hallwright_plan::catalogue::{Good, Wish};
use hallwright_plan::hall::Sort;

use crate::support::{catalogue_of, hall_of, planned, small_hall};

#[test]
fn a_catalogue_says_what_there_is() {
    let text = "# Goods.\nname, stack_limit, amount, inflow_per_hour, family, wish\n\
                barley, 64, 4000, 120.5, grain, bulk\nham, 16, 33, 2, , \n";
    let goods = catalogue_of(text).0.expect("nothing is wrong").goods;
    assert_eq!(goods.len(), 2);
    assert_eq!(
        (goods[0].inflow_thousandths, goods[0].wish),
        (
            120_500,
            Wish {
                sort: Some(Sort::Bulk),
                ..Wish::AUTOMATIC
            }
        )
    );
    assert_eq!(goods[0].stacks(), 63); // 4000 / 64 = 62.5.
    assert_eq!((goods[1].stacks(), goods[1].wish), (3, Wish::AUTOMATIC));
    // The last two columns may be left out, and columns may stand in any order.
    let text = "stack_limit, name, inflow_per_hour, amount\n1, mallet, 0.125, 4\n";
    let goods = catalogue_of(text).0.expect("nothing is wrong").goods;
    assert_eq!(
        (goods[0].name.as_str(), goods[0].inflow_thousandths),
        ("mallet", 125)
    );
}

#[test]
fn separators_and_names_of_columns_are_recognised() {
    let plain =
        "name, stack_limit, amount, inflow_per_hour\nbarley, 64, 4000, 120.5\n#c, 16, 3, 2\n";
    let goods = catalogue_of(plain).0.expect("nothing is wrong").goods;
    assert_eq!(
        goods[1].name, "#c",
        "no comment: there is no blank behind `#`"
    );
    let same = |text: &str| {
        let other = catalogue_of(text).0.expect("nothing is wrong").goods;
        let said = |goods: &[Good]| -> Vec<_> {
            let each = goods.iter();
            each.map(|good| (good.name.clone(), good.amount, good.inflow_thousandths))
                .collect()
        };
        assert_eq!(said(&other), said(&goods), "{text}");
    };
    same(&plain.replace(',', ";"));
    same(&plain.replace(", ", "\t"));
    same(
        &plain
            .replace("stack_limit", "Stack limit")
            .replace("name", "Name"),
    );
    // Comments with anything in them, also before the names of the columns, and blank lines.
    same(&format!("# a; b\t\"c, d\n#\n\n{plain}  # behind\n\n"));
}

#[test]
fn a_row_with_other_separators_is_named() {
    let (none, reported) = catalogue_of(
        "name; stack_limit; amount; inflow_per_hour\nbarley, 64, 4000, 120\n#rye; 64\n",
    );
    assert!(none.is_none());
    assert_eq!(
        reported.lines(),
        [
            "2:1 the row has 1 field, and the table 4 columns",
            "3:1 the row has 2 fields, and the table 4 columns",
        ]
    );
    let help: Vec<_> = reported
        .problems
        .iter()
        .map(|one| one.help.as_deref())
        .collect();
    assert_eq!(
        help,
        [
            Some("the first line has semicolons between its columns, and this row commas"),
            Some("a comment begins with `#` and a blank"),
        ]
    );
}

#[test]
fn every_mistake_is_reported_with_line_and_column() {
    let text = "name, stack_limit, amount, inflow_per_hour, family, wish\n\
                barley, 32, 4000, 120, grain, bulk\n\
                rye, 64, many, 1.2345, grain, shelf\n\
                , 64, 1, 1, ,\n\
                oat[1], 64, 1, , ,\n\
                barley, 64, 1\n\
                barley, 64, 1, 1, ,\n";
    let (catalogue, reported) = catalogue_of(text);
    assert!(catalogue.is_none());
    assert_eq!(
        reported.lines(),
        [
            "6:1 the row has 3 fields, and the table 6 columns",
            "2:9 `32` is no `stack_limit`",
            "3:10 `many` is no `amount`",
            "3:16 `1.2345` is no `inflow_per_hour`",
            "3:31 `shelf` is no wish",
            "4:1 the field `name` is empty",
            "5:1 the field `inflow_per_hour` is empty",
            "5:1 `oat[1]` can be no `name`",
            "7:1 `barley` is in the catalogue twice",
        ]
    );
    assert!(
        reported
            .problems
            .iter()
            .any(|problem| problem.help.as_deref() == Some("write 64, 16 or 1"))
    );
}

#[test]
fn columns_that_are_missing_or_unknown_are_reported() {
    let (_, reported) = catalogue_of("name, stack, amount, name\nbarley, 64, 1, 1\n");
    assert_eq!(
        reported.lines(),
        [
            "1:7 a catalogue has no column `stack`",
            "1:22 there are two columns `name`",
            "1:1 the column `stack_limit` is missing",
            "1:1 the column `inflow_per_hour` is missing",
        ]
    );
    let (none, reported) = catalogue_of("# nothing\n");
    assert!(none.is_none());
    assert_eq!(reported.problems.len(), 1);
}

#[test]
fn a_hall_out_of_range_is_reported_with_line_and_column() {
    let (hall, reported) = hall_of(
        "(\n    sides: 3,\n    left_out: [(slices: \"shelf\", from: 1, count: 1)],\n    \
         stop_within: \"30\",\n    multi: (width_blocks: 1, slots: 40, kinds: 4),\n)",
    );
    assert!(hall.is_none());
    assert_eq!(reported.lines(), ["4:18 the time `30` has no unit"]);
    let (hall, reported) = hall_of(
        "(\n    sides: 3,\n    left_out: [(slices: \"shelf\", from: 1, count: 1)],\n    \
         multi: (width_blocks: 1, slots: 40, kinds: 4),\n)",
    );
    assert!(hall.is_none());
    assert_eq!(
        reported.lines(),
        [
            "2:12 `sides` is from 1 to 2, not 3",
            "4:37 slots come in barrels of 27",
            "4:48 a slice has a filter of one block for each kind: 4 kinds need as many blocks, and it is 1 wide",
            "3:25 the hall has no slices `shelf`",
        ]
    );
    let (_, reported) = hall_of("(side: 2, multi: (width_blocks: 1))");
    assert_eq!(reported.lines()[0], "1:2 there is no field `side` here");
}

#[test]
fn growth_that_would_fill_the_memory_is_refused() {
    let rows = "barley, 64, 5191, 30, , bulk 3 side 1\nflax, 64, 0, 0, , \n";
    for growth in [
        "NewKinds(a_year: 100000, years: 1000)",
        "Slices(multi: 10001)",
        "Slices(bulk: 18446744073709551615)",
    ] {
        let (plan, reported) = planned(rows, &small_hall(&format!("growth: {growth},")));
        assert!(plan.is_none(), "{growth}");
        assert_eq!(
            reported,
            ["the growth comes to more than 10000 free slices of a sort"]
        );
    }
}

#[test]
fn goods_that_fit_nowhere_are_reported() {
    // Large amounts take several slices, but not any number of them: 64,001 slots are 1,186 chests of 54.
    let rows = "barley, 64, 4096001, 1, , \nmallet, 1, 2, 1, , multi\npeg, 64, 1, 1, , \n";
    let (plan, reported) = planned(rows, &small_hall(""));
    assert!(plan.is_none());
    assert_eq!(
        reported,
        [
            "`barley` needs 1186 slices `bulk` for 64001 stacks, and one kind may take 1000",
            "no item filter sorts out `mallet`, which does not stack",
            "`peg` fills up item filters, and cannot be stored",
        ]
    );
    let hall = "(multi: (width_blocks: 4, slots: 54, kinds: 4))";
    let (plan, reported) = planned("mallet, 1, 2, 1, , \n", hall);
    assert!(plan.is_none());
    assert_eq!(
        reported,
        ["`mallet` needs slices `oddments`, which the hall does not have"]
    );
}
