//! Every worked trace, run by both engines: the same events, costs, contents and losses.
//!
//! Beside the traces of `tests/data/worked-traces`, those of every folder that the environment
//! variable `WORKED_TRACES` names are run (separated as in `PATH`, `:` on most systems).

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use serde_json::{Map, Value};

use crate::outcome::{Outcome, run_engine, run_engine_leaping, run_engine_resumed, run_reference};
use crate::trace_case::{TraceCase, read_case};

/// One case and where it stands.
pub(crate) struct Found {
    /// The file, and for a file of many cases the line.
    pub(crate) origin: String,
    pub(crate) text: String,
}

/// The folders that hold worked traces. A relative path starts at the root of the workspace, not
/// at the crate that the tests happen to run in.
fn folders() -> Vec<PathBuf> {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."));
    let others = env::var_os("WORKED_TRACES").unwrap_or_default();
    let others = env::split_paths(&others).filter(|path| !path.as_os_str().is_empty());
    [PathBuf::from("tests/data/worked-traces")]
        .into_iter()
        .chain(others)
        .map(|folder| root.join(folder))
        .collect()
}

/// Every case of a folder, in the order of its file names: `*.json` is one case, `*.jsonl` a case
/// a line.
fn cases_of(folder: &Path) -> Vec<Found> {
    let entries =
        fs::read_dir(folder).unwrap_or_else(|problem| panic!("{}: {problem}", folder.display()));
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("a folder can be listed").path())
        .collect();
    files.sort();
    let mut cases = Vec::new();
    for file in files {
        let origin = file.display().to_string();
        let read =
            || fs::read_to_string(&file).unwrap_or_else(|problem| panic!("{origin}: {problem}"));
        match file.extension().and_then(|extension| extension.to_str()) {
            Some("json") => cases.push(Found {
                text: read(),
                origin: origin.clone(),
            }),
            Some("jsonl") => {
                let text = read();
                let lines = text.lines().enumerate();
                cases.extend(lines.filter(|(_, line)| !line.trim().is_empty()).map(
                    |(index, line)| Found {
                        origin: format!("{origin}, line {}", index + 1),
                        text: line.to_owned(),
                    },
                ));
            }
            _ => {}
        }
    }
    assert!(
        !cases.is_empty(),
        "{} holds no worked trace",
        folder.display()
    );
    cases
}

/// Every worked trace there is.
pub(crate) fn all_cases() -> Vec<Found> {
    folders()
        .iter()
        .flat_map(|folder| cases_of(folder))
        .collect()
}

/// The first event in which two traces differ, in words.
pub(crate) fn first_difference(expected: &[Value], found: &[Value]) -> Option<String> {
    let longest = expected.len().max(found.len());
    let index = (0..longest).find(|index| expected.get(*index) != found.get(*index))?;
    let show = |event: Option<&Value>| event.map_or("nothing more".to_owned(), Value::to_string);
    let before = index
        .checked_sub(1)
        .map_or("nothing".to_owned(), |before| found[before].to_string());
    Some(format!(
        "event {index} differs: expected {}, found {} (after {before})",
        show(expected.get(index)),
        show(found.get(index)),
    ))
}

/// What a worked trace names and the run gives otherwise, in words.
fn differing_entries(
    what: &str,
    expected: &Map<String, Value>,
    found: &Map<String, Value>,
) -> Vec<String> {
    expected
        .iter()
        .filter(|(name, value)| found.get(*name) != Some(value))
        .map(|(name, value)| {
            let found = found.get(name).unwrap_or(&Value::Null);
            format!("{what} of `{name}`: expected {value}, found {found}")
        })
        .collect()
}

/// Everything in which a run differs from its worked trace.
fn differences(case: &TraceCase, found: &Outcome) -> Vec<String> {
    let expected = &case.expected;
    let mut all: Vec<String> = first_difference(&expected.trace, &found.trace)
        .into_iter()
        .collect();
    all.extend(differing_entries("cost", &expected.cost, &found.cost));
    all.extend(differing_entries(
        "contents",
        &expected.contents,
        &found.contents,
    ));
    if expected.lost != found.lost {
        let show = |lost: &Map<String, Value>| Value::Object(lost.clone()).to_string();
        all.push(format!(
            "lost: expected {}, found {}",
            show(&expected.lost),
            show(&found.lost)
        ));
    }
    all
}

/// Runs every worked trace and reports all that differ.
fn check(run: impl Fn(&Network, &Setup, u64) -> Outcome) {
    let cases = all_cases();
    let mut failed = Vec::new();
    for found in &cases {
        let case = read_case(&found.text);
        let outcome = run(&case.network, &case.setup, case.ticks);
        let differences = differences(&case, &outcome);
        if !differences.is_empty() {
            let lines = differences.join("\n  ");
            failed.push(format!("{} ({})\n  {lines}", found.origin, case.about));
        }
    }
    assert!(
        failed.is_empty(),
        "{} of {} worked traces differ:\n{}",
        failed.len(),
        cases.len(),
        failed.join("\n")
    );
}

#[test]
fn worked_traces_hold_in_the_reference_engine() {
    check(run_reference);
}

#[test]
fn worked_traces_hold_in_the_engine() {
    check(run_engine);
}

#[test]
fn worked_traces_hold_in_the_engine_when_it_leaps() {
    check(run_engine_leaping);
}

#[test]
fn worked_traces_hold_in_the_engine_when_it_goes_on_from_every_tick() {
    check(run_engine_resumed);
}
