//! `hallwright compare`: what is run, what is equal and what is not, and what cannot be compared.

use std::process::Output;

use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// Five items wait in a hopper, behind which there is a store (`short`), or a second hopper and then
/// the store (`long`).
///
/// By section 4 of the tick rules the first hopper moves its items in ticks 7, 15, 23, 31 and 39. The
/// second gets the first of them in tick 7 and first acts 7 ticks later, in any update order: it moves
/// them in ticks 14, 22, 30, 38 and 46. The line holds nothing from tick 39 on, or from 46 on.
pub(crate) const LANE: &str = r#"(
    title: "Lane",
    run_for: "10s",
    parameters: {"next": "store"},
    variants: {
        "short": {},
        "long": {"next": "second"},
        "as short": {"next": "store"},
    },
    goods: {"barley": 64},
    parts: {
        "first": Hopper(target: "$next"),
        "second": Hopper(target: "store"),
        "store": Chest(),
    },
    arrivals: {"haul": AllAtOnce(place: "first", kind: "barley", count: 5)},
    stores: {"barley": (parts: "store", takes: "barley")},
    sections: {"lane": (line: ["first", "second"])},
    flows: {"stored": (into: "store")},
    stops: [(at: "10t", actions: [])],
    goals: [MisplacedAtMost(0)],
)
"#;

pub(crate) fn lane() -> Halls {
    let halls = Halls::new();
    halls.write("lane.ron", LANE);
    halls
}

pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().expect("it ends by itself")
}

/// Compares with some flags and reads the JSON.
pub(crate) fn compared(arguments: &[&str]) -> Value {
    let output = hallwright(&[&["compare", "--output", "json=-"], arguments].concat());
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("the comparison is JSON")
}

/// A figure of the design at this place.
pub(crate) fn cell<'v>(report: &'v Value, figure: &str, design: usize) -> &'v Value {
    let figures = report["figures"].as_array().expect("figures");
    let row = figures.iter().find(|row| row["figure"] == figure);
    let row = row.unwrap_or_else(|| panic!("no figure {figure}"));
    &row["designs"][design]
}

#[test]
fn a_lane_with_one_hopper_more_clears_seven_ticks_later_at_every_stop() {
    let halls = lane();
    let report = compared(&[
        &halls.path("lane.ron"),
        "--variant",
        "short",
        "--variant",
        "long",
        "--stop-sweep",
        "10..12",
        "--shuffles",
        "1",
    ]);
    // Six pairs of orders, three stop ticks.
    assert_eq!(report["runs_each"], 18);
    // Stopped in tick 10, 11 or 12, the short one is cleared after 39 - 10 = 29, 28 or 27 ticks, in every
    // order; the long one after 46 - 10 = 36, 35 or 34.
    let numbers = |design: usize| {
        let cell = cell(&report, "cleared", design);
        ["best", "median", "worst"].map(|name| cell[name].as_f64())
    };
    assert_eq!(numbers(0), [27.0, 28.0, 29.0].map(Some));
    assert_eq!(numbers(1), [34.0, 35.0, 36.0].map(Some));
    let long = cell(&report, "cleared", 1);
    assert_eq!(long["worst_case"]["stop_at_tick"], 10);
    let difference = &long["less_the_first"];
    assert_eq!(difference["verdict"], "differs");
    for name in ["least", "median", "most"] {
        assert_eq!(difference[name], 7.0, "{difference}");
    }
    // Both move an item every 8 ticks, 2.5 a second, whatever the order and the stop.
    assert_eq!(cell(&report, "throughput of stored", 1)["worst"], 2.5);
    let equal = &cell(&report, "throughput of stored", 1)["less_the_first"]["verdict"];
    assert_eq!(equal, "equal in all runs");
    assert!(cell(&report, "cleared", 0)["less_the_first"].is_null());
}

