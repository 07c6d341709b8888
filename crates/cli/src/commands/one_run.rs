//! What the commands that run one scenario do alike: `run`, `show` and `explain`.

use std::io::IsTerminal;

use anyhow::{Result, bail};
use hallwright_core::declare::Declarations;
use hallwright_core::setup::UpdateOrder;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, Sources, load};
use hallwright_trials::stopped_at;

use crate::files;
use crate::flags::OneRun;
use crate::repeat::Repeat;

/// What moving the first stop changes of a run: its declarations and how many ticks it takes.
pub(super) type MovedStop = Option<(Declarations, u64)>;

impl OneRun {
    /// How the scenario is loaded, in this variant.
    pub(super) fn load_options(&self, variant: Option<&str>) -> LoadOptions {
        LoadOptions {
            variant: variant.map(str::to_owned),
            set: self.set.clone(),
            seed: self.seed,
            part_limit: self.part_limit,
            root: self.root.root.clone(),
            ..LoadOptions::default()
        }
    }

    /// Loads the scenario; whatever is wrong with it is told on standard error.
    pub(super) fn load(&self, variant: Option<&str>) -> Option<(Scenario, Sources)> {
        let loaded = load(&self.scenario, &self.load_options(variant));
        if !loaded.diagnostics.is_empty() {
            let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
            let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, colour);
            files::note_drawn(text.trim_end(), colour);
        }
        Some((loaded.scenario?, loaded.sources))
    }

    /// The run of a scenario, with its stops where the file has them.
    pub(super) fn input<'s>(&self, scenario: &'s Scenario) -> RunInput<'s> {
        RunInput {
            network: &scenario.network,
            timeline: &scenario.timeline,
            seed: scenario.seed,
            order: self.order.clone(),
            run_ticks: scenario.run_ticks,
            declarations: &scenario.declarations,
        }
    }

    /// What `--stop-at` changes of a run.
    ///
    /// # Errors
    ///
    /// If there is no stop to move.
    pub(super) fn moved_stop(&self, scenario: &Scenario) -> Result<MovedStop> {
        let Some(tick) = self.stop_at else {
            return Ok(None);
        };
        if scenario.declarations.stops.is_empty() {
            bail!("`--stop-at` moves a stop, but the scenario declares none in `stops`");
        }
        Ok(Some(stopped_at(&self.input(scenario), tick)))
    }

    /// The command that gives the same again.
    pub(super) fn repeat<'a>(
        &'a self,
        command: &'static str,
        variant: Option<&'a str>,
    ) -> Repeat<'a> {
        Repeat {
            command,
            scenario: &self.scenario,
            variant,
            set: &self.set,
            order: Some(&self.order).filter(|order| **order != UpdateOrder::Declared),
            seed: self.seed,
            stop_at: self.stop_at,
            stop_sweep: None,
            part_limit: self.part_limit,
            root: self.root.root.as_deref(),
        }
    }
}

/// Tells that no variant was chosen where there are some: goals for one are not judged then.
pub(super) fn note_no_variant(scenario: &Scenario) {
    if scenario.variant.is_none() && !scenario.variants.is_empty() {
        note!(
            "note: no variant was chosen with `--variant`, so goals for one are not judged; there are: {}",
            scenario.variants.join(", ")
        );
    }
}
