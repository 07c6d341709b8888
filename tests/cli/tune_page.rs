//! What `docs/do/tuning.md` shows is what the command prints.

use std::path::Path;
use std::process::{Command, Output};

use crate::support::{root, stderr, stdout};

/// Runs a command line of the page in a folder, without keeping results there.
fn run_line(line: &str, folder: &Path) -> Output {
    let words = line.strip_prefix("hallwright ").expect("it is our command");
    Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(folder)
        .args(words.split_whitespace())
        .arg("--no-cache")
        .output()
        .expect("the command can be started")
}

#[test]
fn every_command_on_the_page_prints_what_stands_below_it() {
    let page =
        std::fs::read_to_string(root().join("docs/do/tuning.md")).expect("the page is there");
    let folder = tempfile::tempdir().expect("there is room for a file");
    let (_, file) = page.split_once("```ron file mill.ron\n").expect("a file");
    let (text, _) = file.split_once("\n```").expect("the file ends");
    std::fs::write(folder.path().join("mill.ron"), text).expect("it can be written");
    let commands: Vec<&str> = page.split("```sh\n").skip(1).collect();
    assert_eq!(commands.len(), 2);
    for command in commands {
        let (line, rest) = command.split_once("\n```\n").expect("a fence ends");
        let (_, shown) = rest.split_once("```text\n").expect("what it prints");
        let (shown, _) = shown.split_once("```").expect("a fence ends");
        let output = run_line(line, folder.path());
        assert_eq!(stdout(&output), shown, "{line}\n{}", stderr(&output));
        let finds = shown.contains("Found");
        assert_eq!(output.status.code(), Some(i32::from(!finds)), "{line}");
    }
}
