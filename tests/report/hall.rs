//! A small hall with something of everything, for whole reports.
//!
//! Barley, flax and slate come down a line to two selectors: the first sends barley to its chest,
//! the second flax to its own and the rest to overflow. A bell rings for the spill, which puts barley
//! into overflow past its slice; wool is dropped where nothing takes it; one of two sieves is spoiled.

use hallwright_core::declare::{
    Declarations, Flow, Goal, Lamp, Mark, Restart, Section, Stop, StorePurpose,
};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{ComparatorMode, Hopper, Intake, Part, Rear, Selector, Signal};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

use crate::support::{capped, chest, deliver, filling, lever, store};

/// The hall, what is declared of it, and what happens in it.
pub(crate) struct Hall {
    pub(crate) network: Network,
    pub(crate) declarations: Declarations,
    pub(crate) timeline: Timeline,
}

fn selector(takes: KindId, match_target: PartId, rest_target: PartId) -> Part {
    Part::Selector(Box::new(Selector {
        latency_ticks: 2,
        interval_ticks: 4,
        holds: 1,
        takes: Predicate::Kinds(vec![takes]),
        match_target,
        rest_target,
        when_full: None,
        lock: None,
    }))
}

/// Thirty barley, six flax and four slate in the source; stacks despawn at an age of 200 ticks.
pub(crate) fn hall() -> Hall {
    let rules = Rules {
        despawn_ticks: 200,
        ..Rules::default()
    };
    let mut builder = NetworkBuilder::new(rules);
    let mut kind = |name: &str| builder.kind(name, StackLimit::SixtyFour);
    let [barley, flax, slate, wool, marker] =
        ["barley", "flax", "slate", "wool", "marker"].map(&mut kind);
    let stop_lever = lever(&mut builder, "stop lever");
    let source = chest(&mut builder, "source", 27);
    for (slot, (kind, count)) in (0..).zip([(barley, 30), (flax, 6), (slate, 4)]) {
        builder.fill(source, filling(slot, kind, count));
    }
    let feeder = builder.declare("feeder");
    let first = builder.declare("line 1");
    let second = builder.declare("line 2");
    let barley_selector = builder.declare("barley selector");
    let flax_selector = builder.declare("flax selector");
    let barley_chest = chest(&mut builder, "barley chest", 27);
    let flax_chest = chest(&mut builder, "flax chest", 27);
    let overflow_chest = chest(&mut builder, "overflow chest", 27);
    let feeding = Hopper {
        target: Some(first),
        intake: Intake::Above(source),
        lock: Some(stop_lever),
    };
    builder.define(feeder, Part::Hopper(feeding));
    builder.define(first, capped(Some(second), None));
    builder.define(second, capped(Some(barley_selector), None));
    builder.define(
        barley_selector,
        selector(barley, barley_chest, flax_selector),
    );
    builder.define(flax_selector, selector(flax, flax_chest, overflow_chest));
    let spill = builder.add("spill", capped(Some(overflow_chest), None));
    let stray = builder.add("stray", capped(Some(flax_chest), None));
    let mouth = builder.add("bare mouth", Part::Mouth);
    let sieves = ["barley sieve", "flax sieve"].map(|name| {
        let sieve = builder.add(name, capped(None, None));
        builder.fill(sieve, filling(0, barley, 41));
        builder.fill(sieve, filling(1, marker, 1));
        sieve
    });
    let comparator = Signal::Comparator {
        rear: Rear::Inventory(barley_chest),
        side: None,
        mode: ComparatorMode::Compare,
    };
    let comparator = builder.add("barley lamp", Part::Signal(comparator));
    let section = |name: &str, line: Vec<PartId>, queue, locked| Section {
        name: name.to_owned(),
        line,
        queue,
        locked,
        call: None,
        returns: Vec::new(),
        width_blocks: None,
    };
    let turn = |on: bool| {
        vec![Action::MoveLever {
            lever: stop_lever,
            on,
        }]
    };
    let flow = |name: &str, part| Flow {
        name: name.to_owned(),
        into: vec![part],
        kinds: Vec::new(),
    };
    let declarations = Declarations {
        stores: vec![
            store("barley store", barley_chest, &[barley], StorePurpose::Slice),
            store("flax store", flax_chest, &[flax], StorePurpose::Slice),
            store("overflow", overflow_chest, &[], StorePurpose::Overflow),
        ],
        flows: vec![flow("barley", barley_chest), flow("flax", flax_chest)],
        sections: vec![
            section(
                "line",
                vec![first, second],
                vec![source, feeder],
                vec![feeder],
            ),
            section(
                "selectors",
                vec![barley_selector, flax_selector],
                Vec::new(),
                Vec::new(),
            ),
        ],
        sieves: sieves.to_vec(),
        lamps: vec![Lamp {
            name: "barley lamp".to_owned(),
            signal: comparator,
            watches: vec![barley_chest],
        }],
        stops: vec![Stop {
            at: Tick(100),
            actions: turn(true),
            restart: Some(Restart {
                after_ticks: 100,
                actions: turn(false),
            }),
        }],
        width_blocks: Some(4),
        goals: goals(barley_chest, barley),
    };
    let entries = vec![
        (Tick(20), deliver(mouth, wool, 3)),
        (Tick(30), deliver(spill, barley, 2)),
        (Tick(50), deliver(stray, barley, 1)),
        (Tick(70), deliver(sieves[1], flax, 4)),
    ];
    Hall {
        network: builder.build().expect("the hall is sound"),
        declarations,
        timeline: Timeline::new(entries),
    }
}

fn goals(barley_chest: PartId, barley: KindId) -> Vec<Goal> {
    let mark = |mark, ticks| Goal::MarkWithin {
        mark,
        section: None,
        ticks,
    };
    vec![
        Goal::MisplacedAtMost(0),
        Goal::PassedByAtMost(0),
        Goal::SievesIntact,
        Goal::LostAtMost(3),
        Goal::ThroughputAtLeast {
            flow: 0,
            items_per_second: 2.5,
        },
        mark(Mark::Cleared, 40),
        mark(Mark::Resumed, 400),
        Goal::WorkPerTickAtMost(100.0),
        Goal::Contents {
            parts: vec![barley_chest],
            kinds: vec![barley],
            at_least: Some(30),
            at_most: None,
        },
    ]
}
