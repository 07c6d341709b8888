//! Loads the scenarios of this folder and runs them.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_report::{Heading, RunInput};
use hallwright_scenario::{LoadOptions, Scenario, load, render};

/// A scenario of this folder, which must be sound; warnings are for those who meant well.
pub(crate) fn scenario(name: &str) -> Scenario {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/render"));
    let loaded = load(&folder.join(name), &LoadOptions::default());
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    loaded.scenario.unwrap_or_else(|| panic!("{drawn}"))
}

/// The input of its run, in the declared orders.
pub(crate) fn input(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

/// What stands above a report of it.
pub(crate) fn heading(scenario: &Scenario) -> Heading {
    Heading {
        title: scenario.title.clone(),
        seed: scenario.seed,
        update_order: "declared".to_owned(),
        signal_order: "declared".to_owned(),
        version: "0.1.0".to_owned(),
        input_digest: "0123456789abcdef".to_owned(),
        command: "hallwright run hall.ron".to_owned(),
        ..Heading::default()
    }
}
