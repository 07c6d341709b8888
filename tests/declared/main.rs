//! Tests of what is declared of a network, and of where its parts stand.

mod leave;
mod placement;
mod space;
