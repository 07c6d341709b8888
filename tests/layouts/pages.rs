//! The pages `docs/layouts.md` and `docs/diagnostics.md` say what is so.

use std::path::Path;

use hallwright_scenario::{LoadOptions, ids, load};

use crate::{load_text, sound};

fn page(name: &str) -> String {
    let path = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs")).join(name);
    std::fs::read_to_string(path).expect("the page is there")
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
    let page = page("layouts.md");
    let complete = blocks(&page, "```ron complete");
    assert!(complete.len() >= 2);
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
    let page = page("layouts.md");
    let pieces = blocks(&page, "```ron piece");
    assert!(pieces.len() >= 8);
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
                "{\"barley\": 64, \"flax\": 64, \"egg\": 16, \"box\": Box}",
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
        sound(load_text(&text, &LoadOptions::default()));
    }
}

#[test]
fn every_diagnostic_is_explained() {
    let page = page("diagnostics.md");
    let explained: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .collect();
    assert_eq!(explained, ids::ALL);
}
