//! Planning: what goes where, how long it gets, what it takes.

mod allocation;
mod binpack;
mod both_engines;
mod boxes;
mod catalogue;
mod cube_per_order;
mod draws;
mod exchange;
mod fit;
mod keep;
mod large;
mod parts;
mod random;
mod sight;
mod support;
mod wishes;
mod written;
