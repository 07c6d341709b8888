//! Explanations as texts and for programs.

use hallwright_declared::declarations::Mark;
use hallwright_explain::{Explanation, explain};
use hallwright_render::{explain_json, explain_text};
use hallwright_report::Heading;
use serde_json::{Value, json};

use crate::support::{heading, input, scenario};

/// The explanation of a scenario's way to cleared, and the heading of its report.
fn explained(name: &str) -> (Heading, Explanation) {
    let hall = scenario(name);
    (heading(&hall), explain(&input(&hall), Mark::Cleared))
}

fn report(name: &str) -> Value {
    let (heading, found) = explained(name);
    serde_json::from_str(&explain_json(&heading, &found)).expect("it is JSON")
}

#[test]
fn the_way_of_a_stop_is_reported_wait_by_wait() {
    let report = report("../trials/line.ron");
    // The last push is in tick 96. That item leaves the first of six hoppers in tick 103 and each of the
    // others 7 ticks after it came: 3 ticks after the stop, and 5 times 7.
    assert_eq!(
        report["stop"],
        json!({
            "at_tick": 100,
            "mark": "cleared",
            "mark_ticks": 38,
            "in_the_way": [],
            "stuck": [],
            "begins_with_the_stop": false,
            "way": [{
                "from_ticks": 0,
                "wait_ticks": 38,
                "waits": 6,
                "rounds": 1,
                "cause": "cooldown",
                "first_part": "line 1",
                "last_part": "line 6",
                "section": "main line",
                "blocked_ticks": 0,
            }],
            // Of those with 7 ticks each, the first.
            "by_cause": [
                {"cause": "cooldown", "waits": 6, "wait_ticks": 38, "most_at": "line 2"},
            ],
            "by_section": [
                {"section": "main line", "wait_ticks": 38, "most_for": "cooldown"},
            ],
            "shorter": [],
        })
    );
}

#[test]
fn lives_of_what_was_lost_have_their_ticks() {
    let report = report("../explain/planted/lost_lives.ron");
    let stay = |part: &str, since: Option<u64>, ticks: u64| json!({"part": part, "since_tick": since, "stay_ticks": ticks});
    assert_eq!(report["lost_stacks"], 3);
    // As worked out in tests/explain/wrong.rs.
    assert_eq!(
        report["lost"],
        json!([
            {"kind": "wool", "at_tick": 119, "stays": [stay("landing", Some(20), 99)]},
            {"kind": "barley", "at_tick": 143, "stays": [
                stay("inbox", Some(7), 7), stay("thrower", Some(14), 30), stay("brook", Some(44), 99),
            ]},
            {"kind": "oak", "at_tick": 143, "stays": [
                stay("sling", None, 44), stay("landing", Some(44), 99),
            ]},
        ])
    );
    let (heading, found) = explained("../explain/planted/lost_lives.ron");
    let text = explain_text(&heading, &found, 80);
    let words: Vec<&str> = text.split_whitespace().collect();
    let reported = "wool at 5.95 s (119 t): landing from tick 20 for 99 t \
                barley at 7.15 s (143 t): inbox from tick 7 for 7 t, thrower from tick 14 for 30 t, \
                brook from tick 44 for 99 t \
                oak at 7.15 s (143 t): sling from the start for 44 t, landing from tick 44 for 99 t";
    assert!(words.join(" ").contains(reported), "{text}");
}

#[test]
fn what_is_wrong_in_the_dirty_hall() {
    let report = report("dirty.ron");
    assert_eq!(report["deadlocks"], json!([]));
    let ring = &report["circulations"][0];
    assert_eq!(ring["members"], json!(["ring 1", "ring 2"]));
    assert_eq!(ring["items"], 2);
    assert_eq!(report["lost_stacks"], 5);
    assert_eq!(report["misplaced_items"], 3);
    let misplaced = &report["misplaced"][0];
    assert_eq!(misplaced["kind"], "barley");
    assert_eq!(misplaced["store"], "flax store");
    assert_eq!(misplaced["own_stores"], json!(["barley store"]));
    assert_eq!(misplaced["at_tick"], 57);
    assert_eq!(
        misplaced["stays"],
        json!([
            {"part": "stray", "since_tick": 50, "stay_ticks": 7},
            {"part": "flax chest", "since_tick": 57, "stay_ticks": 0},
        ])
    );
    assert_eq!(misplaced["turn"], Value::Null);
}

#[test]
fn what_the_parts_of_a_flow_did_is_reported_part_by_part() {
    // The head is starved: an item comes now and then, and for the rest of the time there is none.
    let name = "../explain/planted/starved_feeder.ron";
    let (_, found) = explained(name);
    let flow = &report(name)["flows"][0];
    assert_eq!(flow["bottleneck"], "head");
    assert_eq!(flow["bottleneck_was"], "starved");
    assert_eq!(flow["watched_ticks"], found.flows[0].ticks);
    let parts = flow["parts"].as_array().expect("a list");
    assert_eq!(parts.len(), found.flows[0].parts.len());
    for (row, part) in parts.iter().zip(&found.flows[0].parts) {
        assert_eq!(row["part"], part.part.as_str());
        assert_eq!(row["items"], part.items);
        assert_eq!(row["busy_ticks"], part.busy.part);
        assert_eq!(row["starved_ticks"], part.starved.part);
        assert_eq!(row["blocked_ticks"], part.blocked.part);
        assert_eq!(row["locked_ticks"], part.locked.part);
    }
    let head = parts
        .iter()
        .find(|row| row["part"] == "head")
        .expect("it is there");
    assert!(
        head["starved_ticks"].as_u64() > head["busy_ticks"].as_u64(),
        "{head}"
    );
}
