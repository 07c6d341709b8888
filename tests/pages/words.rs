//! One word for one thing: words that were given up for another one do not come back where a user
//! reads them, on the pages, in the scenarios and in what the command prints.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::root;

/// What is not said any more, and what is said in its place. Small letters; a space stands for any
/// break between words.
const GIVEN_UP: [(&str, &str); 37] = [
    ("all hold", "all ok"),
    ("held by", "limited by"),
    ("held_by", "limited_by"),
    ("holds at most", "room"),
    ("capacity_items", "room_items"),
    ("capacity_boxes", "room_boxes"),
    ("capacity_slots", "room_slots"),
    ("unstored", "in no store"),
    ("unstored_items", "in_no_store_items"),
    ("elsewhere_items", "in_lines_items"),
    ("idle work", "work at rest"),
    ("eject", "throw"),
    ("ejects", "throws"),
    ("ejected", "thrown"),
    ("threw", "thrown"),
    ("pickup", "collecting"),
    ("picked up", "collected"),
    ("take up", "collect"),
    ("takes up", "collects"),
    ("taken up", "collected"),
    ("took up", "collected"),
    ("combination", "design"),
    ("combinations", "designs"),
    ("strategy", "variant or design"),
    ("strategies", "variants or designs"),
    ("stop moment", "stop tick"),
    ("moments", "ticks"),
    ("shuttle's place", "dock"),
    ("place of a shuttle", "dock"),
    ("area", "module"),
    ("areas", "modules"),
    ("instance", "module"),
    ("instances", "modules"),
    ("tells", "reports"),
    ("told", "reported"),
    ("rogue", "stray"),
    ("rogues", "strays"),
];

/// The words of a text, small, with `_` and `'` as letters.
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|letter: char| !(letter.is_alphanumeric() || letter == '_' || letter == '\''))
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// What was given up and is in a text all the same.
fn found(text: &str) -> BTreeSet<String> {
    let words = words(text);
    let is_there = |said: &str| {
        let said: Vec<&str> = said.split(' ').collect();
        words.windows(said.len()).any(|here| here == said)
    };
    let said = GIVEN_UP.iter().filter(|(said, _)| is_there(said));
    said.map(|(said, better)| format!("`{said}`: say `{better}`"))
        .collect()
}

fn assert_none(whose: &str, text: &str) {
    assert!(!text.trim().is_empty(), "{whose} is empty");
    let found = found(text);
    assert!(found.is_empty(), "{whose} has {found:?}");
}

/// All files below a folder with one of these endings.
pub(super) fn files(folder: &Path, endings: &[&str], into: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).expect("the folder can be read");
    for entry in entries {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, endings, into);
        } else if path
            .extension()
            .is_some_and(|ending| endings.iter().any(|wanted| ending == *wanted))
        {
            into.push(path);
        }
    }
}

#[test]
fn a_word_that_was_given_up_is_found() {
    assert_eq!(found("It was Ejected,\nand held\nby a hopper.").len(), 2);
    assert_eq!(found("the held bystander, rejected").len(), 0);
}

#[test]
fn pages_and_scenarios_have_none() {
    let root = root();
    let mut paths = vec![root.join("README.md"), root.join("DEVELOPERS.md")];
    files(&root.join("docs"), &["md"], &mut paths);
    files(&root.join("scenarios"), &["ron", "csv", "md"], &mut paths);
    assert!(paths.len() > 30);
    for path in paths {
        // The changelog says how things were called before.
        if path.ends_with("CHANGELOG.md") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a text");
        assert_none(&path.display().to_string(), &text);
    }
}

/// What a command prints, on both streams.
fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(root())
        .env("COLUMNS", "100")
        .args(arguments)
        .output()
        .expect("the command can be started");
    let [out, err] =
        [output.stdout, output.stderr].map(|text| String::from_utf8(text).expect("text"));
    out + &err
}

#[test]
fn no_help_has_any() {
    assert_none("help", &printed(&["--help"]));
    for command in [
        "run", "check", "compare", "tune", "explain", "show", "sheet", "plan", "levels",
    ] {
        assert_none(command, &printed(&[command, "--help"]));
    }
}

#[test]
fn nothing_that_is_printed_has_any() {
    let slice = "scenarios/first-slice.ron";
    let line = "scenarios/granary/line.ron";
    for arguments in [
        &["run", slice][..],
        &["run", line],
        &["run", slice, "--variant", "leaky"],
        &["run", slice, "--output", "json"],
        &["sheet", "scenarios/standing/return.ron"],
        &["sheet", line],
        &["run", slice, "--output", "trace"],
        &["run", "scenarios/granary/retrieval.ron", "--output", "json"],
        &[
            "run",
            "scenarios/granary/unloading.ron",
            "--output",
            "trace",
        ],
        &["check", slice],
        &["check", slice, "--output", "json"],
        &["check", slice, "--output", "markdown"],
        &["compare", slice],
        &["compare", slice, "--output", "json"],
        &["explain", line],
        &["explain", line, "--output", "json"],
        &["explain", slice, "--variant", "leaky"],
        &[
            "show",
            "scenarios/granary/retrieval.ron",
            "--output",
            "html",
        ],
        &[
            "plan",
            "scenarios/plan/mill-catalogue.csv",
            "--output",
            "text",
        ],
        &[
            "plan",
            "scenarios/plan/mill-catalogue.csv",
            "--output",
            "json",
        ],
        &["levels"],
        &["levels", "--output", "json"],
    ] {
        assert_none(&arguments.join(" "), &printed(arguments));
    }
}
