//! How fast somebody builds.

use clap::Args;
use hallwright_report::USUAL_BLOCKS_PER_HOUR;
use hallwright_scenario::LoadOptions;

/// How fast somebody builds, for the commands that report how long it takes.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct BuildRate {
    /// How many blocks you set in an hour, in place of the scenario's number or of 600.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) blocks_per_hour: Option<u32>,
}

impl BuildRate {
    /// As a scenario is loaded with this rate. `is_asked`: whether the time to build is to be reported
    /// even though nobody says how fast it goes.
    pub(crate) fn of(self, options: LoadOptions, is_asked: bool) -> LoadOptions {
        LoadOptions {
            blocks_per_hour: self.blocks_per_hour,
            usual_blocks_per_hour: is_asked.then_some(USUAL_BLOCKS_PER_HOUR),
            ..options
        }
    }
}
