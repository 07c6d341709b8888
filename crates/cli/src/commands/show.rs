//! `hallwright show`: a run, or two variants of one scenario, as a page.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use hallwright_report::units::decimal;
use hallwright_trials::CaseRun;

use crate::exit_code::Outcome;
use crate::files::{Guard, Target, write_targets};
use crate::flags::{ShowFlags, ShowFormat};
use crate::pages::{drawn, page_subject};

/// Draws the page and writes it.
pub(crate) fn show(flags: &ShowFlags) -> Result<Outcome> {
    let variants: Vec<Option<&str>> = match flags.run.loading.variant.as_slice() {
        [] => vec![None],
        [one] => vec![Some(one)],
        [one, other] => vec![Some(one), Some(other)],
        _ => bail!("`--variant` was given more than twice: two variants at most are compared"),
    };
    let mut scenarios = Vec::new();
    let mut guard = Guard::default();
    for variant in &variants {
        let Some((scenario, sources)) = flags.run.load(*variant) else {
            return Ok(Outcome::Unusable);
        };
        guard.reads(sources.paths());
        scenarios.push(scenario);
    }
    let targets = if flags.output.is_empty() {
        let path = file_of(&flags.run.scenario);
        vec![Target::filed(ShowFormat::Html, path)]
    } else {
        flags.output.clone()
    };
    guard.writes(targets.iter().map(Target::path))?;
    let runs: Vec<CaseRun<'_>> = scenarios
        .iter()
        .map(|scenario| flags.run.made(scenario))
        .collect::<Result<_>>()?;
    let subjects: Vec<hallwright_page::Subject<'_>> = scenarios
        .iter()
        .zip(&runs)
        .zip(&variants)
        .map(|((scenario, run), variant)| {
            let command = flags.run.repeat("run", *variant).command();
            page_subject(run, flags.run.heading(scenario, command))
        })
        .collect();
    let html = drawn(&subjects).html;
    write_targets(&targets, &|ShowFormat::Html, _| Ok(html.clone()))?;
    let megabytes = decimal(html.len() as f64 / 1e6, 2);
    for path in targets.iter().filter_map(Target::file) {
        note!("wrote {} ({megabytes} MB)", path.display());
    }
    Ok(Outcome::Done)
}

/// The scenario's name as a page's, in the folder in which the command runs.
fn file_of(scenario: &Path) -> PathBuf {
    let name = scenario.file_stem().unwrap_or(scenario.as_os_str());
    Path::new(name).with_extension("html")
}
