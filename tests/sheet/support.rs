//! Loads scenarios.

use std::path::{Path, PathBuf};

use hallwright_scenario::{LoadOptions, Scenario, load};

/// A file or folder of `scenarios/`.
pub(crate) fn scenarios(name: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios")).join(name)
}

/// A scenario in a variant.
pub(crate) fn loaded(path: &Path, variant: Option<&str>) -> Option<Scenario> {
    let options = LoadOptions {
        variant: variant.map(str::to_owned),
        ..LoadOptions::default()
    };
    load(path, &options).scenario
}

/// A scenario that must load, without a variant.
pub(crate) fn scenario(name: &str) -> Scenario {
    loaded(&scenarios(name), None).unwrap_or_else(|| panic!("{name} does not load"))
}

/// A scenario of this text.
pub(crate) fn written(text: &str) -> Scenario {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("hall.ron");
    std::fs::write(&path, text).expect("there is room for it");
    loaded(&path, None).unwrap_or_else(|| panic!("{}", problems(&path)))
}

/// What is wrong with a file.
pub(crate) fn problems(path: &Path) -> String {
    let loaded = load(path, &LoadOptions::default());
    hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false)
}

/// Every scenario file below `scenarios/`, sorted.
pub(crate) fn all_files() -> Vec<PathBuf> {
    files(scenarios(""))
}

/// The layouts that are there to be read, each with something of its own.
pub(crate) fn layouts() -> Vec<PathBuf> {
    let tests = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests");
    let folders = ["layouts/valid", "page", "sheet/data"];
    let folders = folders.into_iter();
    folders
        .flat_map(|folder| files(Path::new(tests).join(folder)))
        .collect()
}

/// Every file in RON below a folder, sorted.
fn files(folder: PathBuf) -> Vec<PathBuf> {
    let mut open = vec![folder];
    let mut files = Vec::new();
    while let Some(folder) = open.pop() {
        let entries = std::fs::read_dir(&folder).expect("the folder can be read");
        for entry in entries {
            let path = entry.expect("its entries too").path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "ron") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}
