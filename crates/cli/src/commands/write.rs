//! What `hallwright run` writes of a scenario itself: its flat layout, and all of it in one file.

use std::path::Path;

use anyhow::{Context, Result, bail};
use hallwright_scenario::{LoadOptions, Scenario, bundle, flat};

use crate::flags::RunFlags;

/// Writes what the flags ask for.
pub(crate) fn write(flags: &RunFlags, options: &LoadOptions, scenario: &Scenario) -> Result<()> {
    if let Some(path) = &flags.expand {
        write_file(path, &flags.scenario, &flat(scenario))?;
    }
    if let Some(path) = &flags.bundle {
        let Ok(text) = bundle(&flags.scenario, options) else {
            bail!(
                "`{}` has changed while it was read",
                flags.scenario.display()
            );
        };
        write_file(path, &flags.scenario, &text)?;
    }
    Ok(())
}

/// Writes a file, but never over the scenario itself.
fn write_file(path: &Path, scenario: &Path, text: &str) -> Result<()> {
    let is_same = match (path.canonicalize(), scenario.canonicalize()) {
        (Ok(one), Ok(two)) => one == two,
        _ => false,
    };
    if is_same {
        bail!("`{}` is the scenario itself", path.display());
    }
    std::fs::write(path, text).with_context(|| format!("`{}` cannot be written", path.display()))
}
