//! Scenarios that the command writes: new ones, flat ones, drawn ones, bundles.

use crate::support::{findings, hallwright, stderr};

/// A path as an argument.
fn shown(path: &std::path::Path) -> &str {
    path.to_str().expect("it is UTF-8")
}

#[test]
fn a_new_scenario_meets_its_own_goals_and_is_never_written_over() {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let name = folder.path().join("mill");
    let output = hallwright(&["new", shown(&name)]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let path = folder.path().join("mill.ron");
    let output = hallwright(&["run", shown(&path), "--verify"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(!stderr(&output).contains("warning"), "{}", stderr(&output));
    std::fs::write(&path, "mine").expect("it can be written");
    let output = hallwright(&["new", shown(&path)]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("is there already"));
    assert_eq!(std::fs::read_to_string(&path).ok().as_deref(), Some("mine"));
}

#[test]
fn what_a_run_writes_of_its_scenario_runs_in_the_same_way() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let flat = folder.path().join("flat.ron");
    let bundle = folder.path().join("bundle.ron");
    let variant = "midway returns";
    let figures = |arguments: &[&str]| {
        let mut report = findings(arguments, 0);
        for said in ["input_digest", "command", "variant"] {
            report
                .as_object_mut()
                .expect("a report is an object")
                .remove(said);
        }
        report
    };
    let scenario = "scenarios/multi-item-line.ron";
    let (flat, bundle) = (shown(&flat), shown(&bundle));
    let written = figures(&[
        scenario,
        "--variant",
        variant,
        "--output",
        &format!("flat={flat}"),
        "--output",
        &format!("bundle={bundle}"),
    ]);
    assert_eq!(figures(&[flat]), written);
    assert_eq!(figures(&[bundle, "--variant", variant]), written);
}

#[test]
fn what_is_declared_about_getting_goods_out_is_written_too() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let (flat, bundle) = (folder.path().join("flat.ron"), folder.path().join("b.ron"));
    let (flat, bundle) = (shown(&flat), shown(&bundle));
    let scenario = "tests/layouts/valid/requests.ron";
    let (to_flat, to_bundle) = (format!("flat={flat}"), format!("bundle={bundle}"));
    let targets = ["--output", to_flat.as_str(), "--output", &to_bundle];
    let report = findings(&[&[scenario], &targets[..]].concat(), 0);
    let retrieval = &report["retrieval"];
    let request = &retrieval["desks"][0]["requests"][0];
    // The beat rises every 24 ticks: the tallies, laid down in tick 200, are seen in tick 202 at the
    // earliest, so that the beats of ticks 216 and 240 bring a box each, within 10 ticks.
    let first = request["first_box_at_tick"].as_u64().expect("it arrived");
    let last = request["last_box_at_tick"].as_u64().expect("it arrived");
    assert!((216..=226).contains(&first), "{first}");
    assert_eq!(last - first, 24);
    assert_eq!(request["asked_boxes"], 2);
    // Five boxes came into the loader and two left it; each is a stack.
    assert_eq!(retrieval["gathers"][0]["left"]["stacks"], 2);
    assert_eq!(retrieval["gathers"][0]["left"]["part_stacks"], 0);
    // The two at the counter and the three that are asked for when the run goes on: 1,728 each.
    assert_eq!(retrieval["left_behind"][0]["items"], 0);
    assert_eq!(retrieval["left_behind"][0]["taken_items"], 5 * 1_728);
    for written in [flat, bundle] {
        let again = findings(&[written], 0);
        assert_eq!(again["retrieval"], *retrieval);
        assert_eq!(again["goals"], report["goals"]);
    }
}

#[test]
fn a_scenario_is_not_written_over_itself() {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let path = folder.path().join("mill.ron");
    hallwright(&["new", shown(&path)]);
    let before = std::fs::read_to_string(&path).expect("it is there");
    for format in ["bundle", "flat", "json", "trace"] {
        let target = format!("{format}={}", shown(&path));
        let output = hallwright(&["run", shown(&path), "--output", &target]);
        assert_eq!(output.status.code(), Some(2), "{format}");
        assert!(stderr(&output).contains("it is read here"));
        assert_eq!(std::fs::read_to_string(&path).ok(), Some(before.clone()));
    }
}

#[test]
fn a_scenario_that_stands_is_drawn_and_meets_its_goals_as_before() {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let path = folder.path().join("drawn.ron");
    let target = format!("floors={}", shown(&path));
    let variant = ["scenarios/bulk-slice.ron", "--variant", "gate watched"];
    let declared = findings(&[&variant[..], &["--output", &target]].concat(), 0);
    let drawn = findings(&[shown(&path)], 0);
    for same in ["links_proven", "at_their_word", "problems"] {
        assert_eq!(drawn["site"][same], declared["site"][same], "{same}");
    }
    assert_eq!(drawn["goals"], declared["goals"]);
}

#[test]
fn what_cannot_be_drawn_is_refused_before_anything_is_written() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let (floors, json) = (folder.path().join("f.ron"), folder.path().join("f.json"));
    let targets = [
        format!("json={}", shown(&json)),
        format!("floors={}", shown(&floors)),
    ];
    let [first, second] = &targets;
    let scenario = "tests/data/missed-goal.ron";
    let output = hallwright(&["run", scenario, "--output", first, "--output", second]);
    assert_eq!(output.status.code(), Some(2));
    let said = "error: the scenario cannot be drawn as floors: no part stands anywhere: say the `position` of the \
                parts that are to be drawn\n";
    assert_eq!(stderr(&output), said);
    assert!(!floors.exists() && !json.exists());
}

#[test]
fn a_warning_is_reported_and_does_not_stop_a_run() {
    let output = hallwright(&["run", "tests/layouts/smelly/never-filled.ron"]);
    assert_eq!(output.status.code(), Some(0));
    let reported = stderr(&output);
    assert!(
        reported.contains("warning[smell::never-filled]"),
        "{reported}"
    );
    assert!(reported.contains("used here"), "{reported}");
}
