//! Writes what a check found, in every format that was asked for.

use anyhow::Result;
use hallwright_render as render;
use hallwright_trials::Case;
use hallwright_trials::check::CheckReport;

use crate::files::{Target, targets_or, write_targets};
use crate::flags::CheckFormat;
use crate::pages::drawn_cases;
use crate::runs::LoadedScenario;

/// Writes the files and what goes to standard output.
pub(super) fn write(
    targets: &[Target<CheckFormat>],
    report: &CheckReport,
    subjects: &[LoadedScenario],
) -> Result<()> {
    let targets = targets_or(targets, CheckFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            CheckFormat::Text => render::check_text(report, columns),
            CheckFormat::Json => render::check_json(report),
            CheckFormat::Junit => render::junit(report),
            CheckFormat::Annotations => render::annotations(report),
            CheckFormat::Html => page(report, subjects),
        })
    })
}

/// The page of the first run that missed a goal, or else of the first run; empty if nothing was run.
fn page(report: &CheckReport, subjects: &[LoadedScenario]) -> String {
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
    match missed.or_else(first) {
        Some((subject, case)) => drawn_cases(&[(subject, &case)]),
        None => String::new(),
    }
}
