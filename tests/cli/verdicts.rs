//! The same verdicts everywhere: in text, JSON, JUnit, annotations and on the page, in searches,
//! comparisons and sweeps.

use std::collections::BTreeSet;

use quick_junit::{Report, TestCaseStatus};
use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// Flax comes home. Three barley end in its store, which is not their home. Two wool are lost at a mouth
/// that nothing empties, as a goal allows, and have no home, as another allows. The goals stand in
/// lines 14 and 15.
const DIRTY: &str = r#"(
    title: "Dirty",
    run_for: "20s",
    rules: (despawn_ticks: 100),
    goods: {"barley": 64, "flax": 64, "wool": 64},
    parts: {"head": Hopper(target: "chest"), "chest": Chest(), "yard": Mouth},
    arrivals: {
        "flax": AllAtOnce(place: "head", kind: "flax", count: 5),
        "stray": AllAtOnce(place: "head", kind: "barley", count: 3),
        "spilt": AllAtOnce(place: "yard", kind: "wool", count: 2),
    },
    stores: {"flax store": (parts: "chest", takes: "flax")},
    goals: [
        LostAtMost(2),
        WithoutHome(["wool"]),
    ],
)
"#;

/// Subject, verdict, and whether no goal asks it.
type Row = (String, String, bool);

fn row(subject: &Value, verdict: &Value, judged_anyway: &Value) -> Row {
    (
        subject.as_str().expect("a text").to_owned(),
        verdict.as_str().expect("a text").to_owned(),
        judged_anyway.as_bool().expect("a flag"),
    )
}

/// What JSON of `run` says, which the others are held against.
fn expected() -> BTreeSet<Row> {
    let rows = [
        ("lost", "allowed", false),
        ("without a home", "missed", false),
        ("refused", "ok", true),
        ("misplaced", "missed", true),
        ("passed by", "ok", true),
        ("stuck", "ok", true),
        ("backed up", "ok", true),
        ("with several homes", "ok", true),
        ("crowded", "ok", true),
    ];
    let rows =
        rows.map(|(subject, verdict, anyway)| (subject.to_owned(), verdict.to_owned(), anyway));
    rows.into_iter().collect()
}

fn dirty() -> (Halls, String) {
    let halls = Halls::new();
    halls.write("dirty.ron", DIRTY);
    let path = halls.path("dirty.ron");
    (halls, path)
}

fn made(arguments: &[&str]) -> String {
    let output = hallwright(arguments);
    assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
    stdout(&output)
}

#[test]
fn a_run_for_programs_has_all_of_them() {
    let (_halls, path) = dirty();
    let found = made(&["run", &path, "--output", "json"]);
    let found: Value = serde_json::from_str(&found).expect("it is JSON");
    let rows = found["verdicts"].as_array().expect("a list").iter();
    let rows = rows.map(|one| row(&one["subject"], &one["verdict"], &one["judged_anyway"]));
    assert_eq!(rows.collect::<BTreeSet<_>>(), expected());
}

#[test]
fn a_run_for_people_reports_goals_and_whatever_is_not_as_it_should_be() {
    let (_halls, path) = dirty();
    let text = unwrapped(&made(&["run", &path]));
    assert!(text.contains("allowed lost: 2 items, at most 2"), "{text}");
    assert!(
        text.contains("missed without a home: 2 kinds, at most 1"),
        "{text}"
    );
    // Wool is allowed, and no cause.
    assert!(
        text.contains("barley, which arrives at head, has no home"),
        "{text}"
    );
    assert!(!text.contains("wool, which arrives"), "{text}");
    assert!(text.contains("Always 6 of 7 ok"), "{text}");
    assert!(text.contains("missed misplaced: 3 items"), "{text}");
}