#[test]
fn a_design_under_another_name_is_equal_in_all_runs() {
    let halls = lane();
    halls.write("copy.ron", LANE);
    let (lane, copy) = (halls.path("lane.ron"), halls.path("copy.ron"));
    let (one, other) = (format!("{lane}#long"), format!("{copy}#long"));
    for designs in [
        vec![one.as_str(), other.as_str()],
        vec![one.as_str(), one.as_str()],
        vec![&lane, "--variant", "short", "--variant", "as short"],
        vec![
            "scenarios/first-slice.ron#leaky",
            "scenarios/first-slice.ron#leaky",
            "--seeds",
            "2",
        ],
    ] {
        let report = compared(&designs);
        assert_eq!(report["all_equal"], true, "{designs:?}");
        assert_eq!(
            report["function_alike"][0]["differ_in"],
            Value::Array(Vec::new())
        );
        let text = stdout(&hallwright(&[&["compare"], designs.as_slice()].concat()));
        let words = "every figure reported here is equal in all runs";
        assert!(unwrapped(&text).contains(words), "{text}");
    }
    let names = &compared(&[&one, &one])["designs"];
    assert_ne!(names[0]["name"], names[1]["name"]);
}

#[test]
fn designs_that_function_alike_are_reported_with_what_they_cost() {
    let halls = lane();
    let parts = r#""store": Chest(),"#;
    let spare = format!("{parts}\n        \"spare\": Hopper(target: \"store\"),");
    halls.write("spare.ron", &LANE.replace(parts, &spare));
    let designs = ["lane.ron", "spare.ron"].map(|file| format!("{}#short", halls.path(file)));
    let designs = designs.each_ref().map(String::as_str);
    let report = compared(&designs);
    let alike = &report["function_alike"][0];
    assert_eq!(alike["designs"].as_array().map(Vec::len), Some(2));
    let differ_in = alike["differ_in"].as_array().expect("a list");
    assert_eq!(differ_in[0], "hoppers");
    assert!(!differ_in.contains(&"cleared".into()), "{alike}");
    // Eight pairs of orders, eight stop ticks.
    let text = stdout(&hallwright(&[&["compare"], designs.as_slice()].concat()));
    let words = "function alike in all 64 runs; they differ in hoppers 2 hoppers / 3 hoppers";
    assert!(unwrapped(&text).contains(words), "{text}");
}

#[test]
fn every_design_meets_the_same_chances() {
    let halls = Halls::new();
    let by_chance =
        r#""haul": ByChance(place: "first", kind: "barley", per_tick: 0.05, until: "5s")"#;
    let once = r#""haul": AllAtOnce(place: "first", kind: "barley", count: 5)"#;
    let text = LANE.replace(once, by_chance);
    halls.write("lane.ron", &text);
    // Another seed of its own: the first design's is taken.
    halls.write("copy.ron", &text.replace("run_for", "seed: 77, run_for"));
    let designs = ["lane.ron", "copy.ron"].map(|file| format!("{}#long", halls.path(file)));
    let report = compared(&[&designs[0], &designs[1], "--seeds", "3", "--shuffles", "0"]);
    assert_eq!(report["all_equal"], true);
    // Four seeds, four pairs of orders, eight stop ticks.
    assert_eq!(report["runs_each"], 128);
    let flags = ["--seeds", "3", "--shuffles", "0", "--stop-sweep", "50..50"];
    let lane = halls.path("lane.ron");
    let report = compared(
        &[
            &[lane.as_str(), "--variant", "short", "--variant", "long"],
            &flags[..],
        ]
        .concat(),
    );
    // Whatever comes, the last of it is 7 ticks longer on its way: the interval has no width.
    let difference = &cell(&report, "cleared", 1)["less_the_first"];
    let interval = &difference["mean_over_seeds"];
    assert_eq!(interval["seeds"], 4, "{difference}");
    assert_eq!(interval["shows_difference"], true, "{difference}");
}

