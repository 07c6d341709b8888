//! Scenarios: what they compile to, and what is reported of those that do not compile.

mod chance;
mod choices;
mod drawn_changes;
mod drawn_out;
mod everything;
mod expected_network;
mod floors;
mod hand_overs;
mod included;
mod invalid;
mod limits;
mod mangled;
mod modules;
mod pages;
mod placing;
mod ranges;
mod rendering;
mod rooms;
mod rows;
mod site;
mod smells;
mod sound;
mod upsets;
mod written;

use std::path::{Path, PathBuf};

use hallwright_core::setup::Setup;
use hallwright_scenario::{LoadOptions, Loaded, Scenario, load, render};

/// A file or folder beside this one.
fn beside(name: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/layouts")).join(name)
}

/// Loads a text as if it stood in a file.
fn load_text(text: &str, options: &LoadOptions) -> Loaded {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let path = folder.path().join("scenario.ron");
    std::fs::write(&path, text).expect("there is room for a file");
    load(&path, options)
}

/// The scenario, which must be sound: the engine takes what comes of it.
fn sound(loaded: Loaded) -> Scenario {
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    assert!(loaded.diagnostics.is_empty(), "{drawn}");
    let scenario = loaded.scenario.expect("nothing is wrong with it");
    let setup = Setup {
        timeline: scenario.timeline.clone(),
        ..Setup::default()
    };
    assert_eq!(setup.problems(&scenario.network), []);
    scenario
}

/// The scenario, which can be run: nothing more than warnings is reported of it.
fn readable(loaded: Loaded) -> Scenario {
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    loaded.scenario.unwrap_or_else(|| panic!("{drawn}"))
}

/// The ids of what is reported.
fn ids_of(loaded: &Loaded) -> Vec<&'static str> {
    loaded
        .diagnostics
        .iter()
        .map(|diagnostic| diagnostic.id)
        .collect()
}
