//! Flags of the commands that make many runs: `check`, `compare`, `tune`, and `run` with a sweep.

use std::num::NonZeroUsize;

use clap::Args;
use hallwright_trials::{Choice, StopRange, Stops, orders};

use super::loading::Loading;
use super::values::stop_range;

/// Shuffled orders, where nothing else is said.
pub(crate) const SHUFFLES: u64 = 3;

/// Which designs are run, and in which cases.
#[derive(Debug, Args)]
pub(crate) struct ManyRuns {
    #[command(flatten)]
    pub(crate) loading: Loading,

    #[command(flatten)]
    pub(crate) cases: Cases,
}

/// In which cases a design is run, and how many runs are made at once.
#[derive(Clone, Debug, Args)]
pub(crate) struct Cases {
    /// How many seeds that follow the scenario's own to try, too.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) seeds: u64,

    /// How many shuffles of the update order and the signal order to try, beside the declared and the
    /// reversed ones. If left out: 3, but `run` tries only one pair of orders.
    #[arg(long, value_name = "N")]
    pub(crate) shuffles: Option<u64>,

    /// Make every run with its first stop at each tick of a range, such as 1200..1207; STEP is 1 if
    /// left out.
    #[arg(long, value_name = "FROM..TO/STEP", value_parser = stop_range)]
    pub(crate) stop_sweep: Option<StopRange>,

    /// How many runs to make at once; as many as there are cores by default.
    #[arg(long, value_name = "N")]
    pub(crate) jobs: Option<NonZeroUsize>,
}

impl Cases {
    /// How many shuffled orders are tried.
    pub(crate) fn shuffles(&self) -> u64 {
        self.shuffles.unwrap_or(SHUFFLES)
    }

    /// The orders and stop ticks.
    pub(crate) fn choice(&self) -> Choice {
        Choice {
            orders: orders(self.shuffles()),
            stops: self.stop_sweep.map_or(Stops::Spread, Stops::Swept),
        }
    }
}