#[test]
fn what_cannot_be_compared_is_reported_and_the_rest_compared() {
    let halls = lane();
    let other = LANE
        .replace("barley", "flax")
        .replace("count: 5", "count: 4")
        .replace("\"stored\"", "\"in the store\"")
        .replace("\"lane\"", "\"track\"")
        .replace("10s", "12s");
    halls.write("other.ron", &other);
    let designs = ["lane.ron", "other.ron"].map(|file| format!("{}#short", halls.path(file)));
    let report = compared(&designs.each_ref().map(String::as_str));
    let reported = report["not_comparable"].to_string();
    for words in [
        "kinds of goods only in the first: barley",
        "kinds of goods only in this one: flax",
        "flows only in this one: in the store",
        "sections only in the first: lane",
        "it runs 12.0 s (240 t), the first 10.0 s (200 t)",
        "other goods arrive: first at 0.0 s (0 t), barley 0 in place of 5",
    ] {
        assert!(reported.contains(words), "{words}: {reported}");
    }
    // One item less: the last comes 8 ticks sooner.
    let difference = &cell(&report, "cleared", 1)["less_the_first"];
    assert_eq!(difference["most"], -8.0);
    assert!(cell(&report, "throughput of stored", 1).is_null());
    assert!(cell(&report, "throughput of in the store", 0).is_null());
}

#[test]
fn a_design_without_a_stop_is_compared_in_what_it_has() {
    let halls = lane();
    halls.write(
        "endless.ron",
        &LANE.replace(r#"stops: [(at: "10t", actions: [])],"#, ""),
    );
    let designs = ["endless.ron", "lane.ron"].map(|file| format!("{}#short", halls.path(file)));
    let report = compared(&[&designs[0], &designs[1], "--stop-sweep", "10..12"]);
    assert!(
        report["not_comparable"]
            .to_string()
            .contains("the first has no stop")
    );
    assert!(cell(&report, "cleared", 0).is_null());
    assert_eq!(cell(&report, "cleared", 1)["worst"], 29.0);
    assert_eq!(
        cell(&report, "sorted", 1)["less_the_first"]["verdict"],
        "equal in all runs"
    );
}

#[test]
fn mistakes_are_reported_with_a_suggestion() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let leaky = "scenarios/first-slice.ron#leaky";
    for (arguments, words) in [
        (
            vec![lane.as_str(), "--variant", "lnog"],
            "did you mean `long`?",
        ),
        (
            vec![&format!("{lane}#shrt"), leaky],
            "did you mean `short`?",
        ),
        (
            vec![&lane, "--figure", "safe to clos"],
            "did you mean `safe to close`?",
        ),
        (
            vec![&lane, "--figure", "x"],
            "there are: cleared, safe to close",
        ),
        (vec![&lane, "--variant", "long"], "is the only design"),
        (
            vec![&lane, "scenarios/first-slice.ron", "--variant", "long"],
            "has none of these variants",
        ),
        (
            vec![&lane, "--output", "cvs=-"],
            "FORMAT is text, markdown, csv, json, junit or html",
        ),
        (
            vec![leaky, leaky, "--stop-sweep", "1..2"],
            "no design declares one",
        ),
        (vec!["nowhere.ron", &lane], "nowhere.ron"),
    ] {
        let output = hallwright(&[&["compare"], arguments.as_slice()].concat());
        assert_eq!(code(&output), 2, "{arguments:?}");
        let reported = unwrapped(&stderr(&output));
        assert!(reported.contains(words), "{arguments:?}: {reported}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
}

#[test]
fn what_is_found_does_not_depend_on_the_cores() {
    let halls = lane();
    let lane = halls.path("lane.ron");
    let one = compared(&[&lane, "--jobs", "1"]);
    assert_eq!(one, compared(&[&lane, "--jobs", "3"]));
}

#[test]
fn several_values_of_one_parameter_are_refused_with_the_ways_to_compare_them() {
    let halls = lane();
    let path = halls.path("lane.ron");
    let output = hallwright(&[
        "compare",
        &path,
        "--set",
        "next=store",
        "--set",
        "next=second",
    ]);
    assert_eq!(code(&output), 2);
    let said = unwrapped(&stderr(&output));
    assert!(
        said.contains("write a variant for each in the file"),
        "{said}"
    );
    assert!(said.contains("--range next=store,second"), "{said}");
}
