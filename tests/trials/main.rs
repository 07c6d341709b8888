//! Many runs of a design: stop sweeps and searches, with figures worked out by hand.

mod leave;
mod sweep;
mod tmp_granary;
mod tune;
