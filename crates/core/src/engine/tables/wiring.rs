//! Who is affected when something changes: look-up tables worked out from the network, the signal order
//! and who sleeps.

use super::concerned::{Concerned, Role};
use super::parts::Parts;
use super::readers::Readers;
use super::relation::Relation;
use super::signal_order::SignalOrder;
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Intake, Part, Signal, Watched};

/// All tables. Signals, hoppers and selectors are named by their places in their own tables. A signal part
/// that sleeps is in none of them, for whatever reaches it is lost.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Wiring {
    /// Signal → everything that it acts on.
    pub(in crate::engine) signals: Concerned,
    /// Inventory → the comparators that read it.
    pub(in crate::engine) readers: Readers,
    /// Hopper or selector → the signals that observe its lock.
    pub(in crate::engine) lock_observers: Relation,
    /// Dropper → the signals that observe its trigger.
    pub(in crate::engine) trigger_observers: Relation,
    /// Selector → the signals that observe its matches.
    pub(in crate::engine) match_observers: Relation,
    /// Mouth → the seats of the hoppers below it, asleep or not, in the order of declaration.
    pub(in crate::engine) mouth_hoppers: Relation,
}

impl Wiring {
    /// `is_behind` says of which wires the level is not what their inputs give, because they slept through a
    /// change.
    pub(in crate::engine) fn new(
        network: &Network,
        parts: &Parts,
        order: &SignalOrder,
        is_asleep: impl Fn(PartId) -> bool,
        is_behind: impl Fn(PartId) -> bool,
    ) -> Self {
        let mut pairs = Pairs::default();
        for edge in network.graph().raw_edges() {
            let from = PartId::from_index(edge.source().index());
            let to = PartId::from_index(edge.target().index());
            if network.signal(to).is_none() || !is_asleep(to) {
                pairs.add(network, edge.weight, from, to);
            }
        }
        let place = |part: PartId| parts.place(part) as u32;
        let in_order = |part: PartId| order.place(part);
        let observers = |pairs| Relation::new(pairs, in_order, place);
        Self {
            signals: Concerned::new(network, parts, pairs.signals, in_order, is_behind),
            readers: Readers::new(pairs.readers, in_order, place),
            lock_observers: observers(pairs.lock_observers),
            trigger_observers: observers(pairs.trigger_observers),
            match_observers: observers(pairs.match_observers),
            mouth_hoppers: Relation::new(pairs.mouth_hoppers, |part| part, place),
        }
    }
}

/// The tables while they are being collected.
#[derive(Default)]
struct Pairs {
    signals: Vec<(PartId, Role, PartId)>,
    readers: Vec<(PartId, PartId)>,
    lock_observers: Vec<(PartId, PartId)>,
    trigger_observers: Vec<(PartId, PartId)>,
    match_observers: Vec<(PartId, PartId)>,
    mouth_hoppers: Vec<(PartId, PartId)>,
}

impl Pairs {
    fn add(&mut self, network: &Network, link: Link, from: PartId, to: PartId) {
        let mut concerns = |role| self.signals.push((from, role, to));
        match link {
            Link::Push | Link::Pull | Link::Round => {}
            Link::Loose => {
                let below = matches!(
                    network.part(to),
                    Part::Hopper(hopper) if hopper.intake == Intake::Mouth(from)
                );
                if below {
                    self.mouth_hoppers.push((from, to));
                }
            }
            Link::Signal(SignalRole::Reading) => self.readers.push((from, to)),
            Link::Signal(SignalRole::Release) => concerns(Role::Released),
            Link::Signal(SignalRole::Input) => concerns(match network.signal(to) {
                Some(Signal::Wire { .. }) => Role::Carries,
                Some(Signal::Inverter { .. }) => Role::Inverts,
                _ => Role::Reads,
            }),
            Link::Signal(SignalRole::Lock) => concerns(match network.part(to) {
                Part::Hopper(_) | Part::Selector(_) => Role::Locked,
                Part::Signal(_) => Role::Reads,
                Part::Container(_)
                | Part::Dropper(_)
                | Part::Mouth
                | Part::Stream(_)
                | Part::Bench(_)
                | Part::Dock
                | Part::Shuttle(_) => unreachable!("only those three have locks"),
            }),
            Link::Signal(SignalRole::Trigger) => concerns(Role::Triggered),
            Link::Signal(SignalRole::Watch) => self.add_observer(network, from, to),
        }
    }

    fn add_observer(&mut self, network: &Network, of: PartId, observer: PartId) {
        let Some(Signal::Observer { watches }) = network.signal(observer) else {
            return;
        };
        let pairs = match watches {
            Watched::Signal(_) => {
                let role = role_of_observer(network, of);
                self.signals.push((of, role, observer));
                return;
            }
            Watched::Lock(_) => &mut self.lock_observers,
            Watched::Trigger(_) => &mut self.trigger_observers,
            Watched::Matches(_) => &mut self.match_observers,
        };
        pairs.push((of, observer));
    }
}

/// What one that watches a signal sees of it.
fn role_of_observer(network: &Network, watched: PartId) -> Role {
    match network.signal(watched) {
        Some(Signal::Wire { .. } | Signal::DelayLine { .. }) => Role::ObservesLevel,
        _ => Role::ObservesSwitch,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::tables::seats::seats;
    use crate::network::NetworkBuilder;
    use crate::order::{Order, Orders};
    use crate::part::Hopper;
    use crate::rules::Rules;

    #[test]
    fn those_that_a_change_concerns_come_once_and_in_signal_order() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let mut signal = |name, signal| builder.add(name, Part::Signal(signal));
        let lever = signal("lever", Signal::Lever { starts_on: false });
        let repeater = Signal::Repeater {
            input: lever,
            delay_ticks: 2,
            lock: Some(lever),
        };
        let repeater = signal("repeater", repeater);
        let inverter = signal("inverter", Signal::Inverter { input: lever });
        let watches = Watched::Signal(lever);
        let eye = signal("eye", Signal::Observer { watches });
        let hopper = Hopper {
            target: None,
            intake: Intake::Cap,
            lock: Some(lever),
        };
        let hopper = builder.add("hopper", Part::Hopper(hopper));
        let network = builder.build().expect("it is sound");

        let listed = |asleep: &[PartId]| {
            let order = [inverter, hopper, eye, repeater, lever];
            let orders = Orders {
                signal: Order::Listed(order.to_vec()),
                ..Orders::default()
            };
            let parts = Parts::new(&network, &seats(&network, &[hopper]));
            let order = SignalOrder::new(&orders.signal_order(&network), network.part_count());
            let is_asleep = |part| asleep.contains(&part);
            let wiring = Wiring::new(&network, &parts, &order, is_asleep, |_| false);
            let members = wiring.signals.of(parts.place(lever));
            members
                .iter()
                .map(|member| (member.role, member.place()))
                .collect::<Vec<_>>()
        };
        let inverts = (Role::Inverts, 2);
        let (locked, sees) = ((Role::Locked, 0), (Role::ObservesSwitch, 3));
        assert_eq!(listed(&[]), [inverts, locked, sees, (Role::Reads, 1)]);
        // A hopper's lock is what its signal says, asleep or not.
        assert_eq!(listed(&[eye, repeater, hopper]), [inverts, locked]);
    }
}
