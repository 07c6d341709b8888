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
const FILES: [&str; 7] = [
    "scenario.ron",
    "allocation.csv",
    "arrivals.csv",
    "stock.csv",
    "modules.ron",
    "report.txt",
    "report.json",
];

/// Plans the hall of `goods.csv`, with a few stops tried.
fn plan(halls: &Halls, more: &[&str]) -> Output {
    let catalogue = halls.path("goods.csv");
    let mut flags = vec!["plan", catalogue.as_str()];
    if !more.contains(&"--stops") {
        flags.extend(["--stops", "3"]);
    }
    flags.extend(more);
    hallwright(&flags)
}

/// What the report for programs says of these goods in this hall, and how the command ended.
fn proof_of(goods: &str, hall: Option<&str>, more: &[&str]) -> (Option<i32>, serde_json::Value) {
    let halls = Halls::new();
    halls.write("goods.csv", goods);
    let path = halls.path("hall.ron");
    let mut flags = vec!["--output", "json"];
    if let Some(hall) = hall {
        halls.write("hall.ron", hall);
        flags.extend(["--hall", &path]);
    }
    let output = plan(&halls, &[&flags, more].concat());
    let report: serde_json::Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", stderr(&output)));
    (output.status.code(), report["proof"].clone())
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
    // Seven goals for the whole hall, and one for its stop.
    let reported = unwrapped(&stdout(&output));
    for variant in [
        "one stack of every kind: 8 goals in 64 runs",
        "an hour of its inflows: 7 goals in 8 runs",
        "the whole stock: 7 goals in 8 runs",
        "a stop under full load: 8 goals in 64 runs",
    ] {
        assert!(reported.contains(variant), "{variant} in {reported}");
    }
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

/// `.ci/long` plans the granary with its runs, `.ci/run` checks it.
#[test]
fn the_halls_in_the_repository_are_as_the_command_plans_them() {
    let catalogue = "scenarios/plan/mill-catalogue.csv";
    let output = hallwright(&["plan", catalogue]);
    // It refuses if anything there differs from what it would write.
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let report = std::fs::read_to_string(root().join("scenarios/plan/mill-catalogue/report.txt"));
    assert_eq!(stdout(&output), report.expect("it is there"));

    let halls = Halls::new();
    let catalogue = "scenarios/plan/granary-catalogue.csv";
    let there = format!("hall={}", halls.path("granary"));
    let output = hallwright(&["plan", catalogue, "--no-proof", "--output", &there]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    for file in FILES.into_iter().filter(|file| !file.starts_with("report")) {
        let known = root().join("scenarios/plan/granary-catalogue").join(file);
        let known = std::fs::read_to_string(known).expect("it is there");
        assert_eq!(halls.read(&format!("granary/{file}")), known, "{file}");
    }
}

#[test]
fn a_plan_says_what_came_of_it_beside_what_was_promised() {
    let (code, proof) = proof_of(GOODS, None, &[]);
    assert_eq!(code, Some(0));
    assert_eq!(proof["is_kept"], true);
    let haul = |name: &str| -> serde_json::Value {
        let hauls = proof["hauls"].as_array().expect("there are hauls");
        let own = hauls.iter().find(|haul| haul["variant"] == name);
        own.expect("it was run").clone()
    };
    // Six stacks of 64, one of 16, and one mallet.
    let stacks = haul("one stack of every kind");
    assert_eq!(
        (&stacks["sent_items"], &stacks["home_items"]),
        (&401.into(), &401.into())
    );
    // All amounts together, and what comes in within an hour.
    assert_eq!(haul("the whole stock")["home_items"], 14_344);
    assert_eq!(haul("an hour of its inflows")["sent_items"], 597);
    let stops = &proof["stops"];
    assert_eq!(
        (
            &stops["stop_ticks"],
            &stops["orders"],
            &stops["runs"],
            &stops["landed_runs"]
        ),
        (&3.into(), &8.into(), &24.into(), &24.into())
    );
    let ticks = |name: &str| stops[name].as_u64().expect("it is known");
    assert!(ticks("worst_ticks") <= ticks("promised_ticks"));
    assert!(ticks("promised_ticks") <= ticks("wished_ticks"));
    // Two bulk slices of 189 slots.
    assert_eq!(proof["room"][0]["planned_stacks"], 378);
    assert_eq!(proof["room"][0]["built_stacks"], 378);
}

/// So many kinds that stack to 64.
fn kinds(count: u64) -> String {
    let rows = (1..=count).map(|number| format!("ware {number}, 64, {}, {number}\n", 40 * number));
    let rows: String = rows.collect();
    format!("name, stack_limit, amount, inflow_per_hour\n{rows}")
}

#[test]
fn small_halls_keep_their_promises_whatever_the_stop() {
    for count in [1, 2, 3, 4, 10] {
        let (code, proof) = proof_of(&kinds(count), None, &["--stops", "60"]);
        assert_eq!(code, Some(0), "{count} kinds: {proof}");
        assert_eq!(proof["stops"]["landed_runs"], 60 * 8, "{count} kinds");
    }
    // Nothing but what no filter can recognise, and nothing comes in.
    let oddments = "name, stack_limit, amount, inflow_per_hour\nmallet, 1, 6, 0\nadze, 1, 9, 0\n";
    let (code, proof) = proof_of(oddments, None, &["--stops", "60"]);
    assert_eq!(code, Some(0), "{proof}");
    let hauls = proof["hauls"].as_array().map(Vec::len);
    assert_eq!(hauls, Some(2), "there is no hour of nothing");
}

#[test]
fn halls_with_boxes_keep_their_promises_with_loose_goods_and_without() {
    let hall = |more: &str| format!("(stop_within: \"30s\", boxes: (levels: 2), {more})");
    let boxed = "name, stack_limit, amount, inflow_per_hour, family, wish\nbarley, 64, 50000, 900, , bulk\n";
    // Two columns of one kind, and of another that does not fill one.
    let more = format!("{boxed}cider, 16, 900, 20, , bulk\n");
    for goods in [boxed, &more] {
        let (code, proof) = proof_of(goods, Some(&hall("")), &["--stops", "40"]);
        assert_eq!(code, Some(0), "{proof}");
        assert_eq!(proof["stops"]["landed_runs"], 40 * 8, "{proof}");
    }
    let loose = format!("{boxed}ham, 16, 320, 46, , multi\n");
    let multi = hall("multi: (width_blocks: 6, slots: 54, kinds: 6)");
    let (code, proof) = proof_of(&loose, Some(&multi), &["--stops", "40"]);
    assert_eq!(code, Some(0), "{proof}");
}

#[test]
fn more_boxes_than_a_wing_has_room_for_are_an_error() {
    let halls = Halls::new();
    // 888 columns for each of four kinds.
    let mut goods = "name, stack_limit, amount, inflow_per_hour, wish\n".to_owned();
    for kind in ["barley", "wheat", "rye", "oat"] {
        goods += &format!("{kind}, 64, 230000000, 9, bulk\n");
    }
    halls.write("goods.csv", &goods);
    halls.write("hall.ron", "(stop_within: \"30s\", boxes: (levels: 2))");
    let output = plan(&halls, &["--hall", &halls.path("hall.ron")]);
    let reported = unwrapped(&stderr(&output));
    assert_eq!(output.status.code(), Some(2), "{reported}");
    assert!(reported.contains("a wing has 3000 at most"), "{reported}");
}

#[test]
fn as_much_comes_in_as_the_line_carries_and_more_than_has_room() {
    let goods = "name, stack_limit, amount, inflow_per_hour\n\
        barley, 64, 6000, 7800\nham, 16, 3, 500\nmallet, 1, 2, 700\n";
    let (code, proof) = proof_of(goods, None, &[]);
    assert_eq!(code, Some(0), "{proof}");
    let hour = &proof["hauls"][1];
    assert_eq!(hour["variant"], "an hour of its inflows");
    assert_eq!(hour["home_items"], hour["sent_items"]);
    assert!(hour["sent_items"].as_u64() <= Some(9000), "{hour}");
}

#[test]
fn a_broken_promise_turns_the_plan_red_and_the_files_are_there_to_look_at() {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    // No slice stops in two seconds.
    halls.write(
        "hall.ron",
        "(stop_within: \"2s\",
          bulk: (width_blocks: 1, slots: 189, kinds: 1),
          multi: (width_blocks: 6, slots: 54, kinds: 6),
          oddments: (width_blocks: 5, slots: 108, kinds: 24))",
    );
    let hall = halls.path("hall.ron");
    let output = plan(&halls, &["--hall", &hall]);
    let reported = unwrapped(&stderr(&output));
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert!(
        reported.contains("broken promise: safe to close within the 40 t that are wished"),
        "{reported}"
    );
    assert!(reported.contains("for you to look at"), "{reported}");
    assert!(!reported.contains("check it with"), "{reported}");
    for file in FILES {
        assert!(!halls.read(&format!("goods/{file}")).is_empty(), "{file}");
    }
    assert!(
        halls
            .read("goods/report.txt")
            .contains("broken: safe to close")
    );
    // What the report says of the worst stop is what a run with that stop finds.
    let report: serde_json::Value =
        serde_json::from_str(&halls.read("goods/report.json")).expect("it is JSON");
    let stops = &report["proof"]["stops"];
    let flags = stops["worst_flags"].as_str().expect("it is a text");
    let flags = flags.replace("'a stop under full load'", "a_stop_under_full_load");
    let flags: Vec<String> = flags
        .split(' ')
        .map(|flag| flag.replace("a_stop_under_full_load", "a stop under full load"))
        .collect();
    let scenario = halls.path("goods/scenario.ron");
    let mut command = vec![scenario.as_str()];
    command.extend(flags.iter().map(String::as_str));
    let again = findings(&command, 1);
    assert_eq!(
        again["stops"][0]["stop_safe_to_close_ticks"],
        stops["worst_ticks"]
    );
}

#[test]
fn without_a_proof_the_report_says_that_nothing_was_run() {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let catalogue = halls.path("goods.csv");
    let output = hallwright(&["plan", &catalogue, "--no-proof", "--output", "text"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        stdout(&output).contains("nothing was run"),
        "{}",
        stdout(&output)
    );
    let output = hallwright(&["plan", &catalogue, "--no-proof", "--stops", "9"]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn goods_are_moved_in_the_allocation_alone_and_a_spoilt_filter_turns_the_check_red() {
    let halls = planned();
    let allocation = halls.read("goods/allocation.csv");
    let swapped = allocation
        .replace("barley", "(the other)")
        .replace("rye", "barley")
        .replace("(the other)", "rye");
    assert_ne!(swapped, allocation);
    halls.write("goods/allocation.csv", &swapped);
    let quick = ["--shuffles", "0", "--variant", "one stack of every kind"];
    let check = |halls: &Halls| {
        let scenario = halls.path("goods/scenario.ron");
        hallwright(&[&["check", scenario.as_str()], &quick[..]].concat())
    };
    let output = check(&halls);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    // Four items more in each sieve, and it is open from the start.
    let modules = halls.read("goods/modules.ron");
    let spoilt = modules.replace("10, 41)", "10, 45)");
    assert_ne!(spoilt, modules);
    halls.write("goods/modules.ron", &spoilt);
    let output = check(&halls);
    assert_eq!(output.status.code(), Some(1), "{}", stdout(&output));
    let reported = unwrapped(&stdout(&output));
    assert!(reported.contains("sieves not intact"), "{reported}");
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
    let output = hallwright(&[
        "compare",
        &designs[0],
        &designs[1],
        "--shuffles",
        "0",
        "--variant",
        "one stack of every kind",
    ]);
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
    assert_eq!(report["schema_version"], 3);
    assert_eq!(report["kinds"], 8);
    assert_eq!(report["flow"]["line_thousandths_per_hour"], 9_000_000);
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
