//! Settling: the levels of all signals before tick 0 (tick rules, section 3).

use std::collections::BTreeSet;

use petgraph::algo::{kosaraju_scc, toposort};
use petgraph::graphmap::DiGraphMap;

use super::signals::ON;
use crate::engine::Engine;
use crate::engine::state::agenda::{EventRank, Task};
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Part, Signal};

impl Engine<'_> {
    /// Gives every signal its level before tick 0, then lets delayed parts on feedback loops
    /// schedule their first events. Makes no events and no edges.
    pub(in crate::engine) fn settle(&mut self) {
        let readings = self.readings();
        let on_loop = delayed_parts_on_loops(self.network, &readings);
        // What keeps its level whatever its inputs say makes no one wait, so what is left is in
        // order, inputs first.
        let mut order = DiGraphMap::<PartId, ()>::new();
        for (part, definition) in self.network.parts() {
            if let Part::Signal(signal) = definition {
                order.add_node(part);
                if let Some(level) = self.level_of_its_own(part, signal) {
                    let place = self.place(part);
                    self.world.signals[place].begin_at(level);
                }
            }
        }
        for (from, to, ()) in readings.all_edges() {
            if !on_loop.contains(&to) && !self.keeps_own_level(to) {
                order.add_edge(from, to, ());
            }
        }
        let sorted = toposort(&order, None).expect("the builder refuses loops without delay");
        for part in sorted {
            if !on_loop.contains(&part) && !self.keeps_own_level(part) {
                let place = self.place(part);
                let level = self.level_from_inputs(place);
                self.world.signals[place].begin_at(level);
            }
        }
        let mut in_order: Vec<PartId> = on_loop.into_iter().collect();
        in_order.sort_by_key(|part| self.signal_order.place(*part));
        for part in in_order {
            self.schedule_first(part);
        }
        for part in self.network.part_ids() {
            if let Some(Signal::Clock { .. }) = self.network.signal(part) {
                self.start_clock(part);
            }
        }
    }

    /// The signal graph: edges run from a signal to the signals that read it.
    fn readings(&self) -> DiGraphMap<PartId, ()> {
        let mut readings = DiGraphMap::new();
        for edge in self.network.graph().raw_edges() {
            let to = PartId::from_index(edge.target().index());
            let reads = matches!(
                edge.weight,
                Link::Signal(SignalRole::Input | SignalRole::Lock)
            );
            if reads && self.network.signal(to).is_some() {
                readings.add_edge(PartId::from_index(edge.source().index()), to, ());
            }
        }
        readings
    }

    /// The level of a signal that has one of its own at the start.
    fn level_of_its_own(&self, part: PartId, signal: &Signal) -> Option<u8> {
        match signal {
            Signal::Lever { starts_on } => Some(if *starts_on { ON } else { 0 }),
            Signal::Clock { .. } => Some(self.clock_level(part)),
            Signal::Button { .. } | Signal::Wire { .. } | Signal::Repeater { .. } => None,
            Signal::Comparator { .. } | Signal::Inverter { .. } | Signal::Observer { .. } => None,
            Signal::Hold { .. } | Signal::Latch { .. } | Signal::Toggle { .. } => None,
            Signal::AllOf { .. } | Signal::NoneOf { .. } | Signal::DelayLine { .. } => None,
        }
    }

    /// Toggles, observers, levers, buttons and clocks do not follow their inputs.
    fn keeps_own_level(&self, part: PartId) -> bool {
        matches!(
            self.network.signal(part),
            Some(
                Signal::Lever { .. }
                    | Signal::Button { .. }
                    | Signal::Toggle { .. }
                    | Signal::Observer { .. }
                    | Signal::Clock { .. }
            )
        )
    }

    /// A loop member whose inputs give another level than 0 schedules its event as if at tick 0.
    fn schedule_first(&mut self, part: PartId) {
        match self.network.signal(part) {
            Some(Signal::DelayLine { input, delay_ticks }) => {
                let level = self.level(*input);
                if level > 0 {
                    self.schedule(
                        self.place(part),
                        *delay_ticks,
                        EventRank::Third,
                        Task::Arrive { level },
                    );
                }
            }
            Some(Signal::Toggle { .. }) | None => {}
            Some(_) => self.look_again(self.place(part)),
        }
    }
}

/// Delayed parts that can reach themselves, in the order of declaration.
fn delayed_parts_on_loops(
    network: &Network,
    readings: &DiGraphMap<PartId, ()>,
) -> BTreeSet<PartId> {
    kosaraju_scc(readings)
        .into_iter()
        .filter(|component: &Vec<PartId>| {
            component.len() > 1 || readings.contains_edge(component[0], component[0])
        })
        .flatten()
        .filter(|part| {
            let zero_delay = matches!(
                network.signal(*part),
                Some(Signal::Wire { .. } | Signal::Hold { .. })
            );
            !zero_delay
        })
        .collect()
}
