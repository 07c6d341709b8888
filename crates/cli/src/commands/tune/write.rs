//! Writes what a search found, in every format that was asked for.

use anyhow::Result;
use hallwright_render as render;
use hallwright_trials::tune::TuneReport;

use crate::files::{Target, targets_or, write_targets};
use crate::flags::TuneFormat;

/// Writes the files, and then what goes to standard output.
pub(super) fn write(targets: &[Target<TuneFormat>], report: &TuneReport) -> Result<()> {
    let targets = targets_or(targets, TuneFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            TuneFormat::Text => render::tune_text(report, columns),
            TuneFormat::Json => render::tune_json(report),
            TuneFormat::Csv => render::tune_csv(report),
            TuneFormat::Variant => render::tune_variant(report),
        })
    })
}
