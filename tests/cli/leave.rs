//! `--leave-at`: what is told of a hall whose builder walks away, worked out by hand.

use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout};

/// A hopper near by hands slate on into a chest far away, an item every 8 ticks: in ticks 8, 16 … 144.
/// The lever goes off in tick 100, `off` comes on in tick 102 and `lock` in tick 152.
const SLATE: &str = r#"(
    title: "Slate",
    run_for: "30s",
    goods: {"slate": 64},
    parts: {
        "source": Chest(holds: [(kind: "slate", count: 64)]),
        "head": Hopper(above: "source", target: "chest", lock: "lock"),
        "chest": Chest(),
    },
    signals: {
        "run": Lever(starts_on: true),
        "off": Inverter(input: "run"),
        "lock": DelayLine(input: "off", delay: "50t"),
    },
    stores: {"slate": (parts: "chest", takes: "slate"), "quay": (parts: "source", serves: true)},
    lamps: {"closing": (signal: "off"), "locked": (signal: "lock")},
    regions: {"near": ["run", "off", "lock", "source", "head"], "far": ["chest"]},
    leave: (apart: "1s", late: "30t", pause: "1s", lamp: "closing"),
    stops: [(at: "5s", actions: [Off("run")], restart: (after: "20s", actions: [On("run")]))],
)"#;

/// Ten slate come onto a stream in tick 20 and would be at its mouth in tick 60. A stack that has lain for
/// 100 ticks is lost.
const STREAM: &str = r#"(
    title: "Stream",
    run_for: "60s",
    goods: {"slate": 64},
    rules: (despawn_ticks: 100),
    parameters: {"apart": 10},
    parts: {
        "river": Stream(transit: "40t", mouth: "pond"),
        "pond": Mouth(),
        "last": Hopper(target: "chest", mouth: "pond"),
        "chest": Chest(),
    },
    arrivals: {"boat": AllAtOnce(place: "river", kind: "slate", count: 10, at: "1s")},
    stores: {"slate": (parts: "chest", takes: "slate")},
    regions: {"near": ["river", "pond"], "far": ["last", "chest"]},
    leave: (apart: "${apart}s", late: "1s", pause: "1s"),
)"#;

fn halls(files: &[(&str, &str)]) -> Halls {
    let halls = Halls::new();
    for (name, text) in files {
        halls.write(name, text);
    }
    halls
}

/// What a check tells of a hall, which ends with this exit code.
fn checked(text: &str, flags: &[&str], exit_code: i32) -> Value {
    let halls = halls(&[("hall.ron", text)]);
    let path = halls.path("hall.ron");
    let check = ["check", &path, "--shuffles", "0", "--output", "json"];
    let output = hallwright(&[&check, flags].concat());
    let (told, said) = (stdout(&output), stderr(&output));
    assert_eq!(output.status.code(), Some(exit_code), "{said}{told}");
    let report: Value = serde_json::from_str(&told).expect("it is JSON");
    report["scenarios"][0]["leave"].clone()
}

#[test]
fn a_lamp_that_says_so_too_early_tells_a_lie() {
    let told = checked(SLATE, &["--leave-at", "100..170/10"], 1);
    // What the hopper hands on in tick 144 is the last: left at the end of that tick, nothing breaks.
    assert_eq!(told["well_from_tick"], 150);
    assert_eq!(told["leaves"], 8 * 40);
    let lamp = &told["lamp"];
    assert_eq!(lamp["name"], "closing");
    assert_eq!(
        lamp["on_at_ticks"],
        serde_json::json!([110, 120, 130, 140, 150, 160, 170])
    );
    assert_eq!(
        lamp["false_at_ticks"],
        serde_json::json!([110, 120, 130, 140])
    );

    let last = &told["last_broken"];
    assert_eq!(last["tick"], 140);
    assert_eq!(
        (&last["far_first_broken_ways"], &last["far_first_ways"]),
        (&20.into(), &20.into())
    );
    // The plainest way: the chest sleeps first, and misses the item of tick 144.
    assert_eq!(last["way"]["near_first"], false);
    let what = |at: &str| {
        let all = last["what"].as_array().expect("a list");
        let here = all
            .iter()
            .find(|what| what["at"] == at && what["when"] == "at_rest");
        here.unwrap_or_else(|| panic!("{last}")).clone()
    };
    assert_eq!(what("chest")["fewer"], serde_json::json!([["slate", 1]]));
    assert_eq!(what("head")["more"], serde_json::json!([["slate", 1]]));
    assert_eq!(what("head")["region"], "near");
    let mends: Vec<&Value> = last["mended_by"]
        .as_array()
        .expect("a list")
        .iter()
        .collect();
    let change = |change: &str| mends.iter().any(|mend| mend["change"] == change);
    assert!(change("other_end_first"), "{last}");
    assert!(!change("same_orders") && !change("none_late"), "{last}");
    let awake = mends.iter().find(|mend| mend["change"] == "awake");
    assert_eq!(awake.expect("a region")["region"], "far");
    let crossings = last["crossings"].as_array().expect("a list");
    assert_eq!(crossings.len(), 1, "{last}");
    assert_eq!(crossings[0]["from"], "head");
    assert_eq!(crossings[0]["to"], "chest");
    assert_eq!(crossings[0]["first_at_tick"], 144);
    assert_eq!(crossings[0]["from_sleeps"], false);
}

