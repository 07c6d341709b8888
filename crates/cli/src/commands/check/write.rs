//! Writes what a check found, in every format that was asked for.

use anyhow::Result;
use hallwright_report::check::CheckReport;
use hallwright_report::render;

use crate::flags::{CheckFormat, OutputTarget};
use crate::output::write_targets;

/// Writes the files, and then what goes to standard output.
pub(super) fn write(targets: &[OutputTarget<CheckFormat>], report: &CheckReport) -> Result<()> {
    write_targets(
        targets,
        CheckFormat::Text,
        |format, width_columns| match format {
            CheckFormat::Text => render::check_text(report, width_columns),
            CheckFormat::Json => render::check_json(report),
            CheckFormat::Junit => render::junit(report),
            CheckFormat::Annotations => render::annotations(report),
        },
    )
}
