//! What is looked up from the network once, and by number afterwards. Tables know only the network,
//! and each other. One flag apart ([`parts::Parts::set_awaited`]) they never change; those of signals are
//! made anew when other changes reach other parts, because signal parts sleep or the world is opened again.

pub(in crate::engine) mod concerned;
pub(in crate::engine) mod gates;
pub(in crate::engine) mod parts;
pub(in crate::engine) mod readers;
pub(in crate::engine) mod relation;
pub(in crate::engine) mod seats;
pub(in crate::engine) mod signal_order;
pub(in crate::engine) mod wiring;
