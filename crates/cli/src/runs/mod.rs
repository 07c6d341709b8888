//! What commands that make many runs have in common: a scenario loaded with several seeds
//! ([`subject`]), and the machine that makes the runs, with its progress shown ([`mod@machine`]).

mod machine;
mod subject;

pub(crate) use machine::machine;
pub(crate) use subject::{Subject, base_of, load_seeds, load_subject, problem, tell};
