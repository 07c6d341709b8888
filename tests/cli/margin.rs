//! `--margin`: how much slower selectors and shuttles may be, with borders worked out by hand.

use serde_json::{Value, json};

use crate::support::{Halls, hallwright, stderr, stdout};

/// A hopper hands on slate from tick 8 on, every 8 ticks at most. The eye hands on the first in tick 8, and the
/// item number k at an interval of i in tick 8 + (k - 1) i, or a tick later where it takes its turn first. It
/// runs for ticks 0 to 199.
const SLATE: &str = r#"(
    title: "Slate",
    run_for: "10s",
    goods: {"slate": 64},
    parts: {
        "source": Chest(holds: [(kind: "slate", count: 64)]),
        "head": Hopper(above: "source", target: "eye"),
        "eye": Selector(takes: Kinds(["slate"]), match: "store", rest: "other", interval: "8t", latency: "0t"),
        "store": Chest(),
        "other": Chest(),
    },
    stores: {"slate": (parts: "store", takes: "slate")},
    GOALS
)"#;

/// Two rows as in [`SLATE`], and a shuttle that carries nothing.
const ROWS: &str = r#"(
    title: "Rows",
    run_for: "10s",
    goods: {"slate": 64},
    modules: {
        "line": (parts: {
            "source": Chest(holds: [(kind: "slate", count: 64)]),
            "head": Hopper(above: "source", target: "eye"),
            "eye": Selector(takes: Kinds(["slate"]), match: "store", rest: "other", interval: "8t", latency: "0t"),
            "store": Chest(),
            "other": Chest(),
        }),
    },
    parts: {
        "north": Dock,
        "south": Dock,
        "barge": Shuttle(stops: [(dock: "north", travel: "10t", dwell: "0t"), (dock: "south", travel: "30t", dwell: "0t")]),
    },
    uses: {"row": Row(module: "line", count: 2)},
    stores: {"slate": (parts: "row[*].store", takes: "slate")},
    goals: [Contents(parts: ["row[1].store"], kinds: ["slate"], at_least: 17)],
)"#;

/// One slate passes two eyes: it is in the first from tick 8 on, and home in tick 8 + 8 + 8. It runs for ticks
/// 0 to 39.
const SERIES: &str = r#"(
    title: "Series",
    run_for: "2s",
    goods: {"slate": 64},
    parts: {
        "source": Chest(holds: [(kind: "slate", count: 1)]),
        "head": Hopper(above: "source", target: "near"),
        "near": Selector(takes: Kinds(["slate"]), match: "far", rest: "other", interval: "8t", latency: "8t"),
        "far": Selector(takes: Kinds(["slate"]), match: "store", rest: "other", interval: "8t", latency: "8t"),
        "store": Chest(),
        "other": Chest(),
    },
    stores: {"slate": (parts: "store", takes: "slate")},
    goals: [Contents(parts: ["store"], kinds: ["slate"], at_least: 1)],
)"#;

/// What a check prints of a hall, in this format.
fn checked(text: &str, format: &str, exit_code: i32) -> String {
    let halls = Halls::new();
    halls.write("hall.ron", text);
    let output = hallwright(&[
        "check",
        &halls.path("hall.ron"),
        "--margin",
        "--output",
        format,
    ]);
    let (told, said) = (stdout(&output), stderr(&output));
    assert_eq!(output.status.code(), Some(exit_code), "{said}{told}");
    told
}

fn margin(text: &str, exit_code: i32) -> Value {
    let report: Value =
        serde_json::from_str(&checked(text, "json", exit_code)).expect("it is JSON");
    report["scenarios"][0]["margin"].clone()
}

/// For each group its name, what is slower, how it is now, up to which ticks it is ok, and the first missed.
fn borders(margin: &Value) -> Value {
    let groups = margin["groups"].as_array().expect("a list");
    let fields = |group: &Value| {
        [
            "name",
            "what",
            "now_ticks",
            "ok_up_to_ticks",
            "first_missed_at_ticks",
        ]
        .map(|field| group[field].clone())
    };
    json!(groups.iter().map(fields).collect::<Vec<_>>())
}

fn slate(goals: &str) -> String {
    SLATE.replace("GOALS", goals)
}

const SEVENTEEN: &str = "goals: [Contents(parts: [\"store\"], kinds: [\"slate\"], at_least: 17)],";

