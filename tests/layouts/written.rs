//! What is written is read back as the same.

use std::path::PathBuf;

use hallwright_core::engine::Engine;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;
use hallwright_declared::placement::Origin;
use hallwright_scenario::{LoadOptions, Scenario, bundle, load, render};
use hallwright_written::flat;

use crate::{beside, load_text, readable};

/// Every sound file there is.
pub(crate) fn sound_files() -> Vec<PathBuf> {
    let mut files = Vec::new();
    for folder in [beside("valid"), beside("../../scenarios")] {
        for entry in std::fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("it can be read").path();
            if path.extension().is_some_and(|extension| extension == "ron") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

/// A file without a variant, and in each of its variants.
fn each_variant(path: &std::path::Path) -> Vec<Scenario> {
    let plain = readable(load(path, &LoadOptions::default()));
    let variants = plain.variants.clone();
    let chosen = variants.into_iter().map(|name| {
        let options = LoadOptions {
            variant: Some(name),
            ..LoadOptions::default()
        };
        readable(load(path, &options))
    });
    let chosen: Vec<Scenario> = chosen.collect();
    [vec![plain], chosen].concat()
}

/// The digest of the state after a minute's run.
fn digest_of_a_run(scenario: &Scenario) -> u64 {
    let setup = Setup {
        seed: scenario.seed,
        timeline: scenario.timeline.clone(),
        ..Setup::default()
    };
    let mut engine = Engine::new(&scenario.network, &setup);
    engine.run_until(Tick(scenario.run_ticks.min(1200)), &mut ());
    engine.view().digest()
}

/// The same, with the links of drawn parts declared: written flat, they are.
fn undrawn(declarations: &Declarations) -> Declarations {
    let mut undrawn = declarations.clone();
    for placed in undrawn.placement.parts.iter_mut().flatten() {
        if placed.origin == Origin::Drawn {
            placed.origin = Origin::Declared;
            placed.modules = Vec::new();
            placed.is_port = false;
        }
    }
    undrawn.site = undrawn.site.map(|site| {
        let mut site = (*site).clone();
        site.drawn_links.clear();
        std::sync::Arc::new(site)
    });
    undrawn
}

fn assert_same(read: &Scenario, written: &Scenario) {
    let names = |scenario: &Scenario| -> Vec<String> {
        let network = &scenario.network;
        let names = network.part_ids().map(|part| network.name(part).to_owned());
        names.collect()
    };
    assert_eq!(names(read), names(written));
    for (id, part) in written.network.parts() {
        assert_eq!(read.network.part(id), part, "{}", written.network.name(id));
    }
    assert_eq!(read.network.kinds(), written.network.kinds());
    assert_eq!(read.network.rules(), written.network.rules());
    assert_eq!(read.network.fillings(), written.network.fillings());
    assert_eq!(read.timeline, written.timeline);
    assert_eq!(undrawn(&read.declarations), undrawn(&written.declarations));
    assert_eq!(read.title, written.title);
    assert_eq!(
        (read.seed, read.run_ticks),
        (written.seed, written.run_ticks)
    );
    assert_eq!(digest_of_a_run(read), digest_of_a_run(written));
}

#[test]
fn a_flat_layout_reads_back_as_the_same_network() {
    let files = sound_files();
    assert!(files.len() >= 4);
    for path in files {
        for scenario in each_variant(&path) {
            let text = flat(&scenario);
            let read = readable(load_text(&text, &LoadOptions::default()));
            assert_same(&read, &scenario);
            assert_eq!(flat(&read), text, "written again, it is the same text");
        }
    }
}

#[test]
fn a_bundle_reads_back_as_the_same_network() {
    for path in sound_files() {
        let text = match bundle(&path, &LoadOptions::default()) {
            Ok(text) => text,
            Err((reported, sources)) => panic!("{}", render(&reported, &sources, false)),
        };
        for (written, options) in each_variant(&path).iter().map(|scenario| {
            let options = LoadOptions {
                variant: scenario.variant.clone(),
                ..LoadOptions::default()
            };
            (scenario, options)
        }) {
            let read = readable(load_text(&text, &options));
            assert_same(&read, written);
        }
    }
}

#[test]
fn a_bundle_keeps_comments_and_needs_no_other_file() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let write = |name: &str, text: &str| {
        std::fs::write(folder.path().join(name), text).expect("there is room for a file");
    };
    write(
        "shelf.ron",
        r#"(goods: {"wool": 64}, modules: {
            // A shelf.
            "shelf": (
                parameters: {"kind": Name, "slots": 3, "names": List, "open": true},
                parts: {"chest": Container(slots: "$slots", holds: ["$kind"])},
                uses: {"inner": Row(module: "cell", each: FromFile(path: "cells.csv"))},
            ),
            "cell": (parameters: {"size": Number}, parts: {"box": Container(slots: "$size")}), // last
        })"#,
    );
    write("cells.csv", "size\n4\n5\n");
    write(
        "goods.csv",
        "kind, slots, names, open\nwool, 7, wool;barley, false\nbarley,, barley, true\n",
    );
    write("cart.csv", "tick, place, kind, count\n5, in, barley, 2\n");
    let path = folder.path().join("scenario.ron");
    write(
        "scenario.ron",
        r#"(
    title: "Bundle", run_for: "10s",
    include: ["shelf.ron"], // from elsewhere
    goods: {"barley": 64 /* a grain */},
    parts: {"in": Chest()},
    uses: {"row": Row(module: "shelf", each: FromFile(path: "goods.csv"))},
    arrivals: {"cart": FromFile(when: true, path: "cart.csv")},
)"#,
    );
    let written = readable(load(&path, &LoadOptions::default()));
    let text = bundle(&path, &LoadOptions::default()).expect("nothing is wrong with it");
    let read = readable(load_text(&text, &LoadOptions::default()));
    assert_same(&read, &written);
    assert_eq!(read.network.part_count(), 1 + 2 * (1 + 2));
    for comment in ["// from elsewhere", "/* a grain */"] {
        assert!(text.contains(comment), "{text}");
    }
    assert!(
        !text.contains(".csv") && !text.contains("include"),
        "{text}"
    );
}

#[test]
fn a_scenario_that_cannot_be_read_is_not_bundled() {
    let broken = bundle(&beside("invalid/unknown-part.ron"), &LoadOptions::default());
    let (reported, _) = broken.expect_err("it is broken");
    assert_eq!(reported[0].id, "layout::unknown-part");
}
