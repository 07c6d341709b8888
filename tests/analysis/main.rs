//! What is said of networks before any run, worked out by hand on small ones.

mod homes;
mod long;
mod sieves;
mod signals;
mod support;
mod ways;
