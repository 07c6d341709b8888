//! What is looked up from the network once, and by number afterwards. Tables know only the network,
//! and each other; one flag apart ([`parts::Parts::set_awaited`]) they never change.

pub(in crate::engine) mod gates;
pub(in crate::engine) mod parts;
pub(in crate::engine) mod seats;
pub(in crate::engine) mod wiring;
