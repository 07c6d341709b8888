//! What commands that make many runs have in common: a scenario loaded with several seeds
//! ([`subject`]), and runs spread over the cores ([`mod@spread`]).

mod spread;
mod subject;

pub(crate) use spread::{pool, spread};
pub(crate) use subject::{Subject, load_subject, problem, tell};
