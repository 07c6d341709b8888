//! `hallwright show`: a run, or two variants of one scenario, as a page.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use hallwright_page::Subject;
use hallwright_report::units::decimal;
use hallwright_trials::check::order_words;

use super::one_run::MovedStop;
use crate::exit_code::Outcome;
use crate::files::{self, Guard};
use crate::flags::ShowFlags;
use crate::pages::{drawn, heading, with_stop_moved};

/// Draws the page and writes it.
pub(crate) fn show(flags: &ShowFlags) -> Result<Outcome> {
    let variants: Vec<Option<&str>> = match flags.variant.as_slice() {
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
    let path = flags
        .out
        .clone()
        .unwrap_or_else(|| beside(&flags.run.scenario));
    if path.as_os_str() == "-" {
        bail!("a page needs a file: give its name with `--out`");
    }
    guard.writes([path.as_path()])?;
    let moved: Vec<MovedStop> = scenarios
        .iter()
        .map(|scenario| flags.run.moved_stop(scenario))
        .collect::<Result<_>>()?;
    let subjects: Vec<Subject<'_>> = scenarios
        .iter()
        .zip(&moved)
        .zip(&variants)
        .map(|((scenario, moved), variant)| Subject {
            input: with_stop_moved(flags.run.input(scenario), moved.as_ref()),
            heading: heading(
                scenario,
                order_words(&flags.run.order),
                flags.run.repeat("run", *variant).command(),
            ),
            positions: &scenario.positions,
        })
        .collect();
    let html = drawn(&subjects);
    files::write(&path, &html)
        .with_context(|| format!("the page cannot be written to `{}`", path.display()))?;
    let megabytes = decimal(html.len() as f64 / 1e6, 2);
    note!("wrote {} ({megabytes} MB)", path.display());
    Ok(Outcome::Done)
}

/// The scenario's name as a page's, in the folder in which the command runs.
fn beside(scenario: &Path) -> PathBuf {
    let name = scenario.file_stem().unwrap_or(scenario.as_os_str());
    Path::new(name).with_extension("html")
}
