//! `hallwright sheet`: what stands where, what to bring, and in which order to build it.

use crate::support::{Halls, hallwright, stderr, stdout};

const FILTER: &str = "scenarios/standing/filter.ron";

#[test]
fn without_an_output_the_sheet_is_printed_for_people() {
    let output = hallwright(&["sheet", FILTER]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(
        text.starts_with("Millbrook Granary, an item filter\n"),
        "{text}"
    );
    let place = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("no {words}: {text}"))
    };
    let in_order = [
        "Bring, in all",
        "Height y = 0",
        "Height y = 5",
        "Build in this order",
        "1. Full blocks",
    ];
    for pair in in_order.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?}");
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let same = hallwright(&["sheet", FILTER, "--output", "text"]);
    assert_eq!(stdout(&same), text);
}

#[test]
fn programs_get_a_row_for_each_block_from_where_the_hall_is_to_stand() {
    let halls = Halls::new();
    let file = format!("csv={}", halls.path("sheet.csv"));
    let output = hallwright(&["sheet", FILTER, "--from", "-10,64,3", "--output", &file]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(output.stdout.is_empty(), "only what is named is written");
    let table = halls.read("sheet.csv");
    assert_eq!(
        table.lines().count(),
        23,
        "22 blocks and their columns: {table}"
    );
    assert!(table.contains(",chest,-9,64,3,store,"), "{table}");
}

#[test]
fn variants_and_parameters_change_what_is_in_it() {
    let full = hallwright(&[
        "sheet",
        FILTER,
        "--variant",
        "a full store",
        "--output",
        "csv",
    ]);
    assert!(
        stdout(&full).contains("26: 64 \"\"barley\"\""),
        "{}",
        stdout(&full)
    );
    let set = hallwright(&["sheet", FILTER, "--set", "full=true", "--output", "csv"]);
    assert_eq!(
        stdout(&set),
        stdout(&full),
        "that is all the variant does to it"
    );
    let unknown = hallwright(&["sheet", FILTER, "--variant", "a fuul store"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(
        stderr(&unknown).contains("a full store"),
        "{}",
        stderr(&unknown)
    );
}

#[test]
fn a_scenario_without_positions_says_so_and_has_its_parts() {
    let output = hallwright(&["sheet", "tests/data/missed-goal.ron"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(text.contains("This scenario has no positions"), "{text}");
    assert!(
        text.contains("Bring, in all") && text.contains("Build in this order"),
        "{text}"
    );
    assert!(!text.contains("Height"), "{text}");
}

#[test]
fn what_cannot_be_used_or_written_is_refused_with_the_mend() {
    for (arguments, words) in [
        (["--output", "xml"], "FORMAT is text, csv or html"),
        (["--from", "1,2"], "write it as X,Y,Z"),
        (["--from", "0,0,9000000000"], "write it as X,Y,Z"),
        (
            ["--output", "csv=no/such/folder/a.csv"],
            "cannot be written",
        ),
    ] {
        let output = hallwright(&[&["sheet", FILTER], &arguments[..]].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            stderr(&output).contains(words),
            "{arguments:?}: {}",
            stderr(&output)
        );
    }
    let halls = Halls::new();
    halls.write(
        "hall.ron",
        &std::fs::read_to_string(crate::support::root().join(FILTER)).expect("it is there"),
    );
    let hall = halls.path("hall.ron");
    let over = hallwright(&["sheet", &hall, "--output", &format!("csv={hall}")]);
    assert_eq!(over.status.code(), Some(2));
    assert!(
        stderr(&over).contains("it is read here"),
        "{}",
        stderr(&over)
    );
    let twice = [
        "sheet",
        FILTER,
        "--variant",
        "a full store",
        "--variant",
        "room in the store",
    ];
    assert_eq!(hallwright(&twice).status.code(), Some(2));
}