#[test]
fn a_check_for_programs_has_all_of_them() {
    let (_halls, path) = dirty();
    let found = made(&["check", &path, "--output", "json=-"]);
    let found: Value = serde_json::from_str(&found).expect("it is JSON");
    let goals = found["scenarios"][0]["goals"].as_array().expect("a list");
    let rows = goals.iter().map(|goal| {
        let worst = &goal["worst"];
        row(
            &worst["subject"],
            &worst["verdict"],
            &worst["judged_anyway"],
        )
    });
    assert_eq!(rows.collect::<BTreeSet<_>>(), expected());
    // What no goal asks has no line.
    let lines: Vec<&Value> = goals.iter().map(|goal| &goal["line"]).collect();
    assert_eq!((lines[0], lines[1]), (&14.into(), &15.into()));
    assert!(lines[2..].iter().all(|line| line.is_null()), "{lines:?}");
}

#[test]
fn a_check_for_people_counts_both_sorts_and_names_what_is_allowed() {
    let (_halls, path) = dirty();
    let text = unwrapped(&made(&["check", &path]));
    let counts = "1 of 2 goals missed in 8 runs; 1 of 7 judged anyway missed";
    assert!(text.contains(counts), "{text}");
    assert!(text.contains("allowed: lost"), "{text}");
    let missed = "- misplaced: 3 items, at most 0";
    assert!(text.contains(missed), "{text}");
    assert!(text.contains("judged though no goal asks"), "{text}");
}

#[test]
fn a_test_report_has_a_case_for_each_and_what_is_allowed_did_not_pass() {
    let (_halls, path) = dirty();
    let xml = made(&["check", &path, "--output", "junit=-"]);
    let report = Report::deserialize_from_str(&xml).expect("it is JUnit XML");
    let cases = &report.test_suites[0].test_cases;
    let rows = cases.iter().map(|case| {
        let property = |name: &str| {
            let mut all = case.properties.iter();
            let found = all.find(|property| *property.name == *name);
            found.expect("it is there").value.to_string()
        };
        let (_, subject) = case.name.split_once(". ").expect("a number");
        let verdict = property("verdict");
        let status = match &case.status {
            TestCaseStatus::Success { .. } => "ok",
            TestCaseStatus::Skipped { .. } => "allowed",
            TestCaseStatus::NonSuccess { .. } => "missed",
        };
        assert_eq!(status, verdict, "{subject}");
        let judged_anyway = property("judged_anyway") == "true";
        (subject.to_owned(), verdict, judged_anyway)
    });
    assert_eq!(rows.collect::<BTreeSet<_>>(), expected());
}

#[test]
fn annotations_report_whatever_is_not_as_it_should_be() {
    let (_halls, path) = dirty();
    let text = made(&["check", &path, "--output", "annotations=-"]);
    // Subject, command, and the line that it points to.
    let reported: BTreeSet<(&str, &str, &str)> = text
        .lines()
        .map(|line| {
            let (command, rest) = line[2..].split_once(' ').expect("a place");
            let (place, message) = rest.split_once("::").expect("a message");
            let (_, line) = place.split_once(",line=").expect("a line");
            let message = message.strip_prefix("allowed: ").unwrap_or(message);
            let (subject, _) = message.split_once(':').expect("a subject");
            (subject, command, line)
        })
        .collect();
    let expected = [
        ("lost", "notice", "14"),
        ("without a home", "error", "15"),
        ("misplaced", "error", "1"),
    ];
    assert_eq!(reported, expected.into_iter().collect(), "{text}");
    assert!(text.contains("judged though no goal asks"), "{text}");
}

#[test]
fn the_page_has_all_of_them_and_no_tick_at_what_is_allowed() {
    let (halls, path) = dirty();
    let target = format!("html={}", halls.path("dirty.html"));
    hallwright(&["show", &path, "--output", &target]);
    let page = halls.read("dirty.html");
    let (_, list) = page
        .split_once("<section class=\"goals\">")
        .expect("a list");
    let (list, _) = list.split_once("</section>").expect("it ends");
    let rows: BTreeSet<Row> = list
        .split("<li class=\"")
        .skip(1)
        .map(|row| {
            let (_, rest) = row.split_once("<b>").expect("a verdict");
            let (ruling, rest) = rest.split_once("</b> ").expect("words");
            let (subject, rest) = rest.split_once(':').expect("a subject");
            let ruling = ruling.trim_start_matches(['✓', '✕', ' ']);
            let anyway = rest.contains("checked in every run");
            (subject.to_owned(), ruling.to_owned(), anyway)
        })
        .collect();
    assert_eq!(rows, expected());
    // Of the card that asks what was lost.
    let (_, card) = page.split_once("<h3>Lost</h3>").expect("it is asked");
    let (card, _) = card.split_once("</article>").expect("it ends");
    assert!(!card.contains('✓') && card.contains("allowed"), "{card}");
    assert!(page.contains("<article class=\"card allowed\""));
}

