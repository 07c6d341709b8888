//! The network of `valid/everything.ron`, built by hand.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{
    Bench, ComparatorMode, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Rear,
    Selector, Shuttle, Signal, Stream, Watched,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;

/// Every part in the order of declaration: parts, signals, then each instance of each use.
const NAMES: [&str; 51] = [
    "in",
    "first",
    "second",
    "bin",
    "river",
    "brook",
    "pond",
    "setter",
    "table",
    "packing",
    "waiting",
    "sorter",
    "barrel",
    "big",
    "small",
    "pusher",
    "north",
    "south",
    "barge",
    "gate",
    "start",
    "line",
    "again",
    "plain",
    "level",
    "compare",
    "not_gate",
    "on_level",
    "on_lock",
    "on_trigger",
    "on_match",
    "stay",
    "memory",
    "flip",
    "both",
    "neither",
    "beat",
    "late",
    "row[0].eye",
    "row[0].chest",
    "row[0].under",
    "row[0].call",
    "row[1].eye",
    "row[1].chest",
    "row[1].under",
    "row[1].call",
    "extra.eye",
    "extra.chest",
    "extra.under",
    "extra.call",
    "sign.level",
];

/// The id of a name.
fn id(name: &str) -> PartId {
    let at = NAMES.iter().position(|known| *known == name);
    PartId::from_index(at.expect("the name is in the list"))
}

/// The kinds, in the order of the file.
pub(crate) struct Kinds {
    pub(crate) barley: KindId,
    pub(crate) flax: KindId,
    pub(crate) ham: KindId,
    pub(crate) flail: KindId,
    pub(crate) box_kind: KindId,
}

/// The network, and its kinds.
pub(crate) fn expected_network() -> (Network, Kinds) {
    let rules = Rules {
        despawn_ticks: 5000,
        cooldown_ticks: 4,
        ..Rules::default()
    };
    let mut builder = NetworkBuilder::new(rules);
    let kinds = Kinds {
        barley: builder.kind("barley", StackLimit::SixtyFour),
        flax: builder.kind("flax", StackLimit::SixtyFour),
        ham: builder.kind("ham", StackLimit::Sixteen),
        flail: builder.kind("flail", StackLimit::One),
        box_kind: builder.box_kind("box"),
    };
    for name in NAMES {
        builder.declare(name);
    }
    define_places(&mut builder);
    define_machines(&mut builder, &kinds);
    define_signals(&mut builder);
    define_sensors(&mut builder);
    define_instances(&mut builder);
    fill(&mut builder, &kinds);
    (builder.build().expect("the network is sound"), kinds)
}

fn hopper(target: Option<&str>, intake: Intake, lock: Option<&str>) -> Part {
    Part::Hopper(Hopper {
        target: target.map(id),
        intake,
        lock: lock.map(id),
    })
}

fn container(slots: u16) -> Part {
    Part::Container(Container { slots })
}

fn define_places(builder: &mut NetworkBuilder) {
    let stream = |transit_ticks| {
        Part::Stream(Stream {
            transit_ticks,
            mouth: id("pond"),
        })
    };
    for (name, part) in [
        ("in", container(27)),
        ("barrel", container(27)),
        ("big", container(54)),
        ("small", container(3)),
        // 10 blocks at 0.0694 blocks a tick: 144.09, so 145 ticks.
        ("river", stream(145)),
        ("brook", stream(20)),
        ("pond", Part::Mouth),
        ("north", Part::Dock),
        ("south", Part::Dock),
    ] {
        builder.define(id(name), part);
    }
}

fn define_machines(builder: &mut NetworkBuilder, kinds: &Kinds) {
    let bench = |lift, after_ticks, output| {
        Part::Bench(Bench {
            lift,
            after_ticks,
            output: id(output),
        })
    };
    let dropper = |trigger: Option<&str>, outlet| {
        Part::Dropper(Dropper {
            trigger: trigger.map(id),
            outlet,
        })
    };
    let unwanted = vec![
        Predicate::BoxOf(vec![kinds.barley]),
        Predicate::BoxFull,
        Predicate::BoxEmpty,
        Predicate::Box,
        Predicate::Single,
    ];
    let sorter = Selector {
        latency_ticks: 2,
        interval_ticks: 8,
        holds: 5,
        takes: Predicate::All(vec![
            Predicate::Kinds(vec![kinds.barley, kinds.flax]),
            Predicate::Not(Box::new(Predicate::Any(unwanted))),
        ]),
        match_target: id("barrel"),
        rest_target: id("pond"),
        when_full: Some(id("big")),
        lock: Some(id("gate")),
    };
    let stop = |place, travel_ticks, dwell_ticks, release: Option<&str>| Leg {
        dock: id(place),
        travel_ticks,
        dwell_ticks,
        release: release.map(id),
    };
    let barge = Shuttle {
        slots: 5,
        stops: vec![
            stop("north", 100, 40, Some("gate")),
            stop("south", 10, 0, None),
        ],
    };
    for (name, part) in [
        (
            "first",
            hopper(Some("second"), Intake::Mouth(id("pond")), Some("gate")),
        ),
        ("second", hopper(Some("bin"), Intake::Above(id("in")), None)),
        ("bin", dropper(Some("beat"), Outlet::Loose(id("river")))),
        ("setter", dropper(Some("beat"), Outlet::Bench(id("table")))),
        ("pusher", dropper(None, Outlet::Into(id("small")))),
        ("table", bench(Lift::Empty, 3, "pond")),
        ("packing", bench(Lift::Full, 0, "brook")),
        ("waiting", bench(Lift::Signal(id("gate")), 0, "pond")),
        ("sorter", Part::Selector(Box::new(sorter))),
        ("barge", Part::Shuttle(Box::new(barge))),
    ] {
        builder.define(id(name), part);
    }
}