#[test]
fn a_lamp_that_comes_on_with_the_lock_is_right() {
    let honest = SLATE.replace("lamp: \"closing\"", "lamp: \"locked\"");
    let told = checked(&honest, &["--leave-at", "140..160/1"], 0);
    assert_eq!(told["well_from_tick"], 144);
    assert_eq!(told["lamp"]["on_at_ticks"][0], 152);
    assert_eq!(told["lamp"]["false_at_ticks"], serde_json::json!([]));
    assert_eq!(told["lamp"]["stays_off"], false);
    // Up to tick 151 it is not on though nothing breaks any more.
    let told = checked(&honest, &["--leave-at", "144..151"], 0);
    assert_eq!(told["lamp"]["stays_off"], true);
    assert!(
        told["words"]
            .to_string()
            .contains("was never on when nothing broke")
    );
}

#[test]
fn something_broken_at_the_last_tick_is_missed_though_no_lamp_said_anything() {
    let told = checked(SLATE, &["--leave-at", "101"], 1);
    assert_eq!(told["is_ok"], false);
    assert_eq!(told["well_from_tick"], Value::Null);
    assert_eq!(told["lamp"]["false_at_ticks"], serde_json::json!([]));
}

#[test]
fn which_of_several_lamps_is_meant_is_not_guessed() {
    let unnamed = SLATE.replace(", lamp: \"closing\"", "");
    let told = checked(&unnamed, &["--leave-at", "110..150/20"], 0);
    assert_eq!(told["lamp"], Value::Null);
    assert!(
        told["words"]
            .to_string()
            .contains("names one of closing, locked")
    );
}

#[test]
fn a_hall_that_still_runs_goes_on_once_it_is_opened() {
    // Left before its stop, nobody is there to stop it: all slate gets home in the end.
    let told = checked(SLATE, &["--leave-at", "80..100/10"], 1);
    assert_eq!(told["first_broken"]["tick"], 100);
}

#[test]
fn goods_afloat_are_lost_where_their_mouth_is_awake_and_its_hopper_is_not() {
    // Left in tick 30 the stack has lain for 10 ticks. With the far end asleep first the near end is awake
    // for 10 s more, and nobody takes the stack from its mouth: it despawns.
    let told = checked(STREAM, &["--leave-at", "30"], 1);
    let broken = &told["last_broken"];
    assert_eq!(broken["near_first_broken_ways"], 0);
    assert_eq!(broken["far_first_broken_ways"], 20);
    let lost = &broken["what"][0];
    assert_eq!(
        (&lost["what"], &lost["items"]),
        (&"lost".into(), &10.into())
    );
    assert_eq!(
        (&lost["at"], &lost["region"]),
        (&"pond".into(), &"near".into())
    );
    let explained = broken["explained"][0].as_str().expect("a sentence");
    assert!(explained.contains("lay for 4.95 s"), "{explained}");
    // With 2 s between the two it sleeps before that, and does not age.
    let told = checked(STREAM, &["--leave-at", "30", "--set", "apart=2"], 0);
    assert_eq!(told["well_from_tick"], 30);
}

#[test]
fn one_region_falls_asleep_and_wakes_as_a_whole() {
    let one = SLATE
        .replace("\"far\": [\"chest\"]", "")
        .replace("\"head\"], ", "\"head\", \"chest\"]");
    let told = checked(&one, &["--leave-at", "100..150/10"], 0);
    assert_eq!(told["regions"], serde_json::json!(["near"]));
    assert_eq!(told["well_from_tick"], 100);
}

#[test]
fn fewer_ways_are_the_plainest_ones() {
    let told = checked(SLATE, &["--leave-at", "110", "--leave-ways", "2"], 1);
    assert_eq!(told["ways"], 2);
    let broken = &told["last_broken"];
    assert_eq!(broken["near_first_broken_ways"], 0);
    assert_eq!(broken["far_first_broken_ways"], 1);
    let command = broken["command"].as_str().expect("a command");
    assert!(
        command.ends_with("--leave-at 110 --leave-ways 2"),
        "{command}"
    );
}

