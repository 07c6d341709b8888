//! `hallwright sheet`: what stands where, what to bring, and in which order to build it.

use anyhow::Result;
use hallwright_scenario::load;
use hallwright_sheet::{csv, html, sheet, text};

use crate::exit_code::Outcome;
use crate::files::{Guard, Target, targets_or, write_targets};
use crate::flags::{SheetFlags, SheetFormat};
use crate::runs::print_problems;

/// Writes the build sheet.
pub(crate) fn write_sheet(flags: &SheetFlags) -> Result<Outcome> {
    let options = flags.loading.options(flags.loading.one_variant()?);
    let options = flags.build.of(options, true);
    let loaded = load(&flags.scenario, &options);
    print_problems(&loaded);
    let Some(scenario) = &loaded.scenario else {
        return Ok(Outcome::Unusable);
    };
    Guard::default()
        .reads(loaded.sources.paths())
        .writes(flags.output.iter().map(Target::path))?;
    let sheet = sheet(scenario, flags.from);
    let targets = targets_or(&flags.output, SheetFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            SheetFormat::Text => text(&sheet, columns),
            SheetFormat::Csv => csv(&sheet),
            SheetFormat::Html => html(&sheet)?,
        })
    })?;
    Ok(Outcome::Done)
}
