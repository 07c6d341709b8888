//! What `hallwright run` writes of a scenario itself: its flat layout, and all of it in one file.

use std::path::Path;

use anyhow::{Context, Result, bail};
use hallwright_scenario::{LoadOptions, Scenario, Sources, bundle, flat};

use crate::flags::RunFlags;

/// Writes what the flags ask for.
pub(crate) fn write(
    flags: &RunFlags,
    options: &LoadOptions,
    scenario: &Scenario,
    sources: &Sources,
) -> Result<()> {
    if let Some(path) = &flags.expand {
        write_file(path, sources, &flat(scenario))?;
    }
    if let Some(path) = &flags.bundle {
        let Ok(text) = bundle(&flags.run.scenario, options) else {
            bail!(
                "`{}` has changed while it was read",
                flags.run.scenario.display()
            );
        };
        write_file(path, sources, &text)?;
    }
    Ok(())
}

/// Writes a file, but never over one that the scenario was read from.
fn write_file(path: &Path, sources: &Sources, text: &str) -> Result<()> {
    let is_source = path.canonicalize().is_ok_and(|written| {
        let mut read = sources.files().iter().map(|file| Path::new(&file.path));
        read.any(|read| read.canonicalize().is_ok_and(|read| read == written))
    });
    if is_source {
        bail!("the scenario is read from `{}`", path.display());
    }
    std::fs::write(path, text).with_context(|| format!("`{}` cannot be written", path.display()))
}
