//! What changes in a run, as plain data that knows neither the engine nor its phases.
//!
//! [`world::World`] is what is saved: equal worlds have equal futures. Which turns are marked
//! (`turns.rs`) and what the tick under way has cost (`work_meter.rs`) follow from it.

pub(in crate::engine) mod agenda;
pub(in crate::engine) mod clocks;
pub(in crate::engine) mod inventories;
pub(in crate::engine) mod landings;
pub(in crate::engine) mod loose_items;
pub(in crate::engine) mod sleepers;
pub(in crate::engine) mod slots;
pub(in crate::engine) mod stuck;
pub(in crate::engine) mod takers;
pub(in crate::engine) mod turns;
pub(in crate::engine) mod work_meter;
pub(in crate::engine) mod world;
