//! Which blocks a network is, and which network blocks are.
//!
//! `docs/look-up/site-rules.md` has the rules. Which network a set of [`blocks`] is, is worked out in [`mod@derive`]. Where
//! a layout says that parts stand is a [`placement`](hallwright_declared::placement), and what is wrong with that in
//! [`mod@place`]. Parts that are [`drawn`] get their links from their blocks. Whether two networks are the same up to names
//! is asked in [`network`].

#![deny(clippy::wildcard_enum_match_arm)]

pub mod blocks;
pub mod derive;
pub mod drawn;
pub mod network;
pub mod place;
