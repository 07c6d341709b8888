//! Scenarios of the project, and runs of them.

use std::path::Path;

use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, load};

/// A scenario of the project, as it stands or in a variant.
pub(crate) fn scenario(path: &str, variant: Option<&str>) -> Scenario {
    let path = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../..")).join(path);
    let options = LoadOptions {
        variant: variant.map(str::to_owned),
        ..LoadOptions::default()
    };
    let loaded = load(&path, &options);
    loaded.scenario.expect("nothing is wrong with it")
}

/// The run of a scenario as it stands.
pub(crate) fn base(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Default::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}
