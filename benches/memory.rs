//! What things take up in memory.

use std::alloc::System;

use hallwright_core::engine::Engine;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};

#[global_allocator]
static ALLOCATOR: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// Makes something, and reports how many bytes it keeps allocated. No other thread may allocate meanwhile.
pub(crate) fn counted<T>(make: impl FnOnce() -> T) -> (T, u64) {
    let region = Region::new(ALLOCATOR);
    let made = make();
    let change = region.change();
    let kept = change
        .bytes_allocated
        .saturating_sub(change.bytes_deallocated);
    (made, kept as u64)
}

/// How many slots all parts of a network have.
pub(crate) fn slots(network: &Network) -> u64 {
    let slots = network.part_ids().filter_map(|id| network.own_slots(id));
    slots.map(u64::from).sum()
}

/// How many bytes an engine keeps for one slot: what containers with more slots take up beyond others.
pub(crate) fn slot_bytes() -> u64 {
    const MORE: u16 = 10_000;
    let bytes = |slots: u16| {
        let mut builder = NetworkBuilder::new(Rules::default());
        builder.add("chest", Part::Container(Container { slots }));
        let network = builder.build().expect("a chest alone is sound");
        let setup = Setup::default();
        counted(|| Engine::new(&network, &setup)).1
    };
    (bytes(MORE * 2) - bytes(MORE)) / u64::from(MORE)
}
