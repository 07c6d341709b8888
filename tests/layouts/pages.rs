//! The pages of the language and of its diagnostics, in `docs/look-up`, say what is so.

use std::path::Path;

use hallwright_scenario::{LoadOptions, ids, load};

use crate::{ids_of, load_text, readable, sound};

/// The pages of the language.
const LANGUAGE: [&str; 6] = [
    "layouts.md",
    "parts.md",
    "modules.md",
    "standing.md",
    "events.md",
    "goals.md",
];

/// The pages that explain diagnostics, in the order of their ids, behind the list of all of them.
const DIAGNOSTICS: [&str; 7] = [
    "diagnostics-files.md",
    "diagnostics-layout.md",
    "diagnostics-drawn.md",
    "diagnostics-run.md",
    "diagnostics-smells.md",
    "diagnostics-blocks.md",
    "diagnostics-signals.md",
];

fn page(name: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/look-up");
    std::fs::read_to_string(Path::new(folder).join(name)).expect("the page is there")
}

/// Several pages, one behind the other.
fn pages(names: &[&str]) -> String {
    names.iter().map(|name| page(name)).collect()
}

/// The blocks of a page that begin with this fence.
fn blocks<'p>(page: &'p str, fence: &str) -> Vec<&'p str> {
    let start = format!("{fence}\n");
    page.split(&start)
        .skip(1)
        .map(|rest| rest.split("\n```").next().unwrap_or(rest))
        .collect()
}

/// The files that a page shows, each with its path.
fn files(page: &str) -> Vec<(&str, &str)> {
    let fences = ["```ron file ", "```csv file "];
    let mut files = Vec::new();
    for fence in fences {
        for rest in page.split(fence).skip(1) {
            let (name, rest) = rest.split_once('\n').unwrap_or((rest, ""));
            files.push((name, rest.split("\n```").next().unwrap_or(rest)));
        }
    }
    files
}

#[test]
fn every_complete_scenario_on_the_page_compiles() {
    let page = pages(&LANGUAGE);
    let complete = blocks(&page, "```ron complete");
    assert!(complete.len() >= 8);
    let folder = tempfile::tempdir().expect("there is room for files");
    for (name, text) in files(&page) {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().expect("it is in the folder"))
            .expect("there is room for a folder");
        std::fs::write(path, text).expect("there is room for a file");
    }
    for text in complete {
        let path = folder.path().join("scenario.ron");
        std::fs::write(&path, text).expect("there is room for a file");
        sound(load(&path, &LoadOptions::default()));
    }
}

#[test]
fn every_piece_on_the_page_fits_into_a_scenario() {
    // A piece is one or more fields; what it refers to is declared around it here.
    let page = pages(&LANGUAGE);
    let pieces = blocks(&page, "```ron piece");
    assert!(pieces.len() >= 12);
    for piece in pieces {
        let has = |field: &str| {
            piece.starts_with(&format!("{field}:")) || piece.contains(&format!("\n{field}:"))
        };
        let mut text = String::from("(\n");
        for (field, usual) in [
            ("title", "\"A piece\""),
            ("run_for", "\"5min\""),
            (
                "goods",
                "{\"barley\": 64, \"flax\": 64, \"ham\": 16, \"box\": Box}",
            ),
            (
                "parts",
                "{\"in\": Chest(), \"chest\": Chest(), \"pond\": Mouth, \"line\": Hopper(target: \"chest\")}",
            ),
            (
                "signals",
                "{\"gate\": Lever(), \"start\": Button(hold: \"20t\"), \"level\": Comparator(reads: \"chest\")}",
            ),
        ] {
            // A piece that has parts of its own says all there is.
            let is_said = has(field) || (field == "signals" && has("parts"));
            if !is_said {
                text.push_str(&format!("{field}: {usual},\n"));
            }
        }
        text.push_str(piece);
        text.push_str("\n)\n");
        readable(load_text(&text, &LoadOptions::default()));
    }
}

