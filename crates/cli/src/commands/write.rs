//! What `hallwright run` writes of a scenario itself: its flat layout, and all of it in one file.

use std::path::Path;

use anyhow::{Context, Result, bail};
use hallwright_scenario::{LoadOptions, Scenario, bundle, flat};

use crate::files;
use crate::flags::RunFlags;

/// Writes what the flags ask for.
pub(crate) fn write(flags: &RunFlags, options: &LoadOptions, scenario: &Scenario) -> Result<()> {
    if let Some(path) = &flags.expand {
        write_file(path, &flat(scenario))?;
    }
    if let Some(path) = &flags.bundle {
        let Ok(text) = bundle(&flags.run.scenario, options) else {
            bail!(
                "`{}` has changed while it was read",
                flags.run.scenario.display()
            );
        };
        write_file(path, &text)?;
    }
    Ok(())
}

/// Writes a file; that it is none of those that are read is known.
fn write_file(path: &Path, text: &str) -> Result<()> {
    files::write(path, text).with_context(|| format!("`{}` cannot be written", path.display()))
}
