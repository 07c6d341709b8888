//! Many runs of a design: stop sweeps and searches, with figures worked out by hand.

mod build;
mod calibrate;
mod cut_short;
mod leave;
mod leave_granary;
mod stops_everywhere;
mod support;
mod sweep;
mod tune;
