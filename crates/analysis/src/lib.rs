//! What can be said of a network before any run: which ways items can take in it ([`ways`]), what its
//! signals hang on ([`signals`]) and can settle at ([`levels`]), what its sieves let through
//! ([`sieves`]), what it allows at best ([`limits`]) and how long its parts can wait ([`certainty`]).

#![deny(clippy::wildcard_enum_match_arm)]

pub mod certainty;
pub mod levels;
pub mod limits;
pub mod sieves;
pub mod signals;
pub mod ways;