#[test]
fn a_run_tells_of_one_leave_and_is_repeated_so() {
    let halls = halls(&[("hall.ron", SLATE)]);
    let path = halls.path("hall.ron");
    let output = hallwright(&["run", &path, "--leave-at", "110"]);
    assert_eq!(output.status.code(), Some(1));
    let text = stdout(&output);
    for words in [
        "left at 5.5 s (110 t): something broke",
        "it broke in 24 of 40 ways",
        "3 slate too many",
        "why: nothing breaks if far stays awake",
        "false light: the lamp `closing` was on",
        "--leave-at 110",
    ] {
        let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(words), "{words}: {text}");
    }
    let plain = stdout(&hallwright(&["run", &path]));
    assert!(!plain.contains("left at"), "{plain}");
    let json = hallwright(&["run", &path, "--leave-at", "160", "--output", "json"]);
    let json: Value = serde_json::from_slice(&json.stdout).expect("it is JSON");
    assert_eq!(json["leave"]["is_ok"], true);
    assert_eq!(json["leave"]["well_from_tick"], 160);
}

#[test]
fn a_hall_without_regions_is_not_tried_and_told_how() {
    let without = SLATE.replace(
        r#"regions: {"near": ["run", "off", "lock", "source", "head"], "far": ["chest"]},"#,
        "",
    );
    let halls = halls(&[("a.ron", SLATE), ("b.ron", &without)]);
    let alone = halls.path("b.ron");
    for command in ["check", "run"] {
        let output = hallwright(&[command, &alone, "--leave-at", "110"]);
        assert_eq!(output.status.code(), Some(2));
        let said = stderr(&output);
        assert!(said.contains("`regions: {\"near\""), "{said}");
    }
    let output = hallwright(&[
        "check",
        halls.folder(),
        "--leave-at",
        "160",
        "--shuffles",
        "0",
    ]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(
        text.contains("not tried: no regions are declared"),
        "{text}"
    );
    assert!(text.contains("nothing broke, in 40 ways"), "{text}");
}

#[test]
fn what_is_known_of_some_of_the_hall_is_no_yes() {
    let some = SLATE.replace("\"source\", \"head\"]", "\"source\"]");
    assert_ne!(some, SLATE);
    let halls = halls(&[("hall.ron", &some)]);
    let output = hallwright(&["check", &halls.path("hall.ron"), "--leave-at", "160"]);
    assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(
        text.contains("not known of the whole hall: left at"),
        "{text}"
    );
    assert!(
        text.contains("1 part is in no region and never slept"),
        "{text}"
    );
}

#[test]
fn ticks_after_the_end_of_the_run_are_not_tried() {
    let told = checked(SLATE, &["--leave-at", "550..700/30"], 0);
    assert_eq!(told["to_tick"], 599);
    assert_eq!(told["run_ends_at_tick"], 600);
    let halls = halls(&[("hall.ron", SLATE)]);
    let output = hallwright(&["run", &halls.path("hall.ron"), "--leave-at", "600"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("the run ends at 600 t"),
        "{}",
        stderr(&output)
    );
}

#[test]
fn flags_that_make_no_sense_are_refused() {
    let halls = halls(&[("hall.ron", SLATE)]);
    let path = halls.path("hall.ron");
    for flags in [
        &["--leave-at", "9..5"][..],
        &["--leave-at", "soon"],
        &["--leave-at", "9", "--leave-ways", "41"],
        &["--leave-at", "9", "--leave-ways", "0"],
        &["--leave-ways", "3"],
    ] {
        let output = hallwright(&[&["check", path.as_str()], flags].concat());
        assert_eq!(output.status.code(), Some(2), "{flags:?}");
    }
}

#[test]
fn machines_read_it_too() {
    let halls = halls(&[("hall.ron", SLATE)]);
    let path = halls.path("hall.ron");
    let flags = [
        "check",
        &path,
        "--shuffles",
        "0",
        "--leave-at",
        "110..160/50",
    ];
    let xml = stdout(&hallwright(&[&flags[..], &["--output", "junit"]].concat()));
    // At the last tick nothing broke, but the lamp was on at the first.
    assert!(xml.contains("<testcase name=\"left\"/>"), "{xml}");
    let lamp = "<testcase name=\"left, the lamp closing\">";
    assert!(xml.contains(lamp), "{xml}");
    assert!(
        xml.contains("<failure message=\"false light: the lamp `closing` was on"),
        "{xml}"
    );
    let lines = stdout(&hallwright(
        &[&flags[..], &["--output", "annotations"]].concat(),
    ));
    let error = lines.lines().find(|line| line.starts_with("::error"));
    assert!(
        error.is_some_and(|line| line.contains("false light")),
        "{lines}"
    );
}
