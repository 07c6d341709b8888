//! How many blocks there are to set, and how long that takes.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, build_hours, run};
use hallwright_scenario::{LoadOptions, load};

fn found(text: &str, options: &LoadOptions) -> Findings {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("hall.ron");
    std::fs::write(&path, text).expect("written");
    found_in(&path, options)
}

fn found_in(path: &Path, options: &LoadOptions) -> Findings {
    let loaded = load(path, options);
    let scenario = loaded
        .scenario
        .unwrap_or_else(|| panic!("{:?}", loaded.diagnostics));
    let input = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    run(&input, &mut |_| {})
}

fn hours(found: &Findings) -> f64 {
    let hours = Name::BUILD_HOURS.worst(found, &Of::Whole);
    hours.and_then(|hours| hours.value()).expect("a number")
}

#[test]
fn hours_are_blocks_by_rate() {
    assert!((build_hours(900, 600) - 1.5).abs() < 1e-12);
    assert!(build_hours(0, 600).abs() < 1e-12);
}

#[test]
fn parts_that_stand_nowhere_count_by_themselves() {
    // A double chest is two blocks, a chest one, a hopper one, a lever one; a mouth is open.
    let text = |rest: &str| {
        format!(
            "(title: \"t\", run_for: \"10t\", goods: {{\"barley\": 64}}, parts: {{
                \"store\": DoubleChest(), \"chest\": Chest(), \"top\": Mouth(),
                \"hopper\": Hopper(target: \"store\", mouth: \"top\"),
            }}, signals: {{\"lever\": Lever()}}{rest})"
        )
    };
    let usual = found(&text(""), &LoadOptions::default());
    assert_eq!(
        (
            usual.cost.build.placed_blocks,
            usual.cost.build.assumed_blocks
        ),
        (0, 5)
    );
    assert!(!usual.cost.build.is_reported());
    assert!((hours(&usual) - 5.0 / 600.0).abs() < 1e-12);
    let said = found(&text(", blocks_per_hour: 20"), &LoadOptions::default());
    assert!((hours(&said) - 0.25).abs() < 1e-12);
    assert!(said.cost.build.is_reported());
    let faster = LoadOptions {
        blocks_per_hour: Some(50),
        ..LoadOptions::default()
    };
    let faster = found(&text(", blocks_per_hour: 20"), &faster);
    assert!((hours(&faster) - 0.1).abs() < 1e-12);
}

#[test]
fn what_is_drawn_counts_with_supports_and_wire() {
    let scenario = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/standing/lift.ron"
    );
    let found = found_in(Path::new(scenario), &LoadOptions::default());
    let build = &found.cost.build;
    // The file says of its drawing that 83 blocks are not open.
    assert_eq!((build.placed_blocks, build.assumed_blocks), (83, 0));
    assert!(build.is_reported());
    assert!((hours(&found) - 83.0 / 600.0).abs() < 1e-12);
}