#[test]
fn a_selector_may_be_as_slow_as_its_goal_allows() {
    let margin = margin(&slate(SEVENTEEN), 0);
    // The 17th comes in tick 8 + 16 i: at 11 in tick 184, at 12 in tick 200, which is past the end. The head acts
    // in every 8th tick, for it draws slate in whenever it hands none on. At a latency of 7 the eye is empty by then,
    // and the 17th is home in tick 8 * 17 + 7 = 143; at 8 it is full in every other one of these, and the 17th is home
    // in tick 16 * 17 = 272.
    assert_eq!(
        borders(&margin),
        json!([["eye", "interval", 8, 11, 12], ["eye", "latency", 0, 7, 8]])
    );
    let interval = &margin["groups"][0];
    assert_eq!(
        interval["missed"]["subjects"].as_array().map(Vec::len),
        Some(1),
        "{interval}"
    );
    assert_eq!(interval["ok_again_at_ticks"], json!([]));
    let tried = interval["tried"].as_array().expect("a list");
    let tried: Vec<u64> = tried
        .iter()
        .filter_map(|tried| tried["ticks"].as_u64())
        .collect();
    assert_eq!(tried, [9, 10, 11, 12, 16]);
    assert_eq!(margin["runs"], 8);
}

#[test]
fn it_is_told_in_words() {
    let told = checked(&slate(SEVENTEEN), "text", 0);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("eye: 8 t between items now; ok up to 11 t; first missed at 12 t: "),
        "{told}"
    );
    assert!(told.contains("tried: 9, 10, 11, 12, 16 t"), "{told}");
    assert!(told.contains("confirmed in 8 runs"), "{told}");
}

#[test]
fn those_alike_are_slower_together_and_nothing_is_tried_beyond_sixteen_times() {
    let margin = margin(ROWS, 0);
    // What moves nothing may be slower without end; of 0 ticks at two docks, two are doubled.
    assert_eq!(
        borders(&margin),
        json!([
            ["barge", "travel", 40, 640, null],
            ["barge", "dwell", 0, 32, null],
            ["row[*].eye", "interval", 8, 11, 12],
            ["row[*].eye", "latency", 0, 7, 8],
        ])
    );
    assert_eq!(
        margin["groups"][2]["parts"],
        json!(["row[0].eye", "row[1].eye"])
    );
    let told = checked(ROWS, "text", 0);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("row[*].eye (2 alike, slower together): 8 t"),
        "{told}"
    );
    assert!(told.contains("ok up to 640 t, not tried beyond"), "{told}");
}

#[test]
fn what_each_may_be_by_itself_may_be_too_slow_together() {
    let margin = margin(SERIES, 0);
    // Home in tick 8 + near + far, at most 39: each may be 23 by itself, but not both. One item needs no interval.
    assert_eq!(
        borders(&margin),
        json!([
            ["near", "interval", 8, 128, null],
            ["near", "latency", 8, 23, 24],
            ["far", "interval", 8, 128, null],
            ["far", "latency", 8, 23, 24],
        ])
    );
    assert_eq!(margin["together"]["is_ok"], false, "{}", margin["together"]);
}

#[test]
fn a_goal_that_is_met_because_nothing_comes_does_not_hide_it() {
    let margin = margin(&slate(""), 0);
    let interval = &margin["groups"][0];
    assert_eq!(interval["first_missed_at_ticks"], Value::Null);
    // Of the values tried 12 is the least: item k comes in tick 8 + 12 (k - 1), up to 199; now in 8 + 8 (k - 1).
    assert_eq!(
        interval["less_done"],
        json!({"from_ticks": 12, "flow": null, "items": 16, "items_now": 24})
    );
}

#[test]
fn where_the_present_pace_is_too_slow_that_is_said() {
    let text = slate("goals: [Contents(parts: [\"store\"], kinds: [\"slate\"], at_least: 30)],");
    let margin = margin(&text, 1);
    assert_eq!(margin["missed_now"].as_array().map(Vec::len), Some(1));
    assert_eq!(margin["groups"], json!([]));
    assert!(checked(&text, "text", 1).contains("no margin: at the present pace"));
}

#[test]
fn where_nothing_is_taken_at_its_word_that_is_said() {
    let text = slate("").replace("target: \"eye\"", "target: \"store\"");
    let eye = text.lines().filter(|line| !line.contains("Selector"));
    let text: String = eye.collect::<Vec<_>>().join("\n");
    assert_eq!(margin(&text, 0)["groups"], json!([]));
    let told = checked(&text, "text", 0);
    assert!(
        told.contains("no margin: nothing here is taken at its word"),
        "{told}"
    );
}

#[test]
fn it_is_looked_for_only_where_it_is_asked_for() {
    let halls = Halls::new();
    halls.write("hall.ron", &slate(""));
    let output = hallwright(&["check", &halls.path("hall.ron"), "--output", "json"]);
    assert!(!stdout(&output).contains("\"margin\""));
}