fn define_signals(builder: &mut NetworkBuilder) {
    let (gate, start, line) = (id("gate"), id("start"), id("line"));
    let repeater = |delay_ticks, lock| Signal::Repeater {
        input: line,
        delay_ticks,
        lock,
    };
    let both = || vec![gate, start];
    let hold_ticks = 20;
    for (name, signal) in [
        ("gate", Signal::Lever { starts_on: true }),
        ("start", Signal::Button { hold_ticks }),
        ("again", repeater(4, Some(gate))),
        ("plain", repeater(2, None)),
        ("not_gate", Signal::Inverter { input: gate }),
        ("flip", Signal::Toggle { input: start }),
        ("both", Signal::AllOf { inputs: both() }),
        ("neither", Signal::NoneOf { inputs: both() }),
    ] {
        builder.define(id(name), Part::Signal(signal));
    }
    let inputs = vec![(gate, 0), (start, 3)];
    let beat = Signal::Clock {
        period_ticks: 8,
        high_ticks: 4,
        phase_ticks: -2,
    };
    let late = Signal::DelayLine {
        input: gate,
        delay_ticks: 7,
    };
    let stay = Signal::Hold {
        input: start,
        hold_ticks,
    };
    let memory = Signal::Latch {
        set: start,
        reset: gate,
    };
    for (name, signal) in [
        ("line", Signal::Wire { inputs }),
        ("beat", beat),
        ("late", late),
        ("stay", stay),
        ("memory", memory),
    ] {
        builder.define(id(name), Part::Signal(signal));
    }
}

fn define_sensors(builder: &mut NetworkBuilder) {
    let level = Signal::Comparator {
        rear: Rear::Inventory(id("in")),
        side: Some(id("line")),
        mode: ComparatorMode::Subtract,
    };
    let compare = Signal::Comparator {
        rear: Rear::Signal(id("level")),
        side: None,
        mode: ComparatorMode::Compare,
    };
    let observer = |watches| Signal::Observer { watches };
    for (name, signal) in [
        ("level", level),
        ("compare", compare),
        ("on_level", observer(Watched::Signal(id("level")))),
        ("on_lock", observer(Watched::Lock(id("first")))),
        ("on_trigger", observer(Watched::Trigger(id("bin")))),
        ("on_match", observer(Watched::Matches(id("sorter")))),
    ] {
        builder.define(id(name), Part::Signal(signal));
    }
}

fn define_instances(builder: &mut NetworkBuilder) {
    // The first eye of the row leads to the second, the last one to `big`; `extra` leads nowhere.
    // `row[1].call` hears `row[0].call`. `extra` stands under the row's first eye.
    for (instance, gate, target, calls) in [
        ("row[0]", "in", Some("row[1].eye"), vec![]),
        ("row[1]", "in", Some("big"), vec![(id("row[0].call"), 0)]),
        ("extra", "row[0].eye", None, vec![]),
    ] {
        let inner = |name: &str| format!("{instance}.{name}");
        let eye = id(&inner("eye"));
        builder.define(eye, hopper(target, Intake::Above(id(gate)), None));
        builder.define(id(&inner("chest")), container(27));
        let under = hopper(Some(&inner("chest")), Intake::Above(eye), None);
        builder.define(id(&inner("under")), under);
        let call = Part::Signal(Signal::Wire { inputs: calls });
        builder.define(id(&inner("call")), call);
    }
    let light = Signal::Comparator {
        rear: Rear::Inventory(id("row[1].chest")),
        side: None,
        mode: ComparatorMode::Compare,
    };
    builder.define(id("sign.level"), Part::Signal(light));
}

/// So many of a kind in a slot.
pub(crate) fn filling(slot: u16, kind: KindId, count: u8, contents: Vec<Filling>) -> Filling {
    Filling {
        slot,
        kind,
        count,
        contents,
    }
}

/// A box's contents when it is full of a kind.
pub(crate) fn full_of(kind: KindId, count: u8) -> Vec<Filling> {
    (0..27)
        .map(|slot| filling(slot, kind, count, Vec::new()))
        .collect()
}

fn fill(builder: &mut NetworkBuilder, kinds: &Kinds) {
    let one_ham = || vec![filling(0, kinds.ham, 1, Vec::new())];
    // Slot 0 is named; the rest goes into the free ones from 1 on, 100 barley as 64 and 36.
    for stack in [
        filling(0, kinds.flax, 3, Vec::new()),
        filling(1, kinds.ham, 1, Vec::new()),
        filling(2, kinds.barley, 64, Vec::new()),
        filling(3, kinds.barley, 36, Vec::new()),
        filling(4, kinds.box_kind, 1, full_of(kinds.flax, 64)),
        filling(5, kinds.box_kind, 1, one_ham()),
        filling(6, kinds.box_kind, 1, one_ham()),
        filling(7, kinds.box_kind, 1, full_of(kinds.ham, 16)),
    ] {
        builder.fill(id("in"), stack);
    }
    builder.fill(id("setter"), filling(0, kinds.box_kind, 1, Vec::new()));
    builder.fill(id("barge"), filling(0, kinds.flail, 1, Vec::new()));
    for (eye, kind) in [
        ("row[0].eye", kinds.barley),
        ("row[1].eye", kinds.flax),
        ("extra.eye", kinds.barley),
    ] {
        builder.fill(id(eye), filling(0, kind, 41, Vec::new()));
    }
}
