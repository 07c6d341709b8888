//! What came of a planned hall when it was run, beside what was promised. The runs are the command's
//! business; here is what is said of them.

use serde::Serialize;

/// What came of it.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Proof {
    /// Whether every promise was kept, and all that was to be run was run.
    pub is_kept: bool,
    /// How many runs were not made because the proof was cut short. The file of a hall never has it: such a hall
    /// is not written.
    #[serde(skip_serializing_if = "is_nothing")]
    pub unmade_runs: u64,
    /// The promises that were not, in words.
    pub broken_promises: Vec<String>,
    /// The hauls that were run, each in the declared orders.
    pub hauls: Vec<HaulProof>,
    /// What was not run, and why.
    pub not_run: Vec<String>,
    /// The stops under full load.
    pub stops: StopsProof,
    /// The room of the stores, sort by sort.
    pub room: Vec<RoomProof>,
}

fn is_nothing(runs: &u64) -> bool {
    *runs == 0
}

/// One haul that was run.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct HaulProof {
    /// The variant of the scenario.
    pub variant: &'static str,
    /// What was sent.
    pub sent_items: u64,
    /// What of it lies in slices that take it.
    pub home_items: u64,
    /// What of it waits at the end, at the inlet or in a buffer.
    pub waiting_items: u64,
    /// What of it is in the sieves of slices that are full, of kinds that have further slices.
    pub full_sieves_items: u64,
    /// What of it is anywhere else.
    pub astray_items: u64,
    /// What came into the hall, from the first item to the last.
    pub items_a_second: f64,
    /// How many goals and standing questions there are.
    pub goals: usize,
    /// How many of them were met.
    pub goals_met: usize,
}

/// The stops that were tried.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct StopsProof {
    /// The variant of the scenario.
    pub variant: &'static str,
    /// At how many ticks the hall was stopped.
    pub stop_ticks: u64,
    /// The first of them.
    pub from_tick: u64,
    /// The last of them.
    pub to_tick: u64,
    /// In how many pairs of orders.
    pub orders: u64,
    /// The pairs in words.
    pub orders_words: String,
    /// How many stops were run to the end.
    pub runs: u64,
    /// In how many of these everything came home after the restart.
    pub landed_runs: u64,
    /// The wished time from a stop until it is safe to close.
    pub wished_ticks: u64,
    /// What the arithmetic of the sections promises at most.
    pub promised_ticks: u64,
    /// The longest that was measured; `None` if it never was safe to close.
    pub worst_ticks: Option<u64>,
    /// The stop of it.
    pub worst_stop_tick: u64,
    /// Its orders in words.
    pub worst_orders: String,
    /// What runs it again, behind `hallwright run SCENARIO`.
    pub worst_flags: String,
}

/// The room of one sort of slices.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct RoomProof {
    /// The sort.
    pub sort: &'static str,
    /// How many slices are in use.
    pub used_slices: u64,
    /// What the plan says that they have room for.
    pub planned_stacks: u64,
    /// What the containers of their stores in the scenario have room for.
    pub built_stacks: u64,
}
