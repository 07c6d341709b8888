//! Flags of the commands that make one run: `run`, `show` and `explain`.

use std::path::PathBuf;

use clap::Args;
use hallwright_core::order::Order;
use hallwright_core::tick::Tick;

use super::loading::Loading;
use super::values::{order, tick};

/// Which scenario is run, and in what the run differs from what its file says.
#[derive(Debug, Args)]
pub(crate) struct OneRun {
    /// The scenario file (RON).
    pub(crate) scenario: PathBuf,

    #[command(flatten)]
    pub(crate) loading: Loading,

    /// The seed of everything left to chance, instead of the scenario's own.
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,

    /// The update order, in which hoppers take their turns: declared, reversed or shuffled:SEED;
    /// declared if left out.
    #[arg(long, value_name = "ORDER", value_parser = order)]
    pub(crate) order: Option<Order>,

    /// The signal order, in which one change reaches all that it concerns: declared, reversed or
    /// shuffled:SEED; declared if left out.
    #[arg(long, value_name = "ORDER", value_parser = order)]
    pub(crate) signal_order: Option<Order>,

    /// Move the first stop to this tick, and all later ones along.
    #[arg(long, value_name = "TICK", value_parser = tick)]
    pub(crate) stop_at: Option<Tick>,
}
