//! What is said of networks before any run, worked out by hand on small ones.

mod crowding;
mod homes;
mod long;
mod not_named;
mod onward;
mod readings;
mod sieves;
mod signals;
mod support;
mod waits;
mod ways;
