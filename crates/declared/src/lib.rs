//! What a builder says about a network beside the network itself: what is declared of it, and where its parts stand.
//!
//! No run depends on any of it, except on what the operator does at a stop. A network is judged by its
//! [`declarations`], and built from its [`placement`].

pub mod declarations;
pub mod placement;
pub mod site;
pub mod space;
