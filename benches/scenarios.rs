//! Scenarios that the bench runs, loaded as the command loads them.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, load};

/// Loads a file of `scenarios/` as it stands there, without a variant. Kept for as long as the bench
/// runs, since engines borrow its network.
pub(crate) fn scenario(name: &str) -> &'static Scenario {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios");
    Box::leak(Box::new(read(&Path::new(folder).join(name))))
}

/// Loads a scenario that is known to be sound.
pub(crate) fn read(path: &Path) -> Scenario {
    let loaded = load(path, &LoadOptions::default());
    loaded
        .scenario
        .unwrap_or_else(|| panic!("{} compiles: {:?}", path.display(), loaded.diagnostics))
}

/// The run of a scenario, to the end that it says.
pub(crate) fn run_input(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}