/// Those that no small example can show: `limits.rs` and `included.rs` do.
const WITHOUT_EXAMPLE: [&str; 7] = [
    ids::FILE_NOT_TEXT,
    ids::FILE_TOO_LARGE,
    ids::FILE_TOO_MANY,
    ids::TEXT_NESTED_TOO_DEEP,
    ids::TEXT_TOO_LONG,
    ids::NESTED_TOO_DEEP,
    ids::TOO_MANY_NAMES,
];

/// The sections of the pages of diagnostics: the id of each, and what is written below it.
fn explained(page: &str) -> Vec<(&str, &str)> {
    let sections = page.split("\n### `").skip(1);
    sections
        .map(|section| section.split_once('`').expect("an id ends"))
        .collect()
}

/// The ids of what is reported of some fields of a scenario, with the files of the page beside it.
fn reported_of(fields: &str, page: &str) -> Vec<&'static str> {
    let folder = tempfile::tempdir().expect("there is room for files");
    for (name, text) in files(page) {
        std::fs::write(folder.path().join(name), text).expect("there is room for a file");
    }
    let mut text = String::from("(\ntitle: \"An example\",\n");
    for (field, usual) in [
        ("run_for", "\"10s\""),
        ("goods", "{\"barley\": 64, \"flax\": 64, \"box\": Box}"),
    ] {
        if !fields.starts_with(&format!("{field}:")) {
            text.push_str(&format!("{field}: {usual},\n"));
        }
    }
    text.push_str(fields);
    text.push_str("\n)\n");
    let path = folder.path().join("scenario.ron");
    std::fs::write(&path, text).expect("there is room for a file");
    ids_of(&load(&path, &LoadOptions::default()))
}

#[test]
fn every_diagnostic_is_explained() {
    let page = pages(&DIAGNOSTICS);
    let explained: Vec<&str> = explained(&page).into_iter().map(|(id, _)| id).collect();
    assert_eq!(explained, ids::ALL);
}

#[test]
fn every_diagnostic_is_listed_with_its_page_and_its_first_sentence() {
    let listed = page("diagnostics.md");
    let rows: Vec<&str> = listed
        .lines()
        .filter(|line| line.starts_with("| [`"))
        .collect();
    let mut expected = Vec::new();
    for name in DIAGNOSTICS {
        for (id, section) in explained(&page(name)) {
            let anchor = id.replace("::", "");
            expected.push((
                format!("| [`{id}`]({name}#{anchor}) | "),
                section.to_owned(),
            ));
        }
    }
    assert_eq!(rows.len(), expected.len());
    for (row, (beginning, section)) in rows.into_iter().zip(expected) {
        let sentence = row.strip_prefix(&beginning);
        let sentence = sentence.unwrap_or_else(|| panic!("{row} begins with {beginning}"));
        let sentence = sentence.trim_end_matches(" |");
        assert!(
            sentence.len() > 10 && unlinked(&section).starts_with(sentence),
            "{row}"
        );
    }
}

/// A text on one line, of its links only the words.
fn unlinked(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let line = words.join(" ");
    let mut parts = line.split("](");
    let first = parts.next().unwrap_or_default().to_owned();
    let behind = parts.filter_map(|part| part.split_once(')').map(|(_, behind)| behind));
    let unlinked = behind.fold(first, |text, behind| text + behind);
    unlinked.replace('[', "")
}

#[test]
fn every_failing_example_shows_its_diagnostic_alone_and_every_mended_one_shows_none() {
    let page = pages(&DIAGNOSTICS);
    for (id, section) in explained(&page) {
        let failing = blocks(section, "```ron failing");
        let mended = blocks(section, "```ron mended");
        if WITHOUT_EXAMPLE.contains(&id) {
            assert!(failing.is_empty(), "{id}");
            continue;
        }
        assert_eq!((failing.len(), mended.len()), (1, 1), "{id}");
        assert_eq!(reported_of(failing[0], &page), [id], "{}", failing[0]);
        assert_eq!(reported_of(mended[0], &page), [""; 0], "{}", mended[0]);
    }
}
