//! Whatever a file says, it is reported and nothing breaks.

use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{LoadOptions, render};

use crate::{beside, load_text};

/// Loads a text that is probably broken; what is reported of it must be fit to be drawn.
fn survives(text: &str) {
    let loaded = load_text(text, &LoadOptions::default());
    let mut reported = loaded.diagnostics.iter();
    let is_broken = reported.any(|one| one.severity == Severity::Error && one.primary().is_some());
    assert!(loaded.scenario.is_some() != is_broken);
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    assert_eq!(drawn.is_empty(), loaded.diagnostics.is_empty());
}

/// Every construct that needs no other file.
fn everything() -> Vec<String> {
    let names = ["everything", "listed", "positions", "flat"];
    let text = |name: &str| std::fs::read_to_string(beside(&format!("valid/{name}.ron")));
    let texts = names.map(|name| text(name).expect("the file is there"));
    texts.into()
}

#[test]
fn any_line_can_be_missing() {
    for text in everything() {
        let lines: Vec<&str> = text.lines().collect();
        for missing in 0..lines.len() {
            let kept: Vec<&str> = [&lines[..missing], &lines[missing + 1..]].concat();
            survives(&kept.join("\n"));
        }
    }
}

#[test]
fn nesting_without_end_is_no_scenario() {
    for open in ["[", "(a: ", "{\"a\": ", "(parts: {\"a\": Not("] {
        survives(&open.repeat(2_000));
    }
    let deep = format!("{}true{}", "Not(".repeat(2_000), ")".repeat(2_000));
    survives(&format!("(title: \"Deep\", run_for: \"1s\", seed: {deep})"));
}

#[test]
fn the_file_can_end_anywhere() {
    for text in everything() {
        for end in (0..text.len()).step_by(37) {
            survives(&text[..end]);
        }
    }
}

#[test]
fn any_word_can_be_another() {
    for text in everything() {
        let words: Vec<(usize, &str)> = text
            .match_indices(|letter: char| "\"(){}[]:,0123456789".contains(letter))
            .step_by(23)
            .collect();
        for (at, word) in words {
            for other in OTHER_WORDS {
                let mangled = format!("{}{other}{}", &text[..at], &text[at + word.len()..]);
                survives(&mangled);
            }
        }
    }
}

/// What is put in place of words.
const OTHER_WORDS: [&str; 12] = [
    "\"",
    "(",
    "]",
    "-1",
    "0",
    "ä",
    "$index",
    "$each",
    "99999999999",
    "None",
    "r#",
    "b\"x\"",
];
