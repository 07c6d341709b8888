//! Tests of what a network and a setup are made of, before anything runs.

mod alike;
mod fill;
mod network;
mod setup;
