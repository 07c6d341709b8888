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

/// The parts that are declared something of.
struct Parts {
    barley: KindId,
    flax: KindId,
    wool: KindId,
    stop_lever: PartId,
    source: PartId,
    feeder: PartId,
    line: [PartId; 2],
    selectors: [PartId; 2],
    barley_chest: PartId,
    flax_chest: PartId,
    overflow_chest: PartId,
    spill: PartId,
    stray: PartId,
    mouth: PartId,
    sieves: [PartId; 2],
    lamp: PartId,
}

/// Thirty barley, six flax and four slate in the source; stacks despawn at an age of 200 ticks.
pub(crate) fn hall() -> Hall {
    let rules = Rules {
        despawn_ticks: 200,
        ..Rules::default()
    };
    let mut builder = NetworkBuilder::new(rules);
    let parts = build(&mut builder);
    let entries = vec![
        (Tick(20), deliver(parts.mouth, parts.wool, 3)),
        (Tick(30), deliver(parts.spill, parts.barley, 2)),
        (Tick(50), deliver(parts.stray, parts.barley, 1)),
        (Tick(70), deliver(parts.sieves[1], parts.flax, 4)),
    ];
    Hall {
        network: builder.build().expect("the hall is sound"),
        declarations: declarations(&parts),
        timeline: Timeline::new(entries),
    }
}

fn build(builder: &mut NetworkBuilder) -> Parts {
    let mut kind = |name: &str| builder.kind(name, StackLimit::SixtyFour);
    let [barley, flax, slate, wool, marker] =
        ["barley", "flax", "slate", "wool", "marker"].map(&mut kind);
    let stop_lever = lever(builder, "stop lever");
    let source = chest(builder, "source", 27);
    for (slot, (kind, count)) in (0..).zip([(barley, 30), (flax, 6), (slate, 4)]) {
        builder.fill(source, filling(slot, kind, count));
    }
    let feeder = builder.declare("feeder");
    let line = ["line 1", "line 2"].map(|name| builder.declare(name));
    let selectors = ["barley selector", "flax selector"].map(|name| builder.declare(name));
    let barley_chest = chest(builder, "barley chest", 27);
    let flax_chest = chest(builder, "flax chest", 27);
    let overflow_chest = chest(builder, "overflow chest", 27);
    let feeding = Hopper {
        target: Some(line[0]),
        intake: Intake::Above(source),
        lock: Some(stop_lever),
    };
    builder.define(feeder, Part::Hopper(feeding));
    builder.define(line[0], capped(Some(line[1]), None));
    builder.define(line[1], capped(Some(selectors[0]), None));
    builder.define(selectors[0], selector(barley, barley_chest, selectors[1]));
    builder.define(selectors[1], selector(flax, flax_chest, overflow_chest));
    let comparator = Signal::Comparator {
        rear: Rear::Inventory(barley_chest),
        side: None,
        mode: ComparatorMode::Compare,
    };
    Parts {
        barley,
        flax,
        wool,
        stop_lever,
        source,
        feeder,
        line,
        selectors,
        barley_chest,
        flax_chest,
        overflow_chest,
        spill: builder.add("spill", capped(Some(overflow_chest), None)),
        stray: builder.add("stray", capped(Some(flax_chest), None)),
        mouth: builder.add("bare mouth", Part::Mouth),
        sieves: ["barley sieve", "flax sieve"].map(|name| {
            let sieve = builder.add(name, capped(None, None));
            builder.fill(sieve, filling(0, barley, 41));
            builder.fill(sieve, filling(1, marker, 1));
            sieve
        }),
        lamp: builder.add("barley lamp", Part::Signal(comparator)),
    }
}

fn declarations(parts: &Parts) -> Declarations {
    let slice = |name, part, kind| store(name, part, &[kind], StorePurpose::Slice);
    let section = |name: &str, line: &[PartId], queue, locked| Section {
        name: name.to_owned(),
        line: line.to_vec(),
        queue,
        locked,
        call: None,
        returns: Vec::new(),
        width_blocks: None,
    };
    let turn = |on: bool| {
        vec![Action::MoveLever {
            lever: parts.stop_lever,
            on,
        }]
    };
    let flow = |name: &str, part| Flow {
        name: name.to_owned(),
        into: vec![part],
        kinds: Vec::new(),
    };
    let overflow = parts.overflow_chest;
    let queue = vec![parts.source, parts.feeder];
    Declarations {
        stores: vec![
            slice("barley store", parts.barley_chest, parts.barley),
            slice("flax store", parts.flax_chest, parts.flax),
            store("overflow", overflow, &[], StorePurpose::Overflow),
        ],
        flows: vec![
            flow("barley", parts.barley_chest),
            flow("flax", parts.flax_chest),
        ],
        sections: vec![
            section("line", &parts.line, queue, vec![parts.feeder]),
            section("selectors", &parts.selectors, Vec::new(), Vec::new()),
        ],
        sieves: parts.sieves.to_vec(),
        lamps: vec![Lamp {
            name: "barley lamp".to_owned(),
            signal: parts.lamp,
            watches: vec![parts.barley_chest],
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
        goals: goals(parts.barley_chest, parts.barley),
        ..Declarations::default()
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
