//! The examples in the help of each command are run as they stand there.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::look_up::COMMANDS;
use crate::support::{hallwright, root, stdout};

/// The lines below `Examples:` in the help of a command.
fn examples(command: &str) -> Vec<String> {
    let help = stdout(&hallwright(&[command, "--help"]));
    let lines = help.lines().skip_while(|line| *line != "Examples:").skip(1);
    let lines = lines.take_while(|line| !line.is_empty());
    lines.map(|line| line.trim().to_owned()).collect()
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("there is room for a folder");
    for entry in fs::read_dir(from).expect("it is a folder") {
        let entry = entry.expect("it can be read");
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).expect("there is room for a file");
        }
    }
}

#[test]
fn every_example_in_the_help_runs() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    copy(&root().join("scenarios"), &folder.path().join("scenarios"));
    // Where shells look for completions.
    for path in [
        ".local/share/bash-completion/completions",
        ".config/fish/completions",
    ] {
        fs::create_dir_all(folder.path().join(path)).expect("there is room for a folder");
    }
    let program = Path::new(env!("CARGO_BIN_EXE_hallwright"));
    let path = format!(
        "{}:{}",
        program.parent().expect("it lies in a folder").display(),
        std::env::var("PATH").unwrap_or_default()
    );
    for command in COMMANDS {
        let examples = examples(command);
        assert!(!examples.is_empty(), "the help of `{command}` has none");
        for example in examples {
            assert!(
                example.starts_with(&format!("hallwright {command} "))
                    || example == "hallwright levels"
            );
            let output = Command::new("sh")
                .args(["-c", &example])
                .current_dir(folder.path())
                .env("PATH", &path)
                .env("HOME", folder.path())
                .stdin(Stdio::null())
                .output()
                .expect("there is a shell");
            assert!(
                output.status.success(),
                "{example}: {}{}",
                String::from_utf8_lossy(&output.stdout),
                String::from_utf8_lossy(&output.stderr)
            );
        }
    }
}
