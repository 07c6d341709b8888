//! Every small network of hoppers and chests, in both engines.
//!
//! Three parts, each a chest or a hopper. A hopper has any other part, or none, as its target; any
//! other part, a mouth or a cap above it; one of the parts may be locked for a while. Two stacks lie
//! in the first part at the start, and one item comes loose at the mouth. All in both update orders.

use hallwright_core::goods::{Kind, StackLimit};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_swarm::blueprint::{Blueprint, NamedPart};
use hallwright_swarm::lockstep::compare_stepping;
use hallwright_swarm::readable::in_words;
use rayon::prelude::*;

const NODES: usize = 3;
const LENGTH_TICKS: u64 = 40;

fn mouth() -> PartId {
    PartId::from_index(NODES)
}

fn lever() -> PartId {
    PartId::from_index(NODES + 1)
}

/// Everything that one part can be, lock aside.
fn choices(node: usize) -> Vec<Part> {
    let others = || {
        (0..NODES)
            .filter(|other| *other != node)
            .map(PartId::from_index)
    };
    let targets = || others().map(Some).chain([None]);
    let intakes = || {
        let inventories = others().map(Intake::Above);
        inventories.chain([Intake::Mouth(mouth()), Intake::Cap])
    };
    let mut parts = vec![Part::Container(Container { slots: 2 })];
    for target in targets() {
        parts.extend(intakes().map(|intake| {
            Part::Hopper(Hopper {
                target,
                intake,
                lock: None,
            })
        }));
    }
    parts
}

fn locked(part: &Part) -> Option<Part> {
    let Part::Hopper(hopper) = part else {
        return None;
    };
    let mut hopper = hopper.clone();
    hopper.lock = Some(lever());
    Some(Part::Hopper(hopper))
}

fn blueprint(nodes: [Part; NODES], order: Order) -> Blueprint {
    let filling = |slot, count| Filling {
        slot,
        kind: KindId::from_index(0),
        count,
        contents: Vec::new(),
    };
    let first = PartId::from_index(0);
    let delivery = Action::Deliver {
        place: mouth(),
        kind: KindId::from_index(0),
        count: 1,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    let lever_to = |on| Action::MoveLever { lever: lever(), on };
    let rest = [Part::Mouth, Part::Signal(Signal::Lever { starts_on: true })];
    Blueprint {
        rules: Rules::default(),
        kinds: vec![Kind {
            name: "barley".to_owned(),
            stack_limit: StackLimit::Sixteen,
            is_box: false,
        }],
        parts: nodes
            .into_iter()
            .chain(rest)
            .enumerate()
            .map(|(index, part)| NamedPart {
                name: format!("node {index}"),
                stream_tag: None,
                part,
            })
            .collect(),
        fillings: vec![(first, filling(0, 1)), (first, filling(1, 16))],
        seed: 0,
        orders: Orders::of_update(order),
        timeline: vec![
            (Tick(5), lever_to(false)),
            (Tick(14), delivery),
            (Tick(22), lever_to(true)),
        ],
        length_ticks: LENGTH_TICKS,
    }
}

#[test]
fn both_engines_agree_on_every_small_network() {
    let [first, second, third] = [choices(0), choices(1), choices(2)];
    let mut networks: Vec<[Part; NODES]> = Vec::new();
    for a in &first {
        for b in &second {
            for c in &third {
                let nodes = [a.clone(), b.clone(), c.clone()];
                for node in 0..NODES {
                    if let Some(part) = locked(&nodes[node]) {
                        let mut with_lock = nodes.clone();
                        with_lock[node] = part;
                        networks.push(with_lock);
                    }
                }
                networks.push(nodes);
            }
        }
    }
    println!("{} networks, each in two update orders", networks.len());
    networks.into_par_iter().for_each(|nodes| {
        for order in [Order::Declared, Order::Reversed] {
            let blueprint = blueprint(nodes.clone(), order);
            if let Err(divergence) = compare_stepping(&blueprint, None) {
                panic!("{divergence}\n{}", in_words(&blueprint));
            }
        }
    });
}
