//! How long it takes from the text of a scenario to its network.

use std::path::{Path, PathBuf};

use serde::Deserialize;
use tempfile::TempDir;

use crate::case::{Case, Runner};
use crate::scenarios::read;

/// How many parts the layout has once it is expanded.
const PARTS: u64 = 100_000;

/// How many parts a drawn hall has.
const DRAWN_PARTS: u64 = 10_000;

/// A drawn hall.
const DRAWN: &str = r##"(
    title: "Millbrook Granary, shelves that are read",
    run_for: "1s",
    modules: {"cell": (
        floors: [
            (y: 1, rows: ["_     .     .    .    "]),
            (y: 0, rows: ["line> store eye> late>"]),
            (y: -1, rows: [".     .     #    #    "]),
        ],
        parts: {"line": Hopper(), "store": Chest(), "eye": Comparator(), "late": Repeater()},
    )},
    uses: {"cells": Row(module: "cell", count: 2500, step: (0, 0, 2))},
)"##;

/// The layout: modules in modules, in rows, a file of 70 lines.
const LAYOUT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../benches/layout.ron");

/// From the text of a layout of modules to its network; against it, its flat form only parsed. For
/// comparison, from the text of the flat form to the network; and from a drawn one, whose links follow from its blocks.
pub(crate) fn scenario_compile(runner: &mut impl Runner) {
    runner.case("load/scenario_compile", || Load {
        path: PathBuf::from(LAYOUT),
        parts: PARTS,
        _folder: None,
    });
    runner.case("parse/scenario_compile", || Parse {
        text: flat_layout(),
    });
    runner.case("load_flat/scenario_compile", Load::flat);
    runner.case("load_drawn/scenario_compile", Load::drawn);
}

/// What `hallwright run --output flat` writes of the layout.
fn flat_layout() -> String {
    let scenario = read(Path::new(LAYOUT));
    assert_eq!(scenario.network.part_count() as u64, PARTS);
    hallwright_written::flat(&scenario)
}

/// Reads a file and compiles it.
struct Load {
    path: PathBuf,
    parts: u64,
    /// The folder of a file that was made for this.
    _folder: Option<TempDir>,
}

impl Load {
    /// The flat form of the layout.
    fn flat() -> Self {
        Self::written(&flat_layout(), PARTS)
    }

    /// A hall of drawn modules that stands.
    fn drawn() -> Self {
        let drawn = Self::written(DRAWN, DRAWN_PARTS);
        let scenario = read(&drawn.path);
        assert_eq!(scenario.network.part_count() as u64, DRAWN_PARTS);
        let site = scenario.declarations.site.expect("it stands");
        assert_eq!(site.problems, []);
        drawn
    }

    fn written(text: &str, parts: u64) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the scenario can be made");
        let path = folder.path().join("layout.ron");
        std::fs::write(&path, text).expect("the scenario can be written");
        Self {
            path,
            parts,
            _folder: Some(folder),
        }
    }
}

impl Case for Load {
    type Input = ();
    type Output = hallwright_scenario::Scenario;

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) -> Self::Output {
        read(&self.path)
    }

    fn amount(&self) -> u64 {
        self.parts
    }

    fn unit(&self) -> &'static str {
        "parts"
    }
}

/// Parses a text as RON, and keeps nothing of it.
struct Parse {
    text: String,
}

impl Case for Parse {
    type Input = ();
    type Output = ();

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) {
        let mut parser = ron::Deserializer::from_str(&self.text).expect("the text is RON");
        serde::de::IgnoredAny::deserialize(&mut parser).expect("the text is RON");
    }

    fn amount(&self) -> u64 {
        PARTS
    }

    fn unit(&self) -> &'static str {
        "parts"
    }
}
