//! `hallwright check`: every scenario and variant in some paths, in every pair of orders, for every
//! seed and at every stop tick.
//!
//! The paths are walked ([`mod@find`]), every scenario is loaded in every variant ([`mod@load`]), all runs
//! are made on all cores ([`mod@execute`]), compared with recorded figures or recorded ([`records`]),
//! and what was found is written ([`mod@write`]), for annotations with the parts concerned ([`places`]).

mod execute;
mod find;
mod load;
mod places;
mod records;
mod write;

use std::collections::BTreeSet;
use std::path::PathBuf;

use anyhow::Result;
use hallwright_trials::check::CheckReport;

use self::find::{FIGURES, Found};
use self::records::Records;
use crate::exit_code::Outcome;
use crate::files::{Guard, Target};
use crate::flags::{CheckFlags, CheckFormat};
use crate::runs::LoadedScenario;

/// Checks everything in the paths and says what was found.
pub(crate) fn check(flags: &CheckFlags) -> Result<Outcome> {
    let mut report = CheckReport {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        ..CheckReport::default()
    };
    let root = flags.many.loading.root.root.as_deref();
    let found = find::find(&flags.paths, root, &mut report)?;
    let mut read = BTreeSet::new();
    let loaded = load::load_all(&found, flags, &mut report, &mut read)?;
    guard(&found, &loaded, flags, &read)?;
    let executed = execute::execute(&loaded, flags)?;
    let records = match flags.record {
        true => Records::Written {
            if_missed: flags.record_missed,
        },
        false if flags.require_figures => Records::Demanded,
        false if flags.is_as_recorded() => Records::Compared,
        false => Records::LeftAlone,
    };
    records::settle(&found, &loaded, executed, records, &mut report);
    let mut formats = flags.output.iter().map(|target| target.format);
    if formats.any(|format| format == CheckFormat::Annotations) {
        places::find(&mut report, &loaded);
    }
    write::write(&flags.output, &report, &loaded)?;
    Ok(report.outcome().into())
}

/// Keeps what is read from being written over, recorded figures among it.
fn guard(
    found: &Found,
    loaded: &[LoadedScenario],
    flags: &CheckFlags,
    read: &BTreeSet<PathBuf>,
) -> Result<()> {
    let scenarios = found.scenarios.iter().map(|file| file.path.as_path());
    let mut guard = Guard::default();
    guard.reads(scenarios.chain(read.iter().map(PathBuf::as_path)));
    let of_scenarios = loaded
        .iter()
        .map(|subject| subject.path.with_extension(FIGURES));
    let figures: BTreeSet<PathBuf> = of_scenarios.collect();
    match flags.record {
        true => guard.writes(figures.iter().map(PathBuf::as_path))?,
        false => drop(guard.reads(figures.iter().chain(&found.figures).map(PathBuf::as_path))),
    }
    guard.writes(flags.output.iter().map(Target::path))
}
