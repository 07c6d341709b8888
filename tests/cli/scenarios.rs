//! The scenarios that users copy from: what they are there to show.

use serde_json::Value;

use crate::support::{findings, hallwright, stderr, stdout};

/// Every scenario with its variants.
const SCENARIOS: [(&str, &[&str]); 4] = [
    ("scenarios/first-slice.ron", &["sealed", "leaky"]),
    (
        "scenarios/multi-item-line.ron",
        &["one line", "five sections", "midway returns"],
    ),
    (
        "scenarios/bulk-slice.ron",
        &["gate watched", "one level lower"],
    ),
    (
        "scenarios/leaving.ron",
        &["lamp of the line", "lamp of the gate"],
    ),
];

#[test]
fn every_scenario_meets_its_goals_and_both_engines_agree_on_it() {
    for (scenario, variants) in SCENARIOS {
        for variant in variants {
            let output = hallwright(&["run", scenario, "--variant", variant, "--verify"]);
            assert_eq!(
                output.status.code(),
                Some(0),
                "{scenario}, {variant}: {}",
                stderr(&output)
            );
            assert!(stderr(&output).contains("verified"), "{}", stderr(&output));
            assert!(stdout(&output).contains("\nverified: both engines agree"));
        }
    }
}

#[test]
fn every_scenario_meets_its_goals_in_other_orders() {
    for (scenario, variants) in SCENARIOS {
        for variant in variants {
            for (update, signal) in [
                ("reversed", "declared"),
                ("declared", "reversed"),
                ("shuffled:1", "shuffled:2"),
            ] {
                let orders = ["--order", update, "--signal-order", signal];
                let flags = [&[scenario, "--variant", *variant], &orders[..]].concat();
                findings(&flags, 0);
            }
        }
    }
}

fn variant(scenario: &str, variant: &str) -> Value {
    findings(&[scenario, "--variant", variant], 0)
}

/// The final contents of a store, in items.
fn stored(report: &Value, store: &str) -> u64 {
    let stores = report["sorting"]["stores"]
        .as_array()
        .expect("stores are reported");
    let found = stores.iter().find(|found| found["name"] == store);
    found
        .and_then(|found| found["final_items"].as_u64())
        .unwrap_or_else(|| panic!("{store}"))
}

#[test]
fn filters_and_selectors_put_the_same_into_the_same_stores() {
    let report = variant("scenarios/first-slice.ron", "sealed");
    // There from the start: 64 barley, 1,600 flax, 64 wool. Sent in: 104 barley, 640 flax, 94 wool. A
    // store has 27 slots and its hopper 5, so 32 x 64 = 2,048 flax fit.
    for (kind, items) in [("barley", 168), ("flax", 2048), ("wool", 158)] {
        assert_eq!(stored(&report, &format!("{kind} filter.store")), items);
        assert_eq!(stored(&report, &format!("{kind} eye.store")), items);
    }
    assert_eq!(report["sorting"]["misplaced_items"], 0);
    assert_eq!(report["sorting"]["sieves_intact"], true);
}

#[test]
fn a_leaky_filter_that_backs_up_breaks_its_neighbours() {
    let report = variant("scenarios/first-slice.ron", "leaky");
    assert_eq!(report["sorting"]["sieves_intact"], false);
    assert!(
        report["sorting"]["misplaced_items"]
            .as_u64()
            .expect("reported")
            > 0
    );
    let sieves = report["sorting"]["sieves"]
        .as_array()
        .expect("sieves are reported");
    let broken: Vec<&Value> = sieves
        .iter()
        .filter(|sieve| sieve["intact"] == false)
        .map(|sieve| &sieve["part"])
        .collect();
    assert_eq!(broken, ["barley filter.sieve", "wool filter.sieve"]);
}

/// Ticks from the stop of the line to a mark.
fn stop_ticks(report: &Value, mark: &str) -> u64 {
    report["stops"][0][mark]
        .as_u64()
        .unwrap_or_else(|| panic!("{mark}: {}", report["stops"]))
}

/// By the rules it is 7 ticks a hopper: 1,680 ticks for the 240 of one line, 168 for the 24 of half a
/// section, and a few for the locks, the lifts and the last turns.
#[test]
fn midway_returns_in_five_sections_clear_a_line_ten_times_as_fast() {
    let report = |name| variant("scenarios/multi-item-line.ron", name);
    let (one_line, returns) = (report("one line"), report("midway returns"));
    let long = stop_ticks(&one_line, "stop_cleared_ticks");
    let short = stop_ticks(&returns, "stop_cleared_ticks");
    assert!(
        (1680..1680 + 16).contains(&long),
        "cleared after {long} ticks"
    );
    assert!(
        (168 - 8..168 + 16).contains(&short),
        "cleared after {short} ticks"
    );
    // Ten times as fast, give or take 15 %: a few ticks weigh more in a short time.
    assert!(
        (85..=115).contains(&(long * 10 / short)),
        "{long} against {short} ticks"
    );
    let quiet = stop_ticks(&returns, "stop_quiet_ticks");
    println!("cleared after {long} and {short} ticks; quiet, return streams included: {quiet}");
    // What the returns throw onto the streams at the last takes 346 ticks over 24 blocks.
    assert!(quiet >= short + 346 - 16, "quiet after {quiet} ticks");
}

/// The first rise of a lamp: how many boxes the parts it watches held.
fn boxes_at_rise(report: &Value, lamp: &str) -> u64 {
    let lamps = report["lamps"].as_array().expect("lamps are reported");
    let lamp = lamps
        .iter()
        .find(|found| found["name"] == lamp)
        .expect("the lamp is reported");
    let first = &lamp["changes"][0];
    assert_eq!(first["rose"], true, "{lamp}");
    first["watched_items"]
        .as_u64()
        .unwrap_or_else(|| panic!("{lamp}"))
}

#[test]
fn a_lamp_rises_at_the_box_that_the_geometry_gives() {
    // Below the gate: 3 double chests of 54 and a barrel of 27, 4 hoppers of 5, a dropper of 9. One
    // level lower, a double chest and a hopper fewer.
    let below_gate = 3 * (54 + 5) + (27 + 5) + 9;
    for (name, boxes) in [
        ("gate watched", below_gate),
        ("one level lower", below_gate - 59),
    ] {
        let report = variant("scenarios/bulk-slice.ron", name);
        assert_eq!(boxes_at_rise(&report, "slice[0].full"), boxes + 1);
        assert_eq!(boxes_at_rise(&report, "slice[1].full"), boxes + 1);
    }
}