#[test]
fn a_search_leaves_a_design_that_misses_what_no_goal_asks_and_says_why() {
    let halls = Halls::new();
    // One slot holds 64.
    halls.write(
        "full.ron",
        r#"(
    title: "Full",
    run_for: "60s",
    parameters: {"sent": 64},
    goods: {"flax": 64},
    parts: {"head": Hopper(target: "bin"), "bin": Container(slots: 1)},
    arrivals: {"flax": AllAtOnce(place: "head", kind: "flax", count: "$sent")},
    stores: {"flax store": (parts: "bin", takes: "flax")},
    goals: [LostAtMost(0)],
)
"#,
    );
    let path = halls.path("full.ron");
    let search = |range: &str, exit_code: i32| {
        let output = hallwright(&["tune", &path, "--no-cache", "--range", range]);
        assert_eq!(output.status.code(), Some(exit_code), "{}", stderr(&output));
        unwrapped(&stdout(&output))
    };
    let text = search("sent=70,64", 0);
    assert!(text.contains("Cheapest by hoppers: sent=64"), "{text}");
    let why = "- backed up kept out 1 design, judged though no goal asks";
    assert!(text.contains(why), "{text}");
    let text = search("sent=70", 1);
    assert!(text.contains("\"flax store\" is full"), "{text}");
}

#[test]
fn a_comparison_counts_boxes_beside_items() {
    let halls = Halls::new();
    halls.write(
        "boxes.ron",
        r#"(
    title: "Boxes",
    run_for: "20s",
    parameters: {"next": "store"},
    variants: {"short": {}, "long": {"next": "second"}},
    goods: {"flax": 64, "box": Box},
    parts: {
        "first": Hopper(target: "$next"), "second": Hopper(target: "store"), "store": Chest(),
    },
    arrivals: {
        "flax": AllAtOnce(place: "first", kind: "flax", count: 2),
        "boxes": AllAtOnce(place: "first", kind: Boxed(holds: [(kind: "flax", count: 5)]), count: 3),
    },
    stores: {"flax store": (parts: "store", takes: "flax")},
)
"#,
    );
    let path = halls.path("boxes.ron");
    let output = hallwright(&["compare", &path, "--output", "text"]);
    let text = unwrapped(&stdout(&output));
    // 2 and 3 times 5 flax; never 20 items.
    assert!(text.contains("sorted 17 items"), "{text}");
    assert!(text.contains("sorted 3 boxes"), "{text}");
}

#[test]
fn a_stop_while_goods_go_on_arriving_is_not_called_too_short() {
    let halls = Halls::new();
    halls.write(
        "arriving.ron",
        r#"(
    title: "Arriving",
    run_for: "20s",
    goods: {"flax": 64},
    parts: {
        "head": Hopper(target: "store"), "store": Chest(),
        // It turns for ever, so that nothing is ever certain.
        "ring 1": Hopper(target: "ring 2", holds: [(kind: "flax", count: 2)]),
        "ring 2": Hopper(target: "ring 1"),
    },
    arrivals: {"flax": Steady(place: "head", kind: "flax", count: 1, every: "2s")},
    stores: {"flax store": (parts: "store", takes: "flax")},
    sections: {"lane": (line: "head")},
    stops: [(at: "10s", actions: [])],
    goals: [MarkWithin(mark: Quiet, section: "lane", within: "1s")],
)
"#,
    );
    let path = halls.path("arriving.ron");
    let swept = ["run", &path, "--stop-sweep", "200..204/2"];
    for arguments in [&["check", path.as_str()][..], &swept] {
        let text = unwrapped(&stdout(&hallwright(arguments)));
        assert!(text.contains("goods go on arriving"), "{text}");
        assert!(!text.contains("too short"), "{text}");
    }
}
