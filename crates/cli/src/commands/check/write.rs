//! Writes what a check found, in every format that was asked for.

use anyhow::Result;
use hallwright_report::check::CheckReport;
use hallwright_report::render;

use crate::flags::CheckFormat;
use crate::targets::{Target, write_targets};

/// Writes the files and what goes to standard output.
pub(super) fn write(targets: &[Target<CheckFormat>], report: &CheckReport) -> Result<()> {
    write_targets(
        targets,
        CheckFormat::Text,
        &|format, columns| match format {
            CheckFormat::Text => render::check_text(report, columns),
            CheckFormat::Json => render::check_json(report),
            CheckFormat::Junit => render::junit(report),
            CheckFormat::Annotations => render::annotations(report),
        },
    )
}
