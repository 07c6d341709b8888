//! `hallwright compare`: several designs in the same runs, side by side.
//!
//! The designs are found and loaded ([`mod@designs`]), all are run in the same cases
//! ([`mod@execute`]), and what was found is written.

mod designs;
mod execute;

use std::path::PathBuf;

use anyhow::{Result, bail};
use hallwright_render as render;
use hallwright_trials::Case;
use hallwright_trials::compare::Comparison;

use self::designs::LoadedDesign;
use crate::exit_code::Outcome;
use crate::files::{Guard, Target, targets_or, write_targets};
use crate::flags::{CompareFlags, CompareFormat};
use crate::pages::{Drawn, drawn_cases, note_pages};
use crate::repeat::quoted;

/// Compares what the flags name.
pub(crate) fn compare(flags: &CompareFlags) -> Result<Outcome> {
    one_value_each(&flags.many.loading.set)?;
    let Some(designs) = designs::load_designs(flags)? else {
        return Ok(Outcome::Unusable);
    };
    if let [only] = designs.as_slice() {
        bail!(
            "`{}` is the only design: name another scenario, or more variants",
            only.name
        );
    }
    let read = designs.iter().flat_map(|design| &design.subject.read);
    Guard::default()
        .reads(read.map(PathBuf::as_path))
        .writes(flags.output.iter().map(Target::path))?;
    let mut found = execute::execute(&designs, flags)?;
    found.version = env!("CARGO_PKG_VERSION").to_owned();
    select(&mut found, flags);
    let targets = targets_or(&flags.output, CompareFormat::Text);
    let is_page = |target: &&Target<CompareFormat>| matches!(target.format, CompareFormat::Html);
    let page = targets.iter().find(is_page).map(|_| page(&designs));
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            CompareFormat::Text => render::compare_text(&found, flags.brief, columns),
            CompareFormat::Markdown => render::compare_markdown(&found, flags.brief),
            CompareFormat::Csv => render::compare_csv(&found),
            CompareFormat::Json => render::compare_json(&found),
            CompareFormat::Junit => render::compare_junit(&found),
            CompareFormat::Html => page
                .as_ref()
                .map_or_else(String::new, |page| page.html.clone()),
        })
    })?;
    let files = targets.iter().filter(is_page).filter_map(Target::file);
    if let Some(page) = &page {
        note_pages(files, page);
    }
    Ok(if !found.broken.is_empty() {
        Outcome::Broken
    } else if found.unmade_cases > 0 {
        Outcome::CutShort
    } else {
        Outcome::Done
    })
}

/// Says how several values of a parameter are compared, if one has several.
///
/// # Errors
///
/// If it has.
fn one_value_each(set: &[(String, String)]) -> Result<()> {
    let values = |name: &str| -> Vec<&str> {
        let given = set.iter().filter(|(given, _)| given == name);
        given.map(|(_, value)| value.as_str()).collect()
    };
    for (name, _) in set {
        let values = values(name);
        if let [first, _, ..] = values.as_slice() {
            bail!(
                "`--set {name}=…` was given more than once. To compare values, write a variant for each in the file, \
                 such as `\"{name} {first}\": {{\"{name}\": {first}}}` in `variants`. To find the best, use \
                 `hallwright tune FILE --range {}`",
                quoted(&format!("{name}={}", values.join(",")))
            );
        }
    }
    Ok(())
}

/// Leaves only the figures that were asked for.
fn select(found: &mut Comparison, flags: &CompareFlags) {
    if !flags.figure.is_empty() {
        found.keep(&flags.figure);
    }
}

/// The page of the first two designs, each as its scenario has it.
fn page(designs: &[LoadedDesign]) -> Drawn {
    if designs.len() > 2 {
        note!(
            "note: the page shows the first two of {} designs",
            designs.len()
        );
    }
    let cases: Vec<Case> = designs
        .iter()
        .take(2)
        .map(|design| Case::as_declared(design.subject.scenario().seed))
        .collect();
    let designs = designs.iter().map(|design| &design.subject);
    drawn_cases(&designs.zip(&cases).collect::<Vec<_>>(), "")
}
