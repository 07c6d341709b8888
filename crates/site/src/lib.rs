//! Which blocks a network is, and which network blocks are.
//!
//! `docs/site-rules.md` has the rules: which network blocks are is in [`derive`], what is wrong with where parts stand in [`place`]. A layout says where parts stand and how they are turned
//! ([`placement`]); blocks and directions are in [`space`].

pub mod blocks;
pub mod derive;
pub mod network;
pub mod place;

pub use hallwright_core::{placement, space};
