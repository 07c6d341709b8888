//! How long a hall takes to build: in `run`, `compare` and `tune`.

use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// What a command prints as JSON, once it has ended well.
fn printed(arguments: &[&str]) -> Value {
    let output = hallwright(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// A row of hoppers of which the number can be chosen.
const ROW: &str = r#"(
    title: "Row", run_for: "20t", goods: {"barley": 64},
    parameters: {"chests": 1, "spare": false},
    ranges: {"spare": OneOf([true, false])},
    variants: {"narrow": {}, "spare": {"spare": true}},
    parts: {
        "store": Chest(),
        "hopper": Hopper(target: "store"),
        "more": DoubleChest(when: "$spare"),
    },
    goals: [LostAtMost(0)],
)"#;

fn hall(changed: &[(&str, &str)]) -> Halls {
    let halls = Halls::new();
    let mut text = ROW.to_owned();
    for (old, new) in changed {
        assert!(text.contains(old));
        text = text.replace(old, new);
    }
    halls.write("row.ron", &text);
    halls
}

#[test]
fn a_comparison_shows_hours_by_the_rate_of_the_flag() {
    let halls = hall(&[]);
    let path = halls.path("row.ron");
    let arguments = [
        "compare",
        &path,
        "--blocks-per-hour",
        "4",
        "--figure",
        "build hours",
    ];
    let found = printed(&[&arguments[..], &["--output", "json"]].concat());
    let row = &found["figures"][0];
    assert_eq!(
        (&row["figure"], &row["unit"]),
        (&"build hours".into(), &"h".into())
    );
    // Two blocks, and with a double chest four, at four an hour.
    assert_eq!(row["designs"][0]["worst"], 0.5);
    assert_eq!(row["designs"][1]["worst"], 1.0);
    let text = unwrapped(&stdout(&hallwright(&arguments)));
    assert!(text.contains("0.50 h") && text.contains("1.00 h"), "{text}");
    // Asked for without a rate, it is 600 an hour.
    let found = printed(&[
        "compare",
        &path,
        "--figure",
        "build hours",
        "--output",
        "json",
    ]);
    let hours = found["figures"][0]["designs"][1]["worst"].as_f64();
    assert_eq!(hours, Some(4.0 / 600.0));
}

#[test]
fn nothing_is_said_of_it_unless_somebody_says_how_fast() {
    let halls = hall(&[]);
    let path = halls.path("row.ron");
    let found = printed(&["run", &path, "--output", "json"]);
    assert!(found["cost"].get("build_hours").is_none());
    let found = printed(&["compare", &path, "--output", "json"]);
    let figures = found["figures"].as_array().expect("figures");
    let known = |name: &str| figures.iter().any(|row| row["figure"] == name);
    assert!(known("hoppers") && !known("build hours") && !known("time a tick"));
    let halls = hall(&[("run_for:", "blocks_per_hour: 8, run_for:")]);
    let found = printed(&["run", &halls.path("row.ron"), "--output", "json"]);
    assert_eq!(found["cost"]["build_hours"], 0.25);
    let text = unwrapped(&stdout(&hallwright(&["run", &halls.path("row.ron")])));
    assert!(
        text.contains("0.25 h to build 2 blocks at 8 an hour"),
        "{text}"
    );
}

#[test]
fn a_search_takes_what_is_built_soonest() {
    let halls = hall(&[]);
    let path = halls.path("row.ron");
    let arguments = [
        "tune",
        &path,
        "--no-cache",
        "--by",
        "build-hours",
        "--output",
        "json",
    ];
    let found = printed(&arguments);
    assert_eq!(found["by"], "build hours");
    // The second of the two has no spare chest.
    assert_eq!(found["cheapest"], 1);
    assert_eq!(found["designs"][0]["build_hours"], 4.0 / 600.0);
    assert_eq!(found["designs"][1]["build_hours"], 2.0 / 600.0);
    assert_eq!(found["undominated"], serde_json::json!([1]));
    // By hoppers, and without a word about it, both are alike and the first is taken.
    let found = printed(&["tune", &path, "--no-cache", "--output", "json"]);
    assert_eq!(found["cheapest"], 0);
    assert!(found["designs"][0].get("build_hours").is_none());
    let output = hallwright(&["tune", &path, "--no-cache", "--blocks-per-hour", "0"]);
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
}
