//! Writes what a check found, in every format that was asked for.

use std::path::Path;

use anyhow::{Context, Result};
use hallwright_report::check::CheckReport;
use hallwright_report::render;

use crate::flags::{CheckFormat, OutputTarget};
use crate::output::{print, width_columns, write_whole};

/// The path that stands for standard output.
const STANDARD_OUTPUT: &str = "-";

/// Writes the files, each whole or not at all, and then what goes to standard output.
pub(super) fn write(targets: &[OutputTarget], report: &CheckReport) -> Result<()> {
    let text = [OutputTarget {
        format: CheckFormat::Text,
        path: STANDARD_OUTPUT.into(),
    }];
    let targets = if targets.is_empty() { &text } else { targets };
    let (printed, filed): (Vec<_>, Vec<_>) = targets
        .iter()
        .partition(|target| target.path == Path::new(STANDARD_OUTPUT));
    for target in filed {
        write_whole(&target.path, &rendered(target.format, report, false)).with_context(|| {
            format!(
                "what was found cannot be written to `{}`",
                target.path.display()
            )
        })?;
    }
    for target in printed {
        let text = rendered(target.format, report, true);
        if !text.is_empty() {
            print(&text).context("what was found cannot be printed")?;
        }
    }
    Ok(())
}

fn rendered(format: CheckFormat, report: &CheckReport, is_printed: bool) -> String {
    /// The columns of a page in a file, whatever the terminal has.
    const PAGE_COLUMNS: u16 = 80;
    match format {
        CheckFormat::Text if is_printed => render::check_text(report, width_columns()),
        CheckFormat::Text => render::check_text(report, PAGE_COLUMNS),
        CheckFormat::Json => render::check_json(report),
        CheckFormat::Junit => render::junit(report),
        CheckFormat::Annotations => render::annotations(report),
    }
}
