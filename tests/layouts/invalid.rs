//! Every file in `invalid/` is broken on purpose. A comment `error: [id]` says what must be reported:
//! behind a line, of that line; on a line of its own (the only way in a CSV file), of the next
//! line. Nothing else may be reported.

use std::collections::BTreeSet;
use std::path::PathBuf;

use hallwright_scenario::{LoadOptions, Loaded, ids, load};

use crate::{beside, ids_of, load_text};

/// What no small file can show: see `included.rs` and `limits.rs`.
const SHOWN_IN_LINES: [&str; 4] = [
    ids::FILE_TOO_LARGE,
    ids::FILE_TOO_MANY,
    ids::TOO_MANY_NAMES,
    ids::TEXT_TOO_LONG,
];

/// File, line and id of something reported.
type Reported = (String, usize, String);

fn broken_files() -> Vec<PathBuf> {
    let folder = std::fs::read_dir(beside("invalid")).expect("the folder is there");
    let paths = folder.map(|entry| entry.expect("it can be read").path());
    let mut files: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|extension| extension == "ron"))
        .collect();
    files.sort();
    files
}

/// What the comments of all files that were read ask for.
fn wanted(loaded: &Loaded) -> BTreeSet<Reported> {
    let mut wanted = BTreeSet::new();
    for file in loaded.sources.files() {
        for (number, line) in file.text.lines().enumerate() {
            let Some((before, comment)) = line.split_once("error: [") else {
                continue;
            };
            let id = comment.split(']').next().expect("a bracket closes");
            let has_own_line = ["//", "#"].contains(&before.trim());
            let marked = number + 1 + usize::from(has_own_line);
            wanted.insert((file.path.clone(), marked, id.to_owned()));
        }
    }
    wanted
}

/// What is reported, by the line that is marked first.
fn reported(loaded: &Loaded) -> Vec<Reported> {
    let place = |diagnostic: &hallwright_scenario::Diagnostic| {
        let span = diagnostic.primary().expect("it is in a text");
        let path = loaded.sources.file(span.file).path.clone();
        let line = loaded.sources.position(span).line;
        (path, line, diagnostic.id.to_owned())
    };
    loaded.diagnostics.iter().map(place).collect()
}

#[test]
fn every_mistake_is_reported_where_it_is_and_nothing_else() {
    let files = broken_files();
    assert!(!files.is_empty());
    for path in files {
        let loaded = load(&path, &LoadOptions::default());
        let reported = reported(&loaded);
        let sorted: BTreeSet<Reported> = reported.iter().cloned().collect();
        let drawn = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
        assert_eq!(sorted, wanted(&loaded), "{}\n{drawn}", path.display());
        assert_eq!(
            sorted.len(),
            reported.len(),
            "something is reported twice\n{drawn}"
        );
        assert!(loaded.scenario.is_none(), "{}", path.display());
        let places: Vec<_> = loaded.diagnostics.iter().map(|one| one.primary()).collect();
        assert!(
            places.is_sorted(),
            "not in the order of the text: {reported:?}"
        );
    }
}

#[test]
fn every_id_has_a_broken_file_of_its_own() {
    let mut seen = BTreeSet::new();
    for path in broken_files() {
        let loaded = load(&path, &LoadOptions::default());
        seen.extend(loaded.diagnostics.iter().map(|diagnostic| diagnostic.id));
    }
    seen.extend(SHOWN_IN_LINES);
    // Those of files that can be run are in `smells.rs`, and those of the site on the page that explains them.
    let can_be_run = |id: &&&str| id.starts_with("smell::") || id.starts_with("site::");
    seen.extend(ids::ALL.iter().filter(can_be_run));
    let missing: Vec<_> = ids::ALL.iter().filter(|id| !seen.contains(*id)).collect();
    assert!(missing.is_empty(), "no broken file shows {missing:?}");
}

#[test]
fn a_text_of_a_megabyte_is_refused_in_few_words() {
    let long = "x".repeat(1_000_000);
    let text = format!(
        r#"(title: "Long", run_for: "1s", goods: {{"flax": 64}}, parts: {{"{long}": Chest(), "a": Hopper(above: "{long}y")}})"#
    );
    let loaded = load_text(&text, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["text::too-long"]);
    let drawn = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
    assert!(drawn.len() < 1000, "{} bytes", drawn.len());
}

#[test]
fn messages_begin_small_and_end_without_a_full_stop() {
    for path in broken_files() {
        for diagnostic in load(&path, &LoadOptions::default()).diagnostics {
            let message = &diagnostic.message;
            let first = message.chars().next().expect("a message says something");
            assert!(
                !first.is_uppercase() && !message.ends_with('.'),
                "{message}"
            );
        }
    }
}
