//! Whether a design can be built, as each format of `run` and `check` reports it.

use serde_json::{Value, json};

use crate::support::{Halls, findings, hallwright, stderr, stdout, unwrapped};

/// Two barrels in one block, a hopper one block off its target, and a part that stands nowhere.
fn placed(halls: &Halls, name: &str, goals: &str) -> String {
    let text = format!(
        r#"(
    title: "Placed",
    run_for: "5s",
    goods: {{"flax": 64}},
    parts: {{
        "one": Barrel(position: (5, 0, 0)),
        "two": Barrel(position: (5, 0, 0)),
        "line": Hopper(target: "store", holds: ["flax"], position: (0, 1, 0)),
        "store": Barrel(position: (0, 0, 1)),
        "later": Barrel(),
    }},
    caps: [(0, 2, 0)],
    stores: {{"flax": (parts: ["one", "two", "line", "store", "later"], takes: "flax")}},
    goals: [{goals}],
)
"#
    );
    halls.write(name, &text);
    halls.path(name)
}

const BUILT: &str = "5 parts, 4 stand, 0 links proven, 0 taken at their word, 2 problems";

/// The verdict about it in JSON of a run.
fn verdict(found: &Value) -> &Value {
    let mut verdicts = found["verdicts"].as_array().expect("a list").iter();
    verdicts
        .find(|verdict| verdict["question"] == "buildable")
        .expect("it is asked")
}

/// Text of a run or check that ends with this exit code.
fn text(arguments: &[&str], exit_code: i32) -> String {
    let output = hallwright(arguments);
    let code = output.status.code();
    assert_eq!(code, Some(exit_code), "{arguments:?}: {}", stderr(&output));
    unwrapped(&stdout(&output))
}

#[test]
fn a_run_says_what_was_built_and_is_missed_for_each_problem() {
    let halls = Halls::new();
    let path = placed(&halls, "placed.ron", "");
    let output = hallwright(&["run", &path]);
    assert_eq!(output.status.code(), Some(1));
    let warned = unwrapped(&stderr(&output));
    assert!(
        warned.contains(
            "warning[site::overlap]: `two` at (5, 0, 0) and `one` at (5, 0, 0) fill one block"
        ),
        "{warned}"
    );
    assert!(warned.contains("warning[site::target-apart]"), "{warned}");
    let said = unwrapped(&stdout(&output));
    assert!(said.contains(&format!("Built {BUILT} ")), "{said}");
    assert!(
        said.contains("missed buildable: 2 problems, at most 0"),
        "{said}"
    );
    assert!(said.contains("1 of 5 parts stands nowhere"), "{said}");
}

