//! Runs the command.

use std::path::PathBuf;
use std::process::{Command, Output};

/// The root of the project, where users run the command.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

/// Runs `hallwright` from the root of the project.
pub(crate) fn hallwright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(root())
        .env_remove("RUST_BACKTRACE")
        .args(arguments)
        .output()
        .expect("the command can be started")
}

/// What it prints on standard output.
pub(crate) fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("it prints text")
}

/// What it prints on standard error.
pub(crate) fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("it prints text")
}

/// Runs a scenario and reads its findings; fails unless it ended with this exit code.
pub(crate) fn findings(arguments: &[&str], exit_code: i32) -> serde_json::Value {
    let output = hallwright(&[&["run", "--format", "json"], arguments].concat());
    assert_eq!(
        output.status.code(),
        Some(exit_code),
        "{arguments:?}: {}",
        stderr(&output)
    );
    serde_json::from_slice(&output.stdout).expect("the findings are JSON")
}
