//! Formats, files, verification and exit codes.

use std::io::BufRead;

use crate::support::{findings, hallwright, root, stderr, stdout};

const FIRST_SLICE: &str = "scenarios/first-slice.ron";

#[test]
fn the_text_leads_with_what_a_builder_asks_first() {
    let output = hallwright(&["run", FIRST_SLICE]);
    assert_eq!(output.status.code(), Some(0));
    let text = stdout(&output);
    let place = |word: &str| {
        text.find(&format!("\n{word}"))
            .unwrap_or_else(|| panic!("{text}"))
    };
    assert!(place("Sorted") < place("Kept up"));
    assert!(place("Kept up") < place("Lost"));
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(!text.contains('\u{1b}'), "a pipe gets no colours");
}

#[test]
fn the_same_run_gives_the_same_report_and_another_order_says_so() {
    let first = findings(&[FIRST_SLICE], 0);
    assert_eq!(first, findings(&[FIRST_SLICE], 0));
    let reversed = findings(&[FIRST_SLICE, "--order", "reversed"], 0);
    assert_eq!(reversed["update_order"], "reversed");
    assert_eq!(reversed["signal_order"], "declared");
    assert_eq!(reversed["input_digest"], first["input_digest"]);
    let orders = ["--order", "reversed", "--signal-order", "shuffled:5"];
    let shuffled = findings(&[&[FIRST_SLICE], &orders[..]].concat(), 0);
    assert_eq!(shuffled["update_order"], "reversed");
    assert_eq!(shuffled["signal_order"], "shuffled:5");
    let again = shuffled["command"].as_str().expect("it can be repeated");
    assert!(again.ends_with(&orders.join(" ")), "{again}");
}

#[test]
fn the_seed_and_the_variant_are_part_of_the_report() {
    let report = findings(&[FIRST_SLICE, "--seed", "99", "--variant", "leaky"], 0);
    assert_eq!(report["seed"], 99);
    assert_eq!(report["variant"], "leaky");
}

#[test]
fn a_trace_has_every_event_on_a_line_of_its_own() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("trace.jsonl");
    let target = format!("trace={}", path.display());
    let output = hallwright(&["run", FIRST_SLICE, "--output", &target]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(output.stdout.is_empty(), "only what is named is written");
    let trace = std::fs::read(&path).expect("the trace is there");
    let printed = hallwright(&["run", FIRST_SLICE, "--output", "trace"]);
    assert!(printed.stdout == trace, "standard output gets the same");
    let lines: Vec<serde_json::Value> = trace
        .lines()
        .map(|line| serde_json::from_str(&line.expect("text")).expect("an object a line"))
        .collect();
    // The first line is no event: it says by which names the others are to be read.
    assert_eq!(lines[0], serde_json::json!({"schema_version": 2}));
    let lines = &lines[1..];
    let ticks: Vec<u64> = lines
        .iter()
        .filter_map(|line| line["tick"].as_u64())
        .collect();
    assert_eq!(ticks.len(), lines.len());
    assert!(ticks.is_sorted());
    // The first thing that happens: the heads of both lines draw from their feeds.
    assert_eq!(
        lines[0],
        serde_json::json!({
            "tick": 0, "phase": 4, "event": "moved", "from": "feed", "to": "line_1",
            "kind": "barley",
        })
    );
}

#[test]
fn a_trace_that_cannot_be_written_is_an_error_and_leaves_nothing_behind() {
    let output = hallwright(&[
        "run",
        FIRST_SLICE,
        "--output",
        "trace=no/such/folder/trace.jsonl",
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(
        stderr(&output).contains("no/such/folder/trace.jsonl"),
        "{}",
        stderr(&output)
    );
    assert!(!root().join("no").exists());
}

#[test]
fn only_one_trace_is_written() {
    let output = hallwright(&[
        "run",
        FIRST_SLICE,
        "--output",
        "trace",
        "--output",
        "trace=-",
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(!root().join("-").exists());
}

#[test]
fn without_a_variant_the_variants_are_named() {
    let output = hallwright(&["run", FIRST_SLICE]);
    assert_eq!(output.status.code(), Some(0));
    assert!(
        stderr(&output).contains("sealed, leaky"),
        "{}",
        stderr(&output)
    );
    let chosen = hallwright(&["run", FIRST_SLICE, "--variant", "sealed"]);
    assert_eq!(stderr(&chosen), "");
}

#[test]
fn a_missed_goal_is_exit_code_1() {
    let scenario = "tests/data/missed-goal.ron";
    let output = hallwright(&["run", scenario]);
    assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
    assert!(stdout(&output).contains("missed"), "{}", stdout(&output));
}

#[test]
fn a_stop_sweep_reports_the_best_and_the_worst() {
    let arguments = [
        "scenarios/multi-item-line.ron",
        "--variant",
        "midway returns",
    ];
    let sweep = ["--stop-sweep", "3600..3607/1"];
    let report = findings(&[&arguments[..], &sweep[..]].concat(), 0);
    let sweep = &report["sweep"];
    assert_eq!(sweep["runs"], 8, "{sweep}");
    let cleared = sweep["marks"]
        .as_array()
        .and_then(|marks| marks.iter().find(|mark| mark["mark"] == "cleared"))
        .expect("all sections together are swept");
    let ticks = |name: &str| cleared[name].as_u64().expect("it always clears");
    assert!(ticks("best_ticks") <= ticks("worst_ticks"), "{cleared}");
}

#[test]
fn flags_of_a_sweep_that_do_not_go_together_are_refused() {
    let scenario = "scenarios/multi-item-line.ron";
    let sweep = ["--stop-sweep", "3600..3607"];
    for (flags, is_swept) in [
        (&["--shuffles", "1"][..], false),
        (&["--seeds", "1"], false),
        (&["--jobs", "1"], false),
        (&["--stop-at", "3600"], true),
        (&["--order", "reversed", "--shuffles", "1"], true),
        (&["--signal-order", "reversed", "--shuffles", "1"], true),
        (
            &["--variant", "one line", "--variant", "five sections"],
            true,
        ),
    ] {
        let mut arguments = vec!["run", scenario];
        arguments.extend(flags);
        if is_swept {
            arguments.extend(sweep);
        }
        let output = hallwright(&arguments);
        assert_eq!(output.status.code(), Some(2), "{flags:?}");
        assert!(stderr(&output).contains(flags[0]), "{}", stderr(&output));
        assert!(output.stdout.is_empty(), "{flags:?}");
    }
}
