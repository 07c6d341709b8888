//! What can be said of a network before any run: which ways items can take in it ([`ways`]) and how far
//! they come ([`reach`]), what comes in ([`incoming`]) and which stores are its homes ([`homes`]), what its signals hang on
//! ([`signals`]), can settle at ([`levels`]) and set going ([`pulses`]), what its sieves let through
//! ([`sieves`]), what it allows at best ([`limits`]), how long its parts can wait ([`certainty`]), when
//! nothing can happen any more ([`standstill`], [`repeats`]), where more parts meet than fit
//! ([`crowding`]), where what rests may go on to ([`onward`]), and what comparators read ([`readings`]).

#![deny(clippy::wildcard_enum_match_arm)]

pub mod certainty;
pub mod crowding;
pub mod groups;
pub mod homes;
pub mod incoming;
pub mod levels;
pub mod limits;
pub mod onward;
pub mod pulses;
pub mod reach;
pub mod readings;
pub mod repeats;
pub mod sieves;
pub mod signals;
pub mod since;
pub mod standstill;
pub mod ways;
