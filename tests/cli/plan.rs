//! `hallwright plan`: what it writes holds as it is, and nothing is lost.

use std::process::Output;

use crate::support::{Halls, findings, hallwright, root, stderr, stdout, unwrapped};

/// A few goods of every sort.
const GOODS: &str = "name, stack_limit, amount, inflow_per_hour, family, wish\n\
    barley, 64, 9000, 400, grain, automatic\n\
    rye, 64, 4000, 150, grain, automatic\n\
    emmer, 64, 300, 9, grain, automatic\n\
    oak lath, 64, 400, 12, timber, automatic\n\
    ash lath, 64, 350, 7, timber, automatic\n\
    elm lath, 64, 200, 6, timber, automatic\n\
    ham, 16, 90, 11, , automatic\n\
    mallet, 1, 4, 1, , automatic\n";

/// The files of a planned hall.
const FILES: [&str; 6] = [
    "scenario.ron",
    "allocation.csv",
    "arrivals.csv",
    "modules.ron",
    "report.txt",
    "report.json",
];

fn plan(halls: &Halls, more: &[&str]) -> Output {
    let catalogue = halls.path("goods.csv");
    hallwright(&[&["plan", catalogue.as_str()], more].concat())
}

/// A folder with a few goods, and their hall in `goods/`.
fn planned() -> Halls {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let output = plan(&halls, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    halls
}

#[test]
fn a_planned_hall_passes_its_check_as_it_is() {
    let halls = planned();
    for file in FILES {
        assert!(!halls.read(&format!("goods/{file}")).is_empty(), "{file}");
    }
    let output = hallwright(&["check", halls.folder()]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    // A goal for each of the eight kinds, and six for the whole hall.
    assert!(
        stdout(&output).contains("14 goals in 64 runs; 6 judged anyway"),
        "{}",
        stdout(&output)
    );
    assert!(stderr(&output).is_empty(), "{}", stderr(&output));
    // Both engines agree on it, and one file holds all of it.
    let scenario = halls.path("goods/scenario.ron");
    let bundle = halls.path("bundle.ron");
    let output = hallwright(&[
        "run",
        &scenario,
        "--verify",
        "--output",
        &format!("bundle={bundle}"),
    ]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert_eq!(
        findings(&[&bundle], 0)["goals"],
        findings(&[&scenario], 0)["goals"]
    );
}

#[test]
fn the_granary_is_planned_in_the_repository_as_the_command_plans_it() {
    let catalogue = "scenarios/plan/granary-catalogue.csv";
    let output = hallwright(&["plan", catalogue]);
    // It refuses if anything there differs from what it would write.
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let report =
        std::fs::read_to_string(root().join("scenarios/plan/granary-catalogue/report.txt"));
    assert_eq!(stdout(&output), report.expect("it is there"));
}

#[test]
fn the_planned_granary_meets_its_goals() {
    let scenario = "scenarios/plan/granary-catalogue/scenario.ron";
    // `.ci/run` checks it in all orders.
    let output = hallwright(&["check", scenario, "--shuffles", "0"]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
}

#[test]
fn two_goods_swapped_turn_the_check_red() {
    let halls = planned();
    let allocation = halls.read("goods/allocation.csv");
    let swapped = allocation
        .replace("barley", "(the other)")
        .replace("rye", "barley")
        .replace("(the other)", "rye");
    assert_ne!(swapped, allocation);
    halls.write("goods/allocation.csv", &swapped);
    let output = hallwright(&["check", halls.folder(), "--shuffles", "0"]);
    assert_eq!(output.status.code(), Some(1), "{}", stdout(&output));
    let reported = unwrapped(&stdout(&output));
    assert!(
        reported.contains("barley in bulk 1[0]") && reported.contains("rye in bulk 1[1]"),
        "{reported}"
    );
}

#[test]
fn planned_twice_it_is_the_same_byte_for_byte() {
    let halls = planned();
    let elsewhere = halls.path("again");
    let there = format!("hall={elsewhere}");
    let asked = ["--output", "text", "--output", &there];
    let (first, second) = (plan(&halls, &[]), plan(&halls, &asked));
    assert_eq!(stdout(&first), stdout(&second));
    for file in FILES {
        let (one, other) = (format!("goods/{file}"), format!("again/{file}"));
        assert_eq!(halls.read(&one), halls.read(&other), "{file}");
    }
}

#[test]
fn two_planned_halls_can_be_compared() {
    let halls = planned();
    let hall = "scenarios/plan/one-sided-hall.ron";
    let other = halls.path("one-sided");
    let output = plan(
        &halls,
        &["--hall", hall, "--output", &format!("hall={other}")],
    );
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let designs =
        ["goods", "one-sided"].map(|folder| halls.path(&format!("{folder}/scenario.ron")));
    let output = hallwright(&["compare", &designs[0], &designs[1], "--shuffles", "0"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        stdout(&output)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("goals missed 0 goals"),
        "{}",
        stdout(&output)
    );
}

#[test]
fn what_somebody_has_gone_on_with_is_not_lost() {
    let halls = planned();
    let edited = halls
        .read("goods/scenario.ron")
        .replace("Hall for goods", "Our hall");
    halls.write("goods/scenario.ron", &edited);
    halls.write(
        "goods.csv",
        &GOODS.replace("barley, 64, 9000", "barley, 64, 9100"),
    );
    let report = halls.read("goods/report.txt");
    let output = plan(&halls, &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("--force"), "{}", stderr(&output));
    assert!(stdout(&output).is_empty());
    // Nothing at all is written, not even what nobody has touched.
    assert_eq!(halls.read("goods/scenario.ron"), edited);
    assert_eq!(halls.read("goods/report.txt"), report);
    let output = plan(&halls, &["--force"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(halls.read("goods/scenario.ron").contains("Hall for goods"));
}

#[test]
fn mistakes_in_all_files_are_reported_at_once_with_their_places() {
    let halls = Halls::new();
    halls.write(
        "goods.csv",
        "name, stack_limit, amount, inflow_per_hour\nbarley, 63, 1, 1\nrye, 64, x, 1\n",
    );
    halls.write(
        "hall.ron",
        "(sides: 4, multi: (width_blocks: 4, slots: 54, kinds: 4))",
    );
    halls.write("costs.csv", "part, material, count\nhopper, copper, much\n");
    let (hall, costs) = (halls.path("hall.ron"), halls.path("costs.csv"));
    let output = plan(&halls, &["--hall", &hall, "--costs", &costs]);
    assert_eq!(output.status.code(), Some(2));
    let reported = stderr(&output);
    for place in [
        "goods.csv:2:9",
        "goods.csv:3:10",
        "hall.ron:1:9",
        "costs.csv:2:17",
    ] {
        assert!(reported.contains(place), "{place} in {reported}");
    }
    assert!(!std::path::Path::new(&halls.path("goods")).exists());
}

#[test]
fn only_what_is_named_is_written() {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let output = plan(&halls, &["--output", "text"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(!stdout(&output).is_empty());
    assert!(!std::path::Path::new(&halls.path("goods")).exists());
    let output = plan(&halls, &["--output", "hall=-"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("hall=FOLDER"),
        "{}",
        stderr(&output)
    );
}

#[test]
fn the_report_for_programs_has_units_in_its_names() {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let costs = "scenarios/plan/costs.csv";
    let output = plan(
        &halls,
        &["--output", "json", "--output", "hall", "--costs", costs],
    );
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    assert_eq!(report["schema_version"], 2);
    assert_eq!(report["kinds"], 8);
    // Slices of 1, 3 and 5 blocks line up again after 15.
    assert_eq!(report["tile_blocks"], 15);
    assert_eq!(report["stop_wished_ticks"], 600);
    // 9000 items are 141 stacks: of 27 in half a multi-item slice, far too many.
    assert_eq!(report["allocation"][0]["kinds"][0], "barley");
    assert_eq!(report["allocation"][0]["used_stacks"], 141);
    assert!(report["materials"]["counts"]["brass strip"].as_u64() > Some(0));
    assert_eq!(report["materials"]["without_costs"], serde_json::json!([]));
    let written: serde_json::Value =
        serde_json::from_str(&halls.read("goods/report.json")).expect("it is JSON");
    assert_eq!(written, report);
}
