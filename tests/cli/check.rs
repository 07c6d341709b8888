//! `hallwright check`: what is run, the exit codes, and that they never say yes too easily.

use std::process::Output;

use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// A hopper moves its first item 7 ticks after it came and then one every 8: in ticks 7, 15, 23, 31
/// and 39. All 5 are in the store after 2 s.
const SMALL: &str = r#"(
    title: "Small hall",
    run_for: "2s",
    goods: {"barley": 64},
    parts: {
        "head": Hopper(target: "store"),
        "store": Chest(),
    },
    arrivals: {"haul": AllAtOnce(place: "head", kind: "barley", count: 5)},
    stores: {"barley": (parts: "store", takes: "barley")},
    goals: [
        MisplacedAtMost(0),
        Contents(parts: "store", at_least: 5),
    ],
)
"#;

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ends by itself")
}

/// Checks a folder with some flags and reads the JSON.
fn checked(halls: &Halls, flags: &[&str]) -> Value {
    let arguments = [&["check", halls.folder(), "--output", "json=-"], flags].concat();
    let output = hallwright(&arguments);
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", stderr(&output)))
}

#[test]
fn our_own_scenarios_hold() {
    // The small ones; `.ci/run` checks the whole halls too, and in all orders, with a faster build.
    let output = hallwright(&[
        "check",
        "scenarios/first-slice.ron",
        "scenarios/bulk-slice.ron",
        "scenarios/granary/hatch.ron",
        "scenarios/granary/line.ron",
        "--shuffles",
        "0",
    ]);
    assert_eq!(code(&output), 0, "{}", stdout(&output));
    let text = stdout(&output);
    // One line for each variant, as long as all is well.
    let lines = text.lines().filter(|line| line.starts_with("ok "));
    assert!(lines.count() >= 7, "{text}");
    assert!(text.contains("all ok"), "{text}");
    let orders = "Each was run in 4 pairs of 2 update orders and 2 signal orders.";
    assert!(unwrapped(&text).contains(orders), "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn every_order_seed_and_stop_tick_is_run() {
    let halls = Halls::new();
    halls.write("small.ron", SMALL);
    // No stop: eight pairs of orders.
    assert_eq!(checked(&halls, &[])["scenarios"][0]["runs"], 8);
    // 7 pairs of orders, 3 seeds.
    let flags = ["--shuffles", "2", "--seeds", "2"];
    assert_eq!(checked(&halls, &flags)["scenarios"][0]["runs"], 21);
    // A stop is tried at 8 ticks: one cooldown.
    let stopped = SMALL.replace("goals:", r#"stops: [(at: "1s", actions: [])], goals:"#);
    halls.write("small.ron", &stopped);
    assert_eq!(checked(&halls, &[])["scenarios"][0]["runs"], 64);
}

#[test]
fn a_folder_is_walked_in_order_and_each_file_checked_once() {
    let halls = Halls::new();
    std::fs::create_dir(halls.path("b")).expect("a folder");
    halls.write("b/two.ron", SMALL);
    halls.write("c.ron", SMALL);
    halls.write("a.ron", SMALL);
    halls.write("notes.txt", "nothing of ours");
    let again = halls.path("a.ron");
    let report = checked(&halls, &[&again]);
    let files: Vec<&str> = report["scenarios"]
        .as_array()
        .expect("scenarios are reported")
        .iter()
        .filter_map(|each| each["file"].as_str())
        .collect();
    assert_eq!(
        files,
        [
            halls.path("a.ron"),
            halls.path("b/two.ron"),
            halls.path("c.ron")
        ]
    );
}

#[test]
fn the_report_does_not_depend_on_how_many_runs_are_made_at_once() {
    let halls = Halls::new();
    halls.copy("first-slice.ron", "sealed\": true", "sealed\": false");
    let with = |jobs: &str| {
        let output = hallwright(&[
            "check",
            halls.folder(),
            "--jobs",
            jobs,
            "--seeds",
            "1",
            "--output",
            "text=-",
            "--output",
            "json=-",
            "--output",
            "junit=-",
            "--output",
            "annotations=-",
        ]);
        // How long the runs took is never the same.
        let report = stdout(&output);
        let lines = report.lines().filter(|line| !line.contains(" time=\""));
        (code(&output), lines.collect::<Vec<_>>().join("\n"))
    };
    let alone = with("1");
    assert_eq!(alone.0, 1, "{}", alone.1);
    assert_eq!(alone, with("2"));
    assert_eq!(alone, with("7"));
}

#[test]
fn a_missed_goal_is_exit_code_1_and_reports_how_to_repeat_it() {
    let halls = Halls::new();
    let late = SMALL.replace("goals:", r#"stops: [(at: "1s", actions: [])], goals:"#);
    halls.write("small.ron", &late.replace("at_least: 5", "at_least: 7"));
    let path = halls.path("small.ron");
    let output = hallwright(&["check", &path]);
    assert_eq!(code(&output), 1);
    let text = unwrapped(&stdout(&output));
    assert!(text.contains("5 items, at least 7"), "{text}");
    assert!(
        text.contains("2 items too few at the end of the run"),
        "{text}"
    );
    assert!(text.contains("missed in 64 of 64 runs"), "{text}");
    assert!(
        text.contains(
            "worst with update order declared, signal order declared, seed 0, stop at 1.0 s (20 t)"
        ),
        "{text}"
    );
    let again = format!(
        "again: hallwright run {path} --order declared --signal-order declared --seed 0 --stop-at 20"
    );
    assert!(text.contains(&again), "{text}");
    let (order, seed, stop) = ("declared", "0", "20");
    let repeated = hallwright(&[
        "run",
        &path,
        "--order",
        order,
        "--signal-order",
        order,
        "--seed",
        seed,
        "--stop-at",
        stop,
    ]);
    assert_eq!(code(&repeated), 1);
    assert!(
        unwrapped(&stdout(&repeated)).contains("5 items, at least 7"),
        "{}",
        stdout(&repeated)
    );
}

#[test]
fn a_goal_that_holds_at_the_declared_stop_may_be_missed_at_a_later_one() {
    // The head moves an item in ticks 7, 15 and 23; the lever of the stop locks it. Locked in tick 20
    // to 23, it has moved 2; in tick 24 to 27, a third: 4 stop ticks in 8 pairs of orders.
    let halls = Halls::new();
    let text = SMALL
        .replace("target: \"store\"", "target: \"store\", lock: \"gate\"")
        .replace("at_least: 5", "at_most: 2")
        .replace(
            "goals:",
            r#"signals: {"gate": Lever()}, stops: [(at: "20t", actions: [On("gate")])], goals:"#,
        );
    halls.write("small.ron", &text);
    let run = hallwright(&["run", &halls.path("small.ron")]);
    assert_eq!(code(&run), 0, "{}", stdout(&run));
    let report = checked(&halls, &[]);
    let goal = &report["scenarios"][0]["goals"][1];
    assert_eq!(goal["missed_runs"], 32, "{goal}");
    assert_eq!(goal["worst"]["stop_at_tick"], 24, "{goal}");
    assert_eq!(goal["worst"]["update_order"], "declared", "{goal}");
}

#[test]
fn a_broken_file_is_exit_code_2_and_the_others_are_checked_all_the_same() {
    let halls = Halls::new();
    halls.write("small.ron", SMALL);
    halls.write(
        "spoilt.ron",
        &SMALL.replace("target: \"store\"", "target: \"sore\""),
    );
    let output = hallwright(&["check", halls.folder()]);
    assert_eq!(code(&output), 2);
    let text = unwrapped(&stdout(&output));
    assert!(text.contains("spoilt.ron:6: "), "{text}");
    assert!(text.contains("[layout::unknown-part]"), "{text}");
    assert!(
        text.contains("small.ron: 2 goals in 8 runs; 8 judged anyway"),
        "{text}"
    );
    assert!(stderr(&output).contains("sore"), "{}", stderr(&output));
}

#[test]
fn what_cannot_be_read_is_never_passed_over() {
    for text in [
        "",
        "(",
        "()",
        "(modules: {}, parts: {\"chest\": Chest()})",
        "(modules: {)",
    ] {
        let halls = Halls::new();
        halls.write("small.ron", SMALL);
        halls.write("other.ron", text);
        assert_eq!(code(&hallwright(&["check", halls.folder()])), 2, "{text}");
    }
    assert_eq!(code(&hallwright(&["check", "no/such/folder"])), 2);
    assert_eq!(code(&hallwright(&["check"])), 2);
}

#[cfg(unix)]
#[test]
fn links_may_lead_in_circles_but_not_to_nowhere() {
    use std::os::unix::fs::symlink;
    let halls = Halls::new();
    halls.write("small.ron", SMALL);
    symlink(halls.folder(), halls.path("circle")).expect("a link");
    let report = checked(&halls, &[]);
    assert_eq!(report["scenarios"].as_array().map(Vec::len), Some(1));
    symlink(halls.path("gone.ron"), halls.path("lost.ron")).expect("a link");
    assert_eq!(code(&hallwright(&["check", halls.folder()])), 2);
}

#[test]
fn nothing_to_check_is_exit_code_4() {
    let halls = Halls::new();
    let code_of = || code(&hallwright(&["check", halls.folder()]));
    assert_eq!(code_of(), 4, "an empty folder");
    halls.write("modules.ron", "(modules: {})");
    assert_eq!(code_of(), 4, "only modules");
    let bare = SMALL
        .replace("MisplacedAtMost(0),", "")
        .replace("Contents(parts: \"store\", at_least: 5),", "");
    halls.write("bare.ron", &bare);
    assert_eq!(
        code_of(),
        0,
        "a scenario without goals is judged all the same"
    );
    halls.write("small.ron", SMALL);
    assert_eq!(code_of(), 0);
    // One path of two in which there is nothing is likely misspelt.
    let empty = Halls::new();
    let output = hallwright(&["check", halls.folder(), empty.folder()]);
    assert_eq!(code(&output), 4);
    assert!(
        unwrapped(&stdout(&output)).contains(": all ok, but nothing to check in 1 path"),
        "{}",
        stdout(&output)
    );
}

#[test]
fn a_file_of_modules_is_named_and_not_run() {
    let halls = Halls::new();
    halls.write("small.ron", SMALL);
    halls.write(
        "shared.ron",
        "(goods: {\"flax\": 64}, modules: {\"slice\": (parts: {\"chest\": Chest()})})",
    );
    let report = checked(&halls, &[]);
    assert_eq!(report["outcome"], "ok");
    assert_eq!(report["module_files"][0], halls.path("shared.ron"));
    // Named on the command line, it is meant to be a scenario.
    assert_eq!(code(&hallwright(&["check", &halls.path("shared.ron")])), 2);
}

#[test]
fn a_scenario_may_need_a_variant_to_be_whole() {
    let halls = Halls::new();
    let text = SMALL
        .replace(
            "goods:",
            "parameters: {\"n\": Number}, variants: {\"few\": {\"n\": 4}, \"many\": {\"n\": 5}}, goods:",
        )
        .replace("count: 5", "count: \"$n\"");
    halls.write("small.ron", &text);
    let report = checked(&halls, &[]);
    assert_eq!(report["scenarios"][0]["variant"], "few");
    assert_eq!(report["scenarios"][0]["is_ok"], false, "{report}");
    assert_eq!(report["scenarios"][1]["variant"], "many");
    assert_eq!(report["scenarios"][1]["is_ok"], true, "{report}");
}

#[test]
fn a_variant_where_there_is_none_is_refused() {
    let halls = Halls::new();
    halls.write("small.ron", SMALL);
    let output = hallwright(&["check", halls.folder(), "--variant", "wide"]);
    assert_eq!(code(&output), 2);
    let said = unwrapped(&stderr(&output));
    assert!(
        said.contains("has a variant `wide`, or any other"),
        "{said}"
    );
}

#[test]
fn unknown_goods_are_reported_with_how_to_add_them() {
    let halls = Halls::new();
    halls.write(
        "small.ron",
        &SMALL.replace("takes: \"barley\"", "takes: \"rye\""),
    );
    let output = hallwright(&["check", halls.folder()]);
    assert_eq!(code(&output), 2);
    let said = unwrapped(&stderr(&output));
    assert!(
        said.contains("add them to `goods`: `\"rye\": 64`"),
        "{said}"
    );
    // A name that is nearly one of the goods is a slip.
    halls.write(
        "small.ron",
        &SMALL.replace("takes: \"barley\"", "takes: \"barly\""),
    );
    let said = unwrapped(&stderr(&hallwright(&["check", halls.folder()])));
    assert!(!said.contains("add them"), "{said}");
}
