//! The tables that depend on the signal order and on which signal parts sleep.

use crate::engine::Engine;
use crate::engine::state::world::World;
use crate::engine::tables::gates::Gates;
use crate::engine::tables::parts::Parts;
use crate::engine::tables::signal_order::SignalOrder;
use crate::engine::tables::wiring::Wiring;
use crate::id::PartId;
use crate::network::Network;
use crate::part::Signal;

impl Engine<'_> {
    /// Makes them anew.
    pub(super) fn rewire(&mut self) {
        (self.wiring, self.gates) =
            wired(self.network, &self.parts, &self.signal_order, &self.world);
    }
}

/// The tables of this signal order for the state of the world. As long as that order holds, and nobody falls
/// asleep or wakes, they stay true.
pub(in crate::engine) fn wired(
    network: &Network,
    parts: &Parts,
    order: &SignalOrder,
    world: &World,
) -> (Wiring, Gates) {
    let is_asleep = |part| world.sleepers.contains(part);
    let level = |signal: PartId| world.signals[parts.place(signal)].level;
    let is_behind = |part: PartId| match network.signal(part) {
        Some(Signal::Wire { inputs }) => {
            let given = inputs.iter();
            let given = given.map(|(input, loss)| level(*input).saturating_sub(*loss));
            given.max().unwrap_or(0) != world.signals[parts.place(part)].own_level
        }
        _ => false,
    };
    let wiring = Wiring::new(network, parts, order, is_asleep, is_behind);
    let gates = Gates::new(network, parts, &wiring.signals);
    (wiring, gates)
}
