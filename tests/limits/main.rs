//! Limits: what a network allows at best, beside what its runs do.

mod by_hand;
mod lines;
mod locks;
mod other_ways;
mod random;
mod support;
mod triggers;
