//! Flags of the commands that run one scenario: `run`, `show` and `explain`.

use std::path::PathBuf;

use clap::Args;
use hallwright_core::setup::UpdateOrder;
use hallwright_core::tick::Tick;
use hallwright_scenario::DEFAULT_PART_LIMIT;

use super::{RootFlag, name_and_value, tick, update_order};

/// Which scenario is run, and in what the run differs from what its file says.
#[derive(Debug, Args)]
pub(crate) struct OneRun {
    /// The scenario file (RON).
    pub(crate) scenario: PathBuf,

    /// Set a parameter of the scenario; may be given several times.
    #[arg(long, value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub(crate) set: Vec<(String, String)>,

    /// The seed of everything left to chance, instead of the scenario's own.
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,

    /// The order in which hoppers take their turns: declared, reversed or shuffled:SEED.
    #[arg(long, value_name = "ORDER", default_value = "declared", value_parser = update_order)]
    pub(crate) order: UpdateOrder,

    /// Move the first stop to this tick, and all later ones along.
    #[arg(long, value_name = "TICK", value_parser = tick)]
    pub(crate) stop_at: Option<Tick>,

    /// The most parts that a scenario may expand to.
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PART_LIMIT)]
    pub(crate) part_limit: usize,

    #[command(flatten)]
    pub(crate) root: RootFlag,
}