#[test]
fn a_run_for_programs_has_each_problem_with_its_places_and_its_help() {
    let halls = Halls::new();
    let path = placed(&halls, "placed.ron", r#"Buildable(except: ["one"])"#);
    let found = findings(&[&path], 1);
    let site = &found["site"];
    let counts = ["parts", "stand", "links_proven", "taken_at_their_word"];
    assert_eq!(
        counts.map(|count| site[count].as_u64()),
        [5, 4, 0, 0].map(Some)
    );
    let problems = site["problems"].as_array().expect("a list");
    assert_eq!(problems.len(), 2);
    assert_eq!(problems[0]["id"], "site::overlap");
    assert_eq!(
        (&problems[0]["part"], &problems[0]["other"]),
        (&json!("two"), &json!("one"))
    );
    assert_eq!(problems[0]["is_allowed"], true);
    let apart = &problems[1];
    assert_eq!(apart["id"], "site::target-apart");
    assert_eq!(
        (&apart["at"], &apart["other_at"]),
        (&json!([0, 1, 0]), &json!([0, 0, 1]))
    );
    let wanted = apart["wanted_at"].as_array().expect("a list");
    assert!(
        wanted.contains(&json!([0, 0, 0])),
        "directly below: {wanted:?}"
    );
    assert_eq!(wanted.len(), 5);
    assert_eq!(apart["is_allowed"], false);
    let verdict = verdict(&found);
    assert_eq!(
        (&verdict["verdict"], &verdict["met"]),
        (&json!("missed"), &json!(false))
    );
    assert_eq!(verdict["judged_anyway"], false);
    assert_eq!(verdict["checks"][0]["measured"], 1);
    assert_eq!(
        verdict["why"].as_array().map(Vec::len),
        Some(1),
        "what is allowed would hide it"
    );
}

#[test]
fn a_check_says_it_once_for_all_runs() {
    let halls = Halls::new();
    let path = placed(&halls, "placed.ron", "");
    let said = text(&["check", &path], 1);
    assert_eq!(
        said.matches(&format!("Built: {BUILT}")).count(),
        1,
        "{said}"
    );
    assert!(
        said.contains("- buildable: 2 problems, at most 0"),
        "{said}"
    );
    let output = hallwright(&["check", &path, "--output", "json=-"]);
    assert_eq!(output.status.code(), Some(1));
    let found: Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    let scenario = &found["scenarios"][0];
    assert_eq!(scenario["site"]["stand"], 4);
    assert_eq!(
        scenario["site"]["problems"].as_array().map(Vec::len),
        Some(2)
    );
    let mut goals = scenario["goals"].as_array().expect("a list").iter();
    let goal = goals.find(|goal| goal["worst"]["question"] == "buildable");
    assert_eq!(
        goal.map(|goal| &goal["worst"]["verdict"]),
        Some(&json!("missed"))
    );
}

#[test]
fn what_goals_allow_is_allowed_and_nothing_else() {
    let halls = Halls::new();
    // Either part of a problem will do; one without a problem allows none.
    for (name, goals, ending, ruling) in [
        (
            "all.ron",
            r#"Buildable(except: ["two", "store"])"#,
            ", all of them allowed",
            "allowed",
        ),
        (
            "some.ron",
            r#"Buildable(except: ["line"])"#,
            ", 1 of them allowed",
            "missed",
        ),
        ("none.ron", r#"Buildable(except: ["later"])"#, "", "missed"),
    ] {
        let path = placed(&halls, name, goals);
        let code = i32::from(ruling == "missed");
        let said = text(&["run", &path], code);
        assert!(said.contains(&format!("{BUILT}{ending} Goals")), "{said}");
        let found = findings(&[&path], code);
        assert_eq!(verdict(&found)["verdict"], ruling, "{goals}");
        text(&["check", &path], code);
    }
    // Nobody is no exception.
    let path = placed(&halls, "nobody.ron", r#"Buildable(except: ["nobody"])"#);
    text(&["run", &path], 2);
}

#[test]
fn the_parts_of_a_row_are_allowed_each_by_its_name_or_all_at_once() {
    let halls = Halls::new();
    for (except, exit_code) in [("row[*].one", 0), ("row[0].one", 1), ("row", 2)] {
        let text_of = format!(
            r#"(
    title: "Row",
    run_for: "5s",
    goods: {{"flax": 64}},
    modules: {{
        "pair": (
            parts: {{
                "one": Barrel(holds: ["flax"], position: (0, 0, 0)),
                "two": Barrel(position: (0, 0, 0)),
            }},
        ),
    }},
    uses: {{"row": Row(module: "pair", count: 3, step: (2, 0, 0))}},
    stores: {{"flax": (parts: ["row[*].one", "row[*].two"], takes: "flax")}},
    goals: [Buildable(except: ["{except}"])],
)
"#
        );
        halls.write("row.ron", &text_of);
        text(&["run", &halls.path("row.ron")], exit_code);
    }
}

#[test]
fn a_goal_of_a_design_that_stands_nowhere_cannot_be_judged_and_is_no_yes() {
    let halls = Halls::new();
    let scenario = |position: &str| {
        let text = format!(
            "(title: \"Kegs\", run_for: \"5s\", goods: {{\"flax\": 64}},\n\
             parts: {{\"keg\": Barrel(holds: [\"flax\"]{position}), \"rest\": Barrel()}},\n\
             stores: {{\"flax\": (parts: [\"keg\", \"rest\"], takes: \"flax\")}},\n\
             goals: [Buildable()])\n"
        );
        halls.write("kegs.ron", &text);
        halls.path("kegs.ron")
    };
    let nowhere = scenario("");
    let said = text(&["run", &nowhere], 1);
    assert!(
        said.contains("unknown buildable (nothing says where the parts stand)"),
        "{said}"
    );
    assert!(!said.contains("Built"), "{said}");
    text(&["check", &nowhere], 1);
    let found = findings(&[&nowhere], 1);
    assert_eq!(found.get("site").filter(|site| !site.is_null()), None);
    assert_eq!(verdict(&found)["verdict"], "not_known");
    // Of one that stands in part, it is said in how large a part.
    let in_part = scenario(", position: (0, 0, 0)");
    let said = text(&["run", &in_part], 0);
    let met = "met buildable: 0 problems, at most 0 (1 of 2 parts stands nowhere, and nothing is asked of it)";
    assert!(said.contains(met), "{said}");
}
