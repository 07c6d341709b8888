//! `hallwright calibrate`: from measured halls to weights.

use serde_json::Value;

use crate::support::{Halls, hallwright, root, stderr, stdout, unwrapped};

/// What a command prints as JSON, once it has ended well.
fn printed(arguments: &[&str]) -> Value {
    let output = hallwright(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

const HEADER: &str = "name, hopper_turns, comparator_updates, loose_stacks, ms_per_tick\n";

/// The table that comes with the scenarios.
fn measured() -> String {
    let path = root().join("scenarios/costs/measured.csv");
    path.display().to_string()
}

#[test]
fn the_halls_that_come_along_are_run_and_fitted() {
    let found = printed(&["calibrate", &measured(), "--output", "json"]);
    let halls = found["halls"].as_array().expect("halls");
    assert_eq!(halls.len(), 8);
    // The last two have their counts written, and are not run.
    let was_run: Vec<bool> = halls.iter().map(|hall| hall["was_run"] == true).collect();
    assert_eq!(was_run, [true, true, true, true, true, true, false, false]);
    // The times were made up with these weights, and some hundred nanoseconds more or less.
    let made_with = [
        ("hopper_turn_us", 0.9),
        ("comparator_update_us", 12.0),
        ("loose_stack_us", 6.0),
        ("base_us", 350.0),
    ];
    for (weight, (field, microseconds)) in found["weights"]
        .as_array()
        .expect("weights")
        .iter()
        .zip(made_with)
    {
        assert_eq!(weight["field"], field);
        let found = weight["microseconds"].as_f64().expect("a number");
        assert!(
            (found - microseconds).abs() < 0.05 * microseconds,
            "{field}: {found}"
        );
        assert_eq!(weight["why_zero"], Value::Null);
    }
    assert!(
        found["root_mean_square_ms"]
            .as_f64()
            .is_some_and(|ms| ms < 0.001)
    );
}

#[test]
fn the_line_to_paste_is_one_that_a_scenario_takes() {
    let output = hallwright(&["calibrate", &measured()]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    let line = text.lines().find(|line| line.starts_with("costs: ("));
    let line = line.expect("a line to paste");
    let halls = Halls::new();
    halls.copy(
        "first-slice.ron",
        "run_for:",
        &format!("{line}\n    run_for:"),
    );
    let hall = halls.path("first-slice.ron");
    let found = printed(&["run", &hall, "--variant", "sealed", "--output", "json"]);
    let cost = &found["cost"];
    let number = |field: &str| cost[field].as_f64().expect("a number");
    // As the weights of the line have it, from the counts of the report.
    let weight = |field: &str| -> f64 {
        let rest = line.split_once(&format!("{field}: ")).expect("a field").1;
        let text = rest.split([',', ')']).next().expect("a number");
        text.parse().expect("a number")
    };
    let microseconds = number("hopper_turns") * weight("hopper_turn_us")
        + number("comparator_updates") * weight("comparator_update_us")
        + number("loose_stack_ticks") * weight("loose_stack_us");
    let ticks = found["run_ticks"].as_f64().expect("ticks");
    let expected = microseconds / ticks / 1000.0 + weight("base_us") / 1000.0;
    let mean = number("mean_ms_per_tick");
    assert!((mean - expected).abs() < 1e-9, "{mean}, not {expected}");
    assert!(number("worst_second_ms_per_tick") >= mean);
    let text = stdout(&hallwright(&["run", &hall, "--variant", "sealed"]));
    assert!(
        unwrapped(&text).contains("ms/t in the worst second"),
        "{text}"
    );
}

#[test]
fn tables_name_what_is_wrong_with_them_and_how_to_mend_it() {
    let cases = [
        ("a, 1, 2, 3, 0.5\n", "too-few", "add a row"),
        (
            "a, 1, 2, 3, 0.5\nb, 1, 2, 3, 0.7\n",
            "all-alike",
            "halls that differ",
        ),
        (
            "a, 1, many, 3, 0.5\nb, 2, 2, 3, 0.7\n",
            "`many` is not a number",
            "such as `180`",
        ),
        (
            "a, 1, 2, 3, -0.5\nb, 2, 2, 3, 0.7\n",
            "below 0",
            "milliseconds",
        ),
        (
            "a, 1, , 3, 0.5\nb, 2, 2, 3, 0.7\n",
            "`comparator_updates` is empty",
            "0 for none",
        ),
        (
            "a, 1, 2, 3, NaN\nb, 2, 2, 3, 0.7\n",
            "`NaN` is not a number",
            "milliseconds",
        ),
    ];
    for (rows, wrong, mend) in cases {
        let halls = Halls::new();
        halls.write("measured.csv", &format!("{HEADER}{rows}"));
        let output = hallwright(&["calibrate", &halls.path("measured.csv")]);
        assert_eq!(output.status.code(), Some(2), "{rows}");
        let words = stderr(&output);
        for part in [wrong, mend, "measured.csv:2"] {
            assert!(words.contains(part), "no {part}: {words}");
        }
        assert_eq!(stdout(&output), "", "{rows}");
    }
}

#[test]
fn a_column_that_is_missing_or_not_known_is_named() {
    let halls = Halls::new();
    for (header, wrong) in [
        (
            "name, hopper_turns, ms_per_tick\na, 1, 2\nb, 2, 3\n",
            "`comparator_updates` is missing",
        ),
        (
            "name, scenario\na, b.ron\nb, c.ron\n",
            "`ms_per_tick` is missing",
        ),
        (
            "name, scenario, ms, ms_per_tick\na, b.ron, 1, 2\nb, c.ron, 1, 2\n",
            "no column `ms`",
        ),
    ] {
        halls.write("measured.csv", header);
        let output = hallwright(&["calibrate", &halls.path("measured.csv")]);
        assert_eq!(output.status.code(), Some(2));
        assert!(
            stderr(&output).contains(wrong),
            "no {wrong}: {}",
            stderr(&output)
        );
    }
}

#[test]
fn a_scenario_that_cannot_be_used_is_reported_with_its_hall() {
    let halls = Halls::new();
    halls.write(
        "measured.csv",
        "name, scenario, ms_per_tick\nmill, gone.ron, 1\nquay, gone.ron, 2\n",
    );
    let output = hallwright(&["calibrate", &halls.path("measured.csv")]);
    assert_eq!(output.status.code(), Some(2));
    let words = stderr(&output);
    for part in ["gone.ron", "mill", "quay"] {
        assert!(words.contains(part), "no {part}: {words}");
    }
}

#[test]
fn counts_that_are_written_come_before_those_of_a_run() {
    let halls = Halls::new();
    // Nothing is run: the file is not there.
    halls.write(
        "measured.csv",
        "name, scenario, hopper_turns, comparator_updates, loose_stacks, ms_per_tick\n\
         mill, gone.ron, 10, 0, 0, 1\nquay, , 20, 0, 0, 2\n",
    );
    let path = halls.path("measured.csv");
    let found = printed(&["calibrate", &path, "--output", "json"]);
    assert_eq!(found["weights"][0]["microseconds"], 100.0);
    assert_eq!(found["weights"][1]["why_zero"], "none_of_it");
    let table = stdout(&hallwright(&["calibrate", &path, "--output", "csv"]));
    let mut lines = table.lines();
    assert!(
        lines
            .next()
            .is_some_and(|line| line.starts_with("name,hopper_turns,"))
    );
    assert!(
        lines
            .next()
            .is_some_and(|line| line.starts_with("mill,10.0000,0.0000,0.0000,1.000000,1.000000,"))
    );
}

#[test]
fn costs_that_cannot_be_are_reported() {
    for (costs, wrong) in [
        ("costs: (hopper_turns_us: 1.0),", "hopper_turn_us"),
        ("costs: (base_us: -1.0),", "not from 0 to 1000000"),
        ("costs: (base_us: \"much\"),", "a number"),
        ("blocks_per_hour: 0,", "at least 1"),
        ("costs: (base_us: 1.0), rules: (work_try: 1),", "work_idle"),
    ] {
        let halls = Halls::new();
        halls.copy(
            "first-slice.ron",
            "run_for:",
            &format!("{costs}\n    run_for:"),
        );
        let output = hallwright(&["run", &halls.path("first-slice.ron")]);
        assert_eq!(output.status.code(), Some(2), "{costs}");
        assert!(
            stderr(&output).contains(wrong),
            "no {wrong}: {}",
            stderr(&output)
        );
    }
}
