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
        .env_remove("COLUMNS")
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
    let output = hallwright(&[&["run", "--output", "json"], arguments].concat());
    assert_eq!(
        output.status.code(),
        Some(exit_code),
        "{arguments:?}: {}",
        stderr(&output)
    );
    serde_json::from_slice(&output.stdout).expect("the findings are JSON")
}

/// A folder of scenarios that a test may change. It is gone when the test is over.
pub(crate) struct Halls(tempfile::TempDir);

impl Halls {
    /// An empty folder.
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().expect("a temporary folder"))
    }

    /// The path of a file in it.
    pub(crate) fn path(&self, name: &str) -> String {
        let path = self.0.path().join(name);
        path.to_str().expect("a plain path").to_owned()
    }

    /// The folder itself.
    pub(crate) fn folder(&self) -> &str {
        self.0.path().to_str().expect("a plain path")
    }

    /// Writes a file into it.
    pub(crate) fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).expect("it can be written");
    }

    /// The text of a file in it.
    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("it can be read")
    }

    /// The names of what is in it.
    pub(crate) fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.folder()).expect("the folder is there");
        let names = entries.map(|entry| entry.expect("it can be read").file_name());
        let mut names: Vec<String> = names.map(|name| name.to_string_lossy().into()).collect();
        names.sort();
        names
    }

    /// Puts a copy of a folder of our scenarios into it, with a part of the text of one file replaced.
    pub(crate) fn copy_folder(&self, folder: &str, changed: &str, old: &str, new: &str) {
        let from = root().join("scenarios").join(folder);
        std::fs::create_dir_all(self.path(folder)).expect("it can be made");
        for entry in std::fs::read_dir(from).expect("the folder is there") {
            let entry = entry.expect("it can be read");
            let name = format!("{folder}/{}", entry.file_name().to_string_lossy());
            if entry.file_type().expect("it has a type").is_dir() {
                self.copy_folder(&name, changed, old, new);
            } else if name == changed {
                self.copy(&name, old, new);
            } else {
                std::fs::copy(entry.path(), self.path(&name)).expect("it can be copied");
            }
        }
    }

    /// Puts a copy of one of our scenarios into it, with a part of its text replaced.
    pub(crate) fn copy(&self, scenario: &str, old: &str, new: &str) {
        let path = root().join("scenarios").join(scenario);
        let text = std::fs::read_to_string(path).expect("the scenario is there");
        assert!(text.contains(old), "{scenario} has no `{old}`");
        self.write(scenario, &text.replace(old, new));
    }
}

/// Words as one line, whatever lines they were printed on.
pub(crate) fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
