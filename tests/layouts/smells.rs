//! Warnings: files in `smelly/` show them where comments say `warning: [id]`, and sound files show
//! none.

use std::collections::BTreeSet;
use std::path::PathBuf;

use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{LoadOptions, ids, load, render};
use hallwright_smells::Rule;

use crate::written::sound_files;
use crate::{beside, readable};

#[test]
fn every_warning_is_reported_where_it_is_and_nothing_else() {
    let mut seen = BTreeSet::new();
    for entry in std::fs::read_dir(beside("smelly")).expect("the folder is there") {
        let path = entry.expect("it can be read").path();
        if path.extension().is_none_or(|extension| extension != "ron") {
            continue;
        }
        let loaded = load(&path, &LoadOptions::default());
        let mut wanted = BTreeSet::new();
        for file in loaded.sources.files() {
            for (number, line) in file.text.lines().enumerate() {
                if let Some((_, comment)) = line.split_once("// warning: [") {
                    let id = comment.trim_end_matches(']').to_owned();
                    wanted.insert((file.path.clone(), number + 1, id));
                }
            }
        }
        let reported: BTreeSet<(String, usize, String)> = loaded
            .diagnostics
            .iter()
            .map(|one| {
                let span = one.primary().expect("it is in a text");
                let path = loaded.sources.file(span.file).path.clone();
                (path, loaded.sources.position(span).line, one.id.to_owned())
            })
            .collect();
        let drawn = render(&loaded.diagnostics, &loaded.sources, false);
        assert_eq!(reported, wanted, "{drawn}");
        let mut severities = loaded.diagnostics.iter().map(|one| one.severity);
        assert!(severities.all(|severity| severity == Severity::Warning));
        seen.extend(loaded.diagnostics.iter().map(|one| one.id));
        readable(loaded);
    }
    let smells: BTreeSet<&str> = ids::ALL
        .iter()
        .copied()
        .filter(|id| id.starts_with("smell::"))
        .collect();
    assert_eq!(seen, smells, "each warning has a file that shows it");
}

#[test]
fn twenty_sound_files_show_no_warning() {
    let files = sound_files();
    assert!(files.len() >= 20, "{}", files.len());
    for path in files {
        let plain = load(&path, &LoadOptions::default());
        let drawn = render(&plain.diagnostics, &plain.sources, false);
        assert_eq!(drawn, "");
    }
}

/// Every scenario that is there to copy from, wherever it lies below their folder.
fn own_scenarios() -> Vec<PathBuf> {
    let mut folders = vec![beside("../../scenarios")];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("it can be read").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "ron") {
                let text = std::fs::read_to_string(&path).expect("it can be read");
                // Files of modules and halls have none.
                if text.contains("\n    run_for:") {
                    found.push(path);
                }
            }
        }
    }
    found.sort();
    found
}

#[test]
fn no_variant_of_our_scenarios_shows_a_warning() {
    let scenarios = own_scenarios();
    assert!(scenarios.len() >= 12, "{scenarios:?}");
    let mut reported = String::new();
    for path in scenarios {
        let plain = load(&path, &LoadOptions::default());
        reported += &render(&plain.diagnostics, &plain.sources, false);
        for name in readable(plain).variants {
            let options = LoadOptions {
                variant: Some(name),
                ..LoadOptions::default()
            };
            let loaded = load(&path, &options);
            reported += &render(&loaded.diagnostics, &loaded.sources, false);
        }
    }
    assert_eq!(reported, "");
}

#[test]
fn what_looks_mistaken_has_the_ids_that_are_explained() {
    // `smells` and `text` do not know each other.
    let rules: Vec<&str> = Rule::ALL.iter().map(|rule| rule.id()).collect();
    let explained = ids::ALL.iter().copied();
    let explained: Vec<&str> = explained.filter(|id| id.starts_with("smell::")).collect();
    assert_eq!(rules, explained);
}
