//! What commands that make many runs have in common: a scenario loaded with several seeds
//! ([`loaded`]), halls that are left ([`leaves`]), and the machine that makes the runs, with its progress shown ([`mod@machine`]).

mod leaves;
mod loaded;
mod machine;

pub(crate) use leaves::{Leavable, left};
pub(crate) use loaded::{
    LoadedScenario, base_of, load_scenario, load_seeds, print_problems, problem,
};
pub(crate) use machine::{interruptible, machine};
