//! `hallwright show`: a run, or two variants of one scenario, as a page.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use hallwright_core::declare::Declarations;
use hallwright_core::setup::UpdateOrder;
use hallwright_report::check::order_words;
use hallwright_report::show::Subject;
use hallwright_report::units::decimal;
use hallwright_report::{RunInput, stopped_at};
use hallwright_scenario::{LoadOptions, Scenario, load};

use crate::exit_code::Outcome;
use crate::flags::ShowFlags;
use crate::output::write_whole;
use crate::pages::{drawn, heading, with_stop_moved};
use crate::repeat::Repeat;

/// Draws the page and writes it.
pub(crate) fn show(flags: &ShowFlags) -> Result<Outcome> {
    let variants: Vec<Option<&str>> = match flags.variant.as_slice() {
        [] => vec![None],
        [one] => vec![Some(one)],
        [one, other] => vec![Some(one), Some(other)],
        _ => bail!("`--variant` was given more than twice: two variants at most are compared"),
    };
    let mut scenarios = Vec::new();
    for variant in &variants {
        let Some(scenario) = load_scenario(flags, *variant) else {
            return Ok(Outcome::Unusable);
        };
        scenarios.push(scenario);
    }
    if flags.stop_at.is_some() && scenarios.iter().any(|of| of.declarations.stops.is_empty()) {
        bail!("`--stop-at` moves a stop, but the scenario declares none in `stops`");
    }
    let moved: Vec<Option<(Declarations, u64)>> = scenarios
        .iter()
        .map(|scenario| {
            let tick = flags.stop_at?;
            Some(stopped_at(&input(scenario, &flags.order), tick))
        })
        .collect();
    let subjects: Vec<Subject<'_>> = scenarios
        .iter()
        .zip(&moved)
        .zip(&variants)
        .map(|((scenario, moved), variant)| Subject {
            input: with_stop_moved(input(scenario, &flags.order), moved.as_ref()),
            heading: heading(
                scenario,
                order_words(&flags.order),
                command(flags, *variant),
            ),
            positions: &scenario.positions,
        })
        .collect();
    let path = flags.out.clone().unwrap_or_else(|| beside(&flags.scenario));
    if path.as_os_str() == "-" {
        bail!("a page needs a file: give its name with `--out`");
    }
    let html = drawn(&subjects);
    write_whole(&path, &html)
        .with_context(|| format!("the page cannot be written to `{}`", path.display()))?;
    let megabytes = decimal(html.len() as f64 / 1e6, 2);
    eprintln!("wrote {} ({megabytes} MB)", path.display());
    Ok(Outcome::Done)
}

fn load_scenario(flags: &ShowFlags, variant: Option<&str>) -> Option<Scenario> {
    let options = LoadOptions {
        variant: variant.map(str::to_owned),
        set: flags.set.clone(),
        seed: flags.seed,
        part_limit: flags.part_limit,
        ..LoadOptions::default()
    };
    let loaded = load(&flags.scenario, &options);
    if !loaded.diagnostics.is_empty() {
        let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, colour);
        eprintln!("{}", text.trim_end());
    }
    loaded.scenario
}

fn input<'s>(scenario: &'s Scenario, order: &UpdateOrder) -> RunInput<'s> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        order: order.clone(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

/// The command that draws the report of the same run again.
fn command(flags: &ShowFlags, variant: Option<&str>) -> String {
    let repeat = Repeat {
        command: "run",
        scenario: &flags.scenario,
        variant,
        set: &flags.set,
        order: Some(&flags.order).filter(|order| **order != UpdateOrder::Declared),
        seed: flags.seed,
        stop_at: flags.stop_at,
        stop_sweep: None,
        part_limit: flags.part_limit,
    };
    repeat.command()
}

/// The scenario's name as a page's, in the folder in which the command runs.
fn beside(scenario: &Path) -> PathBuf {
    let name = scenario.file_stem().unwrap_or(scenario.as_os_str());
    Path::new(name).with_extension("html")
}
