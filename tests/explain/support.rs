//! Loads scenarios and explains their runs.

use std::path::{Path, PathBuf};

use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;
use hallwright_explain::{Cause, Explanation, StopPath, explain};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, Scenario, load};
use hallwright_trials::Case;

/// A path from the root of the project.
pub(crate) fn from_root(path: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../..")).join(path)
}

/// A scenario with parameters set.
pub(crate) struct Hall {
    scenario: Scenario,
}

impl Hall {
    /// One of the planted causes.
    pub(crate) fn planted(name: &str, set: &[(&str, &str)]) -> Self {
        let path = from_root(&format!("tests/explain/planted/{name}.ron"));
        Self::load(&path, None, set)
    }

    /// Any scenario.
    pub(crate) fn load(path: &Path, variant: Option<&str>, set: &[(&str, &str)]) -> Self {
        let set = set.iter();
        let options = LoadOptions {
            variant: variant.map(str::to_owned),
            set: set
                .map(|(name, value)| ((*name).to_owned(), (*value).to_owned()))
                .collect(),
            ..LoadOptions::default()
        };
        let loaded = load(path, &options);
        let Some(scenario) = loaded.scenario else {
            let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
            panic!("{}: {text}", path.display());
        };
        Self { scenario }
    }

    /// The input of a run, in the declared orders.
    pub(crate) fn input(&self) -> RunInput<'_> {
        RunInput {
            network: &self.scenario.network,
            timeline: &self.scenario.timeline,
            seed: self.scenario.seed,
            orders: Orders::default(),
            run_ticks: self.scenario.run_ticks,
            declarations: &self.scenario.declarations,
        }
    }

    /// What is found out about its run.
    pub(crate) fn explained(&self, mark: Mark) -> Explanation {
        explain(&self.input(), mark)
    }

    /// What is found out about its run with another stop tick and update order.
    pub(crate) fn explained_at(&self, mark: Mark, at: u64, order: Order) -> Explanation {
        let input = self.input();
        let case = Case {
            orders: Orders::of_update(order),
            stop_at: Some(Tick(at)),
            ..Case::as_declared(input.seed)
        };
        let run = case.of(&input).expect("it has a stop");
        explain(&run.input(), mark)
    }

    /// What a run of it comes to.
    pub(crate) fn findings(&self) -> Findings {
        run(&self.input(), &mut |_| {})
    }

    /// The tick of its first stop.
    pub(crate) fn stop_tick(&self) -> Option<u64> {
        self.scenario
            .declarations
            .stops
            .first()
            .map(|stop| stop.at.0)
    }

    /// The names of its variants.
    pub(crate) fn variants(&self) -> &[String] {
        &self.scenario.variants
    }
}

/// Ticks waited on the way for a cause at a part whose name begins so.
pub(crate) fn waited(path: &StopPath, cause: Cause, part: &str) -> u64 {
    let rows = path.rows.iter();
    rows.filter(|row| row.cause == cause && row.first_part.starts_with(part))
        .map(|row| row.ticks.max(row.blocked_ticks))
        .sum()
}
