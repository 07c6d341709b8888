//! What can be said of a network before any run: what it allows at best ([`limits`]) and how long its
//! parts can wait ([`certainty`]).

pub mod certainty;
pub mod limits;
