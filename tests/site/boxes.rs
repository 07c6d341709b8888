//! What is taken at its word: boxes of a size, with sides.

use hallwright_core::network::Network;
use hallwright_core::part::{
    Bench, Dropper, Intake, Leg, Lift, Outlet, Part, Rear, Selector, Shuttle, Signal,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_declared::placement::{Gate, Placed, Placement};
use hallwright_declared::space::{Block, Side};
use hallwright_site::derive::derive;
use hallwright_site::network::{Outline, same};
use hallwright_site::place::{Rule, place};

use crate::made::{Made, found, hopper, judge_turned};

/// Places it, finds these lines, and finds the same however it is turned. A sound one is what it is derived to
/// be.
fn judge(network: &Network, placement: &Placement, expected: &[&str]) {
    judge_turned(network, placement, expected, |turned, axes| {
        if expected.is_empty() {
            let derived = derive(&turned.world, Rules::default(), &[]);
            let derived = derived.expect("the blocks are a network");
            let outline = Outline::of(&derived.network);
            assert!(same(&Outline::of(network), &outline).is_some(), "{axes:?}");
        }
    });
}

fn gate(name: &str, at: (i32, i32, i32), side: Side) -> Gate {
    Gate {
        name: name.to_owned(),
        at: Block::new(at.0, at.1, at.2),
        side,
    }
}

/// A selector of 3 by 1 by 2 blocks, with a hopper at its `in` and a store at each other side.
fn selector(sides: Vec<Gate>) -> (Network, Placement) {
    let mut made = Made::new();
    let matches = made.store("matches", Block::new(3, 0, 1));
    let rest = made.store("rest", Block::new(2, 0, -1));
    let full = made.store("full", Block::new(1, -1, 1));
    let selector = Selector {
        latency_ticks: 8,
        interval_ticks: 8,
        holds: 1,
        takes: Predicate::Box,
        match_target: matches,
        rest_target: rest,
        when_full: Some(full),
        lock: None,
    };
    let placed = Placed {
        size: Some(Block::new(3, 1, 2)),
        sides,
        ..Placed::at(Block::default())
    };
    let selector = made.add("selector", Part::Selector(Box::new(selector)), Some(placed));
    let placed = Placed::at(Block::new(-1, 0, 0));
    made.add("feed", hopper(Some(selector), Intake::Cap), Some(placed));
    made.placement.caps.push(Block::new(-1, 1, 0));
    made.build()
}

#[test]
fn a_selector_is_met_at_a_block_of_each_side() {
    let sides = || {
        vec![
            gate("in", (0, 0, 0), Side::MinusX),
            gate("match", (0, 0, 1), Side::PlusX),
            gate("rest", (2, 0, 0), Side::MinusZ),
            gate("when_full", (1, 0, 1), Side::MinusY),
        ]
    };
    let (network, placement) = selector(sides());
    judge(&network, &placement, &[]);
    let counts = place(&network, &placement).counts;
    assert_eq!((counts.links_proven, counts.at_their_word), (4, 1));
    // At another block of the same side, and at another side.
    let mut moved = sides();
    moved[0].at.z = 1;
    moved[1].at.z = 0;
    let (network, placement) = selector(moved);
    judge(
        &network,
        &placement,
        &["side-apart selector matches", "side-apart feed selector"],
    );
    let mut turned = sides();
    turned[3].side = Side::PlusY;
    let (network, placement) = selector(turned);
    judge(&network, &placement, &["side-apart selector full"]);
    // Without a side, and with one of a name that it does not have, or beyond the box.
    let (network, placement) = selector(sides()[..3].to_vec());
    judge(&network, &placement, &["side-apart selector full"]);
    let mut misnamed = sides();
    misnamed[3].name = "overflow".to_owned();
    let (network, placement) = selector(misnamed);
    let expected = ["side-unknown selector overflow", "side-apart selector full"];
    judge(&network, &placement, &expected);
    // Beyond it in the direction of the side, too.
    let mut further = sides();
    further[0].at.x = -1;
    let (network, placement) = selector(further);
    let expected = ["side-unknown selector in", "side-apart feed selector"];
    judge(&network, &placement, &expected);
    let findings = place(&network, &placement).findings;
    let unknown = findings.iter().find(|one| one.rule == Rule::SideUnknown);
    let words = unknown.map(|one| one.words(&network)).unwrap_or_default();
    assert!(words.contains("has its side `in` at"), "{words}");
    assert!(words.ends_with("beyond its box"), "{words}");
    let mut beyond = sides();
    beyond[3].at.x = 3;
    let (network, placement) = selector(beyond);
    let expected = [
        "side-unknown selector when_full",
        "side-apart selector full",
    ];
    judge(&network, &placement, &expected);
}

/// A shuttle with two docks at its box, each with a hopper, the second also with a comparator that reads it.
fn shuttle(sides: Vec<Gate>) -> (Network, Placement) {
    let mut made = Made::new();
    let loads = made.add("loads", Part::Dock, None);
    let unloads = made.add("unloads", Part::Dock, None);
    let lever = made.lever("lever", Some(Block::new(-1, 0, 0)));
    let leg = |dock, release| Leg {
        dock,
        travel_ticks: 40,
        dwell_ticks: 0,
        release,
    };
    let shuttle = Shuttle {
        slots: 27,
        stops: vec![leg(loads, Some(lever)), leg(unloads, None)],
    };
    let placed = Placed {
        size: Some(Block::new(5, 1, 1)),
        sides,
        ..Placed::at(Block::default())
    };
    made.add("shuttle", Part::Shuttle(Box::new(shuttle)), Some(placed));
    let above = Placed::at(Block::new(1, 1, 0));
    made.add("in", hopper(Some(loads), Intake::Cap), Some(above));
    made.placement.caps.push(Block::new(1, 2, 0));
    let below = Placed::at(Block::new(4, -1, 0));
    made.add("out", hopper(None, Intake::Above(unloads)), Some(below));
    let reads = Signal::Comparator {
        rear: Rear::Inventory(unloads),
        side: None,
        mode: hallwright_core::part::ComparatorMode::Compare,
    };
    let eye = Placed::at(Block::new(5, 0, 0)).facing(Side::PlusX);
    made.add("eye", Part::Signal(reads), Some(eye));
    made.build()
}

#[test]
fn a_shuttle_is_met_at_the_docks_of_its_box() {
    let sides = || {
        vec![
            gate("loads", (1, 0, 0), Side::PlusY),
            gate("unloads", (4, 0, 0), Side::MinusY),
            gate("unloads", (4, 0, 0), Side::PlusX),
            gate("release 1", (0, 0, 0), Side::MinusX),
        ]
    };
    let (network, placement) = shuttle(sides());
    judge(&network, &placement, &[]);
    let site = place(&network, &placement);
    // A shuttle's round is taken at its word; goods, the reading and the release are proven.
    assert_eq!(site.counts.links_proven, 4);
    assert_eq!(site.counts.stand, network.part_count());
    let mut exchanged = sides();
    exchanged[0].name = "unloads".to_owned();
    exchanged[1].name = "loads".to_owned();
    let (network, placement) = shuttle(exchanged);
    let expected = [
        "side-apart in loads",
        "pushes-unasked in unloads",
        "draws-unasked out loads",
        "side-apart out unloads",
    ];
    let site = place(&network, &placement);
    let mut lines = found(&network, &site);
    lines.sort();
    let mut sorted = expected;
    sorted.sort_unstable();
    assert_eq!(lines, sorted);
    let (network, placement) = shuttle(sides()[..3].to_vec());
    judge(&network, &placement, &["signal-apart shuttle lever"]);
}

#[test]
fn who_lifts_a_box_from_a_bench_is_taken_at_its_word() {
    let mut made = Made::new();
    let lever = made.lever("lever", Some(Block::new(0, 0, 9)));
    let mouth = made.add("mouth", Part::Mouth, Some(Placed::at(Block::new(1, 0, 0))));
    let bench = Bench {
        lift: Lift::Signal(lever),
        after_ticks: 0,
        output: mouth,
    };
    let at = Placed::at(Block::default());
    let bench = made.add("bench", Part::Bench(bench), Some(at));
    let dispenser = Dropper {
        trigger: None,
        outlet: Outlet::Bench(bench),
    };
    let before = Placed::at(Block::new(-1, 0, 0));
    made.add("dispenser", Part::Dropper(dispenser), Some(before));
    let (network, placement) = made.build();
    judge(&network, &placement, &[]);
    assert_eq!(place(&network, &placement).counts.links_proven, 2);
}

#[test]
fn inputs_of_a_box_have_sides_of_their_own() {
    let gates = |one: &str, other: &str| {
        let mut made = Made::new();
        let lever = |starts_on| Part::Signal(Signal::Lever { starts_on });
        let one_lever = made.add("one", lever(false), Some(Placed::at(Block::new(-1, 0, 0))));
        let other_lever = made.add("other", lever(true), Some(Placed::at(Block::new(0, 0, -1))));
        let both = Signal::AllOf {
            inputs: vec![one_lever, other_lever],
        };
        let placed = Placed::at(Block::default());
        let placed = placed.gate(one, Side::MinusX).gate(other, Side::MinusZ);
        made.add(
            "both",
            Part::Signal(both),
            Some(placed.gate("out", Side::PlusX)),
        );
        made.build()
    };
    let (network, placement) = gates("in 1", "in 2");
    judge(&network, &placement, &[]);
    let (network, placement) = gates("in", "in 2");
    judge(&network, &placement, &[]);
    let (network, placement) = gates("in 2", "in 1");
    let expected = [
        "signal-apart both one",
        "signal-apart both other",
        "feeds-unasked both one",
        "feeds-unasked both other",
    ];
    let lines = found(&network, &place(&network, &placement));
    assert_eq!(lines.len(), expected.len(), "{lines:?}");
    for line in expected {
        assert!(lines.contains(&line.to_owned()), "{line}");
    }
    let (network, placement) = gates("in 1", "in 3");
    judge(
        &network,
        &placement,
        &["side-unknown both in 3", "signal-apart both other"],
    );
}
