//! `hallwright explain`: why a stop took so long.

use anyhow::{Result, bail};
use hallwright_core::setup::UpdateOrder;
use hallwright_report::check::order_words;
use hallwright_report::explain::explain;
use hallwright_report::render::{self, Heading};
use hallwright_report::{RunInput, stopped_at};
use hallwright_scenario::{LoadOptions, Scenario};

use super::run::load_scenario;
use crate::exit_code::Outcome;
use crate::flags::{ExplainFlags, Format};
use crate::output;
use crate::repeat::Repeat;

/// Explains a run and prints what was found out.
pub(crate) fn explain_run(flags: &ExplainFlags) -> Result<Outcome> {
    let options = LoadOptions {
        variant: flags.variant.clone(),
        set: flags.set.clone(),
        seed: flags.seed,
        part_limit: flags.part_limit,
        ..LoadOptions::default()
    };
    let Some((scenario, _)) = load_scenario(&flags.scenario, &options) else {
        return Ok(Outcome::Unusable);
    };
    let input = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        order: flags.order.clone(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    if flags.stop_at.is_some() && input.declarations.stops.is_empty() {
        bail!("`--stop-at` moves a stop, but the scenario declares none in `stops`");
    }
    let moved = flags.stop_at.map(|tick| stopped_at(&input, tick));
    let input = match &moved {
        Some((declarations, run_ticks)) => RunInput {
            run_ticks: *run_ticks,
            declarations,
            ..input
        },
        None => input,
    };
    let found = explain(&input, flags.mark.into());
    let heading = heading(&scenario, flags);
    let text = match flags.format {
        Format::Text => render::explain_text(&heading, &found, output::width_columns()),
        Format::Json => render::explain_json(&heading, &found),
    };
    output::print(&text)?;
    Ok(Outcome::Done)
}

fn heading(scenario: &Scenario, flags: &ExplainFlags) -> Heading {
    let repeat = Repeat {
        command: "explain",
        scenario: &flags.scenario,
        variant: flags.variant.as_deref(),
        set: &flags.set,
        order: Some(&flags.order).filter(|order| **order != UpdateOrder::Declared),
        seed: flags.seed,
        stop_at: flags.stop_at,
        stop_sweep: None,
        part_limit: flags.part_limit,
    };
    Heading {
        title: scenario.title.clone(),
        variant: scenario.variant.clone(),
        seed: scenario.seed,
        order: order_words(&flags.order),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_digest: format!("{:016x}", scenario.input_digest),
        command: repeat.command() + flags.mark.words(),
        verified: None,
    }
}
