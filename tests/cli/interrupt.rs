//! An interrupt ends many runs early, and what was found by then is reported.

use std::io::Read as _;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::support::Halls;

/// Interrupts a command after so long; gives its exit code and what it printed.
fn interrupted(arguments: &[&str], after: Duration) -> (Option<i32>, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .args(arguments)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    std::thread::sleep(after);
    let kill = format!("kill -INT {}", child.id());
    let killed = Command::new("sh").args(["-c", &kill]).status();
    assert!(killed.expect("there is a shell").success());
    let mut said = String::new();
    let mut out = child.stdout.take().expect("it is piped");
    out.read_to_string(&mut said).expect("it is text");
    let mut noted = String::new();
    let mut err = child.stderr.take().expect("it is piped");
    err.read_to_string(&mut noted).expect("it is text");
    (child.wait().expect("it ends").code(), said, noted)
}

/// So many stops take minutes, and every goal is met at each.
const MANY_STOPS: [&str; 4] = ["--stop-sweep", "2500..3700/1", "--shuffles", "3"];
/// Until then some of them are made, and by no means all.
const SOON: Duration = Duration::from_secs(20);

#[test]
fn a_sweep_reports_the_runs_that_were_made() {
    let arguments = ["run", "scenarios/granary.ron", "--variant", "five sections"];
    let (code, said, noted) = interrupted(&[&arguments[..], &MANY_STOPS].concat(), SOON);
    assert_eq!(code, Some(130), "{said}\n{noted}");
    assert!(said.contains("cut short before"), "{said}");
    assert!(noted.contains("interrupted"), "{noted}");
}

#[test]
fn a_check_that_was_cut_short_is_no_yes() {
    let arguments = [
        "check",
        "scenarios/granary.ron",
        "--variant",
        "five sections",
    ];
    let folder = Halls::new();
    let table = format!("csv={}", folder.path("check.csv"));
    let formats = ["--output", "json", "--output", &table];
    let (code, said, _) = interrupted(&[&arguments[..], &MANY_STOPS, &formats].concat(), SOON);
    assert_eq!(code, Some(130), "{said}");
    let table = std::fs::read_to_string(folder.path("check.csv")).expect("it is whole");
    assert!(table.contains("cut short: "), "{table}");
    let report: serde_json::Value = serde_json::from_str(&said).expect("it is whole");
    assert_eq!(report["outcome"], "cut short");
    let checked = &report["scenarios"][0];
    assert_eq!(checked["is_ok"], false);
    assert!(checked["unmade_runs"].as_u64() > Some(0), "{checked}");
    assert_eq!(checked["sweep"]["unmade_runs"], checked["unmade_runs"]);
}
