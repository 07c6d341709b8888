//! Texts and files that are nearly right, made of any bytes, and what must hold whatever is in them.
//!
//! Each module has a `try_one`: it writes an input out of bytes, hands it to what reads such inputs, checks what must
//! hold of the result, and says how far the input came. A panic is a finding. Most inputs keep the grammar, so that
//! they get past the parser; in about one of [`spoil::ONE_IN`] some bytes are changed blindly.
//!
//! Ordinary tests draw the bytes from seeds, and let every input go on as far as it can. In `guided/`, which no ordinary
//! build compiles, a fuzzer that looks at coverage chooses them, and most inputs are only read.

pub mod arrivals;
pub mod catalogue;
pub mod choices;
mod edit;
mod folder;
pub mod known_runs;
pub mod records;
mod runs;
pub mod saved;
pub mod scenario;
pub mod spoil;

use choices::Choices;

/// How far an input came.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Came {
    /// No further than the parser.
    Refused,
    /// Past the parser, but something else is wrong with it.
    Read,
    /// All the way.
    Through,
}

/// What is tried.
#[derive(Clone, Copy)]
pub struct Target {
    /// Its name.
    pub name: &'static str,
    /// Tries the input that some choices make.
    pub try_one: fn(&mut Choices<'_>) -> Came,
}

/// All that is tried.
pub const TARGETS: [Target; 6] = [
    Target {
        name: "arrivals",
        try_one: arrivals::try_one,
    },
    Target {
        name: "catalogue",
        try_one: catalogue::try_one,
    },
    Target {
        name: "known_runs",
        try_one: known_runs::try_one,
    },
    Target {
        name: "records",
        try_one: records::try_one,
    },
    Target {
        name: "saved",
        try_one: saved::try_one,
    },
    Target {
        name: "scenario",
        try_one: scenario::try_one,
    },
];
