//! Tests of what a network and a setup are made of, before anything runs.

mod fill;
mod setup;
mod space;
