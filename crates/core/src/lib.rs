//! A tick-accurate, event-driven simulator of item-transfer networks.
//!
//! The life of a run has three stages, each with a type of its own:
//!
//! 1. **Build.** A [`NetworkBuilder`](network::NetworkBuilder) takes goods, parts and what they
//!    hold, checks the whole and gives a [`Network`](network::Network), which never changes again.
//! 2. **Prepare.** A [`Setup`](setup::Setup) adds what differs from run to run: the seed, the
//!    two [`Orders`](order::Orders) and the operator's [`Timeline`](timeline::Timeline).
//! 3. **Run.** An [`Engine`](engine::Engine) steps through the ticks and notifies an
//!    [`Observer`](event::Observer) every [`Event`](event::Event). Observers cannot change a run.
//!
//! What happens in a tick is written in `docs/look-up/tick-rules.md`; the module of each phase names the
//! section that it implements. The crate does no input or output, reads no clock, and given a valid
//! network it cannot fail: an invariant that breaks is a bug and panics.

// A new part, signal, event or action must be thought of wherever they are kept apart.
#![deny(clippy::wildcard_enum_match_arm)]

pub mod asks;
pub mod chance;
pub mod engine;
pub mod event;
pub mod fill;
pub mod fnv;
pub mod goods;
pub mod id;
pub mod network;
pub mod order;
pub mod part;
pub mod predicate;
pub mod rules;
pub mod setup;
pub mod slot;
pub mod tick;
pub mod timeline;
