//! `hallwright levels`: from how many items on a comparator reads each level.

use crate::support::{hallwright, stderr, stdout};

#[test]
fn the_levels_of_a_hopper_are_reported() {
    let output = hallwright(&["levels", "--slots", "5", "--stack", "64"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(
        text.starts_with("5 slots of goods that stack to 64."),
        "{text}"
    );
    let row = |level: &str| -> Vec<&str> {
        let mut rows = text.lines().map(|line| line.split_whitespace().collect());
        let row = rows.find(|row: &Vec<&str>| row.first() == Some(&level));
        row.unwrap_or_else(|| panic!("no level {level}: {text}"))
    };
    // By hand: 14 x n / 320 comes to 1 at 22.9, to 2 at 45.7, to 3 at 68.6 and to 14 at 320.
    assert_eq!(row("1"), ["1", "1", "22"]);
    assert_eq!(row("2"), ["2", "23", "45"]);
    assert_eq!(row("3"), ["3", "46", "68"]);
    assert_eq!(row("4")[..2], ["4", "69"]);
    assert_eq!(row("15"), ["15", "320", "320"]);
}

#[test]
fn without_flags_the_common_inventories_are_reported() {
    let text = stdout(&hallwright(&["levels"]));
    for words in [
        "stack to 64:",
        "stack to 16:",
        "stack to 1:",
        "hopper",
        "double chest",
    ] {
        assert!(text.contains(words), "no {words}: {text}");
    }
    // By hand: a double chest of 64s has 3,456 items; a fourteenth of that is 246.9.
    let row = text
        .lines()
        .find(|line| line.trim_start().starts_with("2 "));
    let cells: Vec<&str> = row.expect("level 2").split_whitespace().collect();
    assert_eq!(cells, ["2", "23", "42", "124", "247"]);
}

#[test]
fn programs_read_the_same_numbers() {
    let arguments = ["levels", "--slots", "5", "--stack", "1", "--output"];
    let json = stdout(&hallwright(&[&arguments[..], &["json"]].concat()));
    let json: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
    let levels = &json["inventories"][0]["levels"];
    assert_eq!(json["inventories"][0]["stack_limit"], 1);
    // A fifth of a hopper reads 1 + floor(2.8).
    assert_eq!(levels[2]["from_items"], 1);
    assert!(levels[0]["from_items"].is_null());
    let csv = stdout(&hallwright(&[&arguments[..], &["csv"]].concat()));
    assert!(csv.contains("\n5,1,3,1,1\n"), "{csv}");
    assert!(csv.contains("\n5,1,1,,\n"), "{csv}");
}

#[test]
fn what_is_no_stack_limit_or_no_slot_is_refused() {
    for (flag, value) in [
        ("--stack", "32"),
        ("--stack", "x"),
        ("--slots", "0"),
        ("--slots", "70000"),
    ] {
        let output = hallwright(&["levels", flag, value]);
        assert_eq!(output.status.code(), Some(2), "{flag} {value}");
        assert!(stderr(&output).contains(value), "{}", stderr(&output));
    }
}
