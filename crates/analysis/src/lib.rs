//! What can be said of a network before any run: which ways items can take in it ([`ways`]), what its
//! signals hang on ([`signals`]) and can settle at ([`levels`]), what its sieves let through
//! ([`sieves`]), what it allows at best ([`limits`]), how long its parts can wait ([`certainty`]),
//! where more parts meet than fit ([`crowding`]), and what comparators read ([`readings`]).

#![deny(clippy::wildcard_enum_match_arm)]

pub mod certainty;
pub mod crowding;
pub mod levels;
pub mod limits;
pub mod readings;
pub mod sieves;
pub mod signals;
pub mod ways;
