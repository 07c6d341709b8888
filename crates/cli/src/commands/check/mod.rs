//! `hallwright check`: every scenario and variant in some paths, in every update order, for every
//! seed and at every stop tick.
//!
//! The paths are walked ([`mod@find`]), every scenario is loaded in every variant ([`mod@load`]), all runs
//! are made on all cores ([`mod@execute`]), compared with recorded figures or recorded ([`records`]),
//! and what was found is written ([`mod@write`]).

mod execute;
mod find;
mod load;
mod records;
mod write;

use anyhow::Result;
use hallwright_trials::check::CheckReport;

use crate::exit_code::Outcome;
use crate::flags::CheckFlags;

/// Checks everything in the paths and says what was found.
pub(crate) fn check(flags: &CheckFlags) -> Result<Outcome> {
    let mut report = CheckReport {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        ..CheckReport::default()
    };
    let found = find::find(&flags.paths, &mut report);
    let loaded = load::load_all(&found, flags, &mut report);
    let executed = execute::execute(&loaded, flags)?;
    records::settle(&found, &loaded, executed, flags.record, &mut report);
    write::write(&flags.output, &report, &loaded)?;
    Ok(report.outcome().into())
}
