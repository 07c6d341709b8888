//! Every world of three hoppers, a container and a signal, in both engines.
//!
//! A hopper has any other part, or none, as its target, any other part or a cap above it, and is locked by the
//! signal or not. The signal is a lever that is moved, a clock, or a comparator of the container or of the first
//! hopper. A few goods lie in the container and in the first hopper; 200 ticks, in both orders. By default every
//! 31st world is tried, and all of them with `WORLDS=all`.

use hallwright_core::goods::{Kind, StackLimit};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{ComparatorMode, Container, Hopper, Intake, Part, Rear, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_swarm::blueprint::{Blueprint, NamedPart};
use hallwright_swarm::lockstep::compare_stepping;
use hallwright_swarm::readable::in_words;
use rayon::prelude::*;

const HOPPERS: usize = 3;
const LENGTH_TICKS: u64 = 200;
const SIGNALS: usize = 4;
/// Targets, what is above, and locks of one hopper: three others or none, three others or a cap, locked or not.
const HOPPER_CHOICES: usize = 4 * 4 * 2;
const WORLDS: usize = HOPPER_CHOICES.pow(3) * SIGNALS * 2;
/// One world in so many is tried by default: no divisor of the numbers of choices, so that all choices meet.
const STRIDE: usize = 31;

const CONTAINER: PartId = PartId::from_index(HOPPERS);
const SIGNAL: PartId = PartId::from_index(HOPPERS + 1);

/// Takes the next digit of a number that has `choices` in this place.
fn digit(number: &mut usize, choices: usize) -> usize {
    let digit = *number % choices;
    *number /= choices;
    digit
}

fn hopper(node: usize, number: &mut usize) -> Part {
    let others: Vec<PartId> = (0..=HOPPERS)
        .filter(|other| *other != node)
        .map(PartId::from_index)
        .collect();
    let target = others.get(digit(number, 4)).copied();
    let above = others.get(digit(number, 4)).copied();
    Part::Hopper(Hopper {
        target,
        intake: above.map_or(Intake::Cap, Intake::Above),
        lock: (digit(number, 2) == 1).then_some(SIGNAL),
    })
}

fn signal(choice: usize) -> Signal {
    let reads = |part: PartId| Signal::Comparator {
        rear: Rear::Inventory(part),
        side: None,
        mode: ComparatorMode::Compare,
    };
    match choice {
        0 => Signal::Lever { starts_on: true },
        1 => Signal::Clock {
            period_ticks: 14,
            high_ticks: 5,
            phase_ticks: 3,
        },
        2 => reads(CONTAINER),
        _ => reads(PartId::from_index(0)),
    }
}

/// The world of a number below [`WORLDS`].
fn world(mut number: usize) -> Blueprint {
    let order = [Order::Declared, Order::Reversed][digit(&mut number, 2)].clone();
    let signal_choice = digit(&mut number, SIGNALS);
    let hoppers: Vec<Part> = (0..HOPPERS).map(|node| hopper(node, &mut number)).collect();
    let others = [
        Part::Container(Container { slots: 3 }),
        Part::Signal(signal(signal_choice)),
    ];
    let parts = hoppers.into_iter().chain(others).enumerate();
    let filling = |kind, slot, count| Filling {
        slot,
        kind: KindId::from_index(kind),
        count,
        contents: Vec::new(),
    };
    let lever_to = |on| Action::MoveLever { lever: SIGNAL, on };
    let timeline = match signal_choice {
        0 => vec![
            (Tick(9), lever_to(false)),
            (Tick(60), lever_to(true)),
            (Tick(61), lever_to(false)),
            (Tick(130), lever_to(true)),
        ],
        _ => Vec::new(),
    };
    let kind = |name: &str, stack_limit| Kind {
        name: name.to_owned(),
        stack_limit,
        is_box: false,
    };
    Blueprint {
        rules: Rules::default(),
        kinds: vec![
            kind("barley", StackLimit::Sixteen),
            kind("bung", StackLimit::One),
        ],
        parts: parts
            .map(|(index, part)| NamedPart {
                name: format!("node {index}"),
                stream_tag: None,
                part,
            })
            .collect(),
        fillings: vec![
            (CONTAINER, filling(0, 0, 15)),
            (CONTAINER, filling(1, 1, 1)),
            (PartId::from_index(0), filling(0, 0, 3)),
            (PartId::from_index(0), filling(1, 2, 1)),
        ],
        seed: 0,
        orders: Orders {
            update: order.clone(),
            signal: order,
        },
        timeline,
        length_ticks: LENGTH_TICKS,
    }
}

#[test]
fn both_engines_agree_on_worlds_of_three_hoppers() {
    let stride = match std::env::var("WORLDS") {
        Ok(all) => {
            assert_eq!(all, "all", "WORLDS is `all`, or is not set");
            1
        }
        Err(_) => STRIDE,
    };
    let numbers: Vec<usize> = (0..WORLDS).step_by(stride).collect();
    println!("{} of {WORLDS} worlds", numbers.len());
    numbers.into_par_iter().for_each(|number| {
        let world = world(number);
        if let Err(divergence) = compare_stepping(&world, None) {
            panic!("world {number}: {divergence}\n{}", in_words(&world));
        }
    });
}
