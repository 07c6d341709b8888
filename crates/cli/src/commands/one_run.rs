//! What the commands that run one scenario do alike: `run`, `show` and `explain`.

use anyhow::{Result, anyhow};
use hallwright_core::order::{Order, Orders};
use hallwright_report::Heading;
use hallwright_scenario::{LoadOptions, Scenario, Sources, load};
use hallwright_trials::CaseRun;

use crate::files;
use crate::flags::OneRun;
use crate::manner;
use crate::pages::heading;
use crate::repeat::{Changes, Repeat};
use crate::runs::base_of;

impl OneRun {
    /// How the scenario is loaded, in this variant.
    pub(super) fn load_options(&self, variant: Option<&str>) -> LoadOptions {
        LoadOptions {
            seed: self.seed,
            ..self.loading.options(variant)
        }
    }

    /// Loads the scenario; whatever is wrong with it is reported on standard error.
    pub(super) fn load(&self, variant: Option<&str>) -> Option<(Scenario, Sources)> {
        let loaded = load(&self.scenario, &self.load_options(variant));
        if !loaded.diagnostics.is_empty() {
            let colour = manner::has_colour();
            let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, colour);
            files::note_drawn(text.trim_end(), colour);
        }
        Some((loaded.scenario?, loaded.sources))
    }

    /// The update order and the signal order.
    pub(super) fn orders(&self) -> Orders {
        Orders {
            update: self.order.clone().unwrap_or_default(),
            signal: self.signal_order.clone().unwrap_or_default(),
        }
    }

    /// The run of a scenario that the flags ask for.
    ///
    /// # Errors
    ///
    /// If there is no stop to move.
    pub(super) fn made<'s>(&self, scenario: &'s Scenario) -> Result<CaseRun<'s>> {
        let run = self.changes().case(scenario.seed).of(&base_of(scenario));
        run.map_err(|no_stop| anyhow!("`--stop-at` moves a stop, but {no_stop}"))
    }

    /// What stands above what is reported of the run.
    pub(super) fn heading(&self, scenario: &Scenario, command: String) -> Heading {
        heading(scenario, &self.orders(), command)
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
            set: &self.loading.set,
            changes: self.changes(),
            sweep: None,
            leaving: None,
            part_limit: self.loading.part_limit,
            root: self.loading.root.root.as_deref(),
        }
    }

    /// In what the run differs from what the file says.
    fn changes(&self) -> Changes {
        // The declared order needs no word.
        let other = |order: &Option<Order>| order.clone().filter(|order| *order != Order::Declared);
        Changes {
            update_order: other(&self.order),
            signal_order: other(&self.signal_order),
            seed: self.seed,
            stop_at: self.stop_at,
        }
    }
}

/// Reports that no variant was chosen where there are some: goals for one are not judged then.
pub(super) fn note_no_variant(scenario: &Scenario) {
    if scenario.variant.is_none() && !scenario.variants.is_empty() {
        note!(
            "note: no variant was chosen with `--variant`, so goals for one are not judged; there are: {}",
            scenario.variants.join(", ")
        );
    }
}
