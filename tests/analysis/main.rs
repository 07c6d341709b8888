//! What is said of networks before any run, worked out by hand on small ones.

mod crowding;
mod homes;
mod levels;
mod long;
mod signals;
mod support;
mod ways;
