//! Runs that are saved before a tick, and gone on with.

use crate::support::{Halls, hallwright, stderr, stdout};

const SLICE: &str = "scenarios/first-slice.ron";
const GRANARY: [&str; 4] = ["run", "scenarios/granary.ron", "--variant", "five sections"];

#[test]
fn a_run_that_is_gone_on_with_reports_what_the_whole_one_does() {
    let folder = Halls::new();
    let (early, late) = (folder.path("early.saved"), folder.path("late.saved"));
    // In the middle of its stop, and long before.
    let save = [format!("900={early}"), format!("2620={late}")];
    let json = |more: &[&str]| {
        let output = hallwright(&[&GRANARY[..], &["--output", "json"], more].concat());
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        stdout(&output)
    };
    let whole = json(&["--save-at", &save[0], "--save-at", &save[1]]);
    assert_eq!(json(&[]), whole);
    assert_eq!(json(&["--resume", &early]), whole);
    assert_eq!(json(&["--resume", &late]), whole);
    // Saved once more on the way, it is the same file.
    let again = folder.path("again.saved");
    json(&["--resume", &early, "--save-at", &format!("2620={again}")]);
    let bytes = |path: &str| std::fs::read(path).expect("it was saved");
    assert_eq!(bytes(&again), bytes(&late));
}

#[test]
fn a_trace_begins_where_the_run_is_gone_on_with() {
    let folder = Halls::new();
    let file = folder.path("halfway.saved");
    let traced = |flag: &str, value: &str| {
        let output = hallwright(&["run", SLICE, "--output", "trace", flag, value]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        stdout(&output)
    };
    let whole = traced("--save-at", &format!("300={file}"));
    let rest = traced("--resume", &file);
    // The first line has the version.
    let (version, events) = rest.split_once('\n').expect("lines");
    assert!(whole.starts_with(version) && whole.ends_with(events));
    assert!(events.len() > 1_000 && rest.len() < whole.len());
    let first = events.lines().next().expect("something happens");
    let event: serde_json::Value = serde_json::from_str(first).expect("JSON");
    assert!(event["tick"].as_u64() >= Some(300), "{first}");
}

#[test]
fn what_cannot_be_gone_on_with_is_refused_with_the_reason() {
    let folder = Halls::new();
    let file = folder.path("halfway.saved");
    let refused = |arguments: &[&str]| {
        let output = hallwright(&[&["run"], arguments].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert_eq!(stdout(&output), "", "{arguments:?}");
        stderr(&output)
    };
    let saved = hallwright(&["run", SLICE, "--save-at", &format!("300={file}")]);
    assert_eq!(saved.status.code(), Some(0));

    let other_run = refused(&[SLICE, "--resume", &file, "--seed", "9"]);
    assert!(
        other_run.contains("run it with the same flags"),
        "{other_run}"
    );
    folder.write(
        "first-slice.ron",
        &format!("{}\n", include_str!("../../scenarios/first-slice.ron")),
    );
    let changed = refused(&[&folder.path("first-slice.ron"), "--resume", &file]);
    assert!(
        changed.contains("the scenario has changed since"),
        "{changed}"
    );
    let not_saved = refused(&[SLICE, "--resume", SLICE]);
    assert!(not_saved.contains("it is no saved run"), "{not_saved}");
    let missing = refused(&[SLICE, "--resume", &folder.path("nowhere.saved")]);
    assert!(missing.contains("nowhere.saved"), "{missing}");
    let mut bytes = std::fs::read(&file).expect("it was saved");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(folder.path("damaged.saved"), bytes).expect("it can be written");
    let damaged = refused(&[SLICE, "--resume", &folder.path("damaged.saved")]);
    assert!(
        damaged.contains("it is damaged: save the run anew"),
        "{damaged}"
    );

    let late = refused(&[SLICE, "--save-at", &format!("999999={file}")]);
    assert!(
        late.contains("`--save-at 999999` is not reached: the run has"),
        "{late}"
    );
    let over = refused(&[SLICE, "--resume", &file, "--save-at", "10=x.saved"]);
    assert!(
        over.contains("`--save-at 10` is over: the saved run goes on at tick 300"),
        "{over}"
    );
    let itself = refused(&[SLICE, "--save-at", &format!("10={SLICE}")]);
    assert!(itself.contains("first-slice.ron"), "{itself}");
    let both = refused(&[
        SLICE,
        "--resume",
        &file,
        "--save-at",
        &format!("400={file}"),
    ]);
    assert!(both.contains("halfway.saved"), "{both}");
    let words = refused(&[SLICE, "--save-at", "300"]);
    assert!(words.contains("write it as TICK=FILE"), "{words}");
}
