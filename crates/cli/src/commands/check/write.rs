//! Writes what a check found, in every format that was asked for.

use anyhow::Result;
use hallwright_render as render;
use hallwright_trials::Case;
use hallwright_trials::check::CheckReport;

use crate::files::{Target, targets_or, write_targets};
use crate::flags::CheckFormat;
use crate::pages::{Drawn, drawn_cases, note_pages};
use crate::runs::LoadedScenario;

/// Writes the files and what goes to standard output.
pub(super) fn write(
    targets: &[Target<CheckFormat>],
    report: &CheckReport,
    subjects: &[LoadedScenario],
) -> Result<()> {
    let targets = targets_or(targets, CheckFormat::Text);
    let is_page = |target: &&Target<CheckFormat>| matches!(target.format, CheckFormat::Html);
    let page = targets
        .iter()
        .find(is_page)
        .and_then(|_| page(report, subjects));
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            CheckFormat::Text => render::check_text(report, columns),
            CheckFormat::Json => render::check_json(report),
            CheckFormat::Csv => render::check_csv(report),
            CheckFormat::Junit => render::junit(report),
            CheckFormat::Annotations => render::annotations(report),
            CheckFormat::Html => page
                .as_ref()
                .map_or_else(String::new, |page| page.html.clone()),
        })
    })?;
    let is_printed = targets.iter().any(|target| target.file().is_none());
    let files = targets.iter().filter(is_page).filter_map(Target::file);
    if let Some(page) = &page {
        note_pages(files, page);
        // Else nothing would say how it came off.
        if !is_printed {
            note!("{}", render::check_summary(report));
        }
    }
    Ok(())
}

/// The page of the first run that missed a goal, or else of the first run; `None` if nothing was run.
fn page(report: &CheckReport, subjects: &[LoadedScenario]) -> Option<Drawn> {
    let of = |file: &str, variant: &Option<String>| {
        let mut subjects = subjects.iter();
        subjects.find(|subject| subject.file == file && subject.scenario().variant == *variant)
    };
    let missed = report.checked.iter().find_map(|checked| {
        let goal = checked.missed().next()?;
        Some((
            of(&checked.file, &checked.variant)?,
            goal.worst.case.clone(),
        ))
    });
    let first = || {
        let subject = subjects.first()?;
        Some((subject, Case::as_declared(subject.scenario().seed)))
    };
    let why = match missed {
        Some(_) => ": the first goal that was missed, where it was missed worst",
        None => ": no goal was missed, and this is the first run",
    };
    let (subject, case) = missed.or_else(first)?;
    Some(drawn_cases(&[(subject, &case)], why))
}
