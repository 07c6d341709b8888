//! Comparator filters side by side, each fed from a container of its own, so that all of them sort.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{
    ComparatorMode, Container, Hopper, Intake, Part, Rear, Signal as CoreSignal,
};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;

use crate::factories::{Workload, build, fill};

/// How many stacks of its own kind each filter is fed, with some chaff behind each.
const STACKS: u16 = 5;
/// How much chaff comes behind each stack of 64.
const CHAFF: u8 = 16;

/// Goods of the filters.
struct Goods {
    barley: KindId,
    chaff: KindId,
    peg: KindId,
}

/// The parts of one filter that its neighbours or its feed know.
struct Filter {
    line: PartId,
    rest: PartId,
    sieve: PartId,
    out: PartId,
    level: PartId,
}

/// So many filters in a row. Four of five items are of a filter's own kind and go through it, one at a
/// time, each with the signals that open and shut the filter; the fifth passes it by. The comparators of
/// neighbours touch as in `scenarios/first-slice.ron`.
pub(crate) fn filters(count: usize, ticks: u64) -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let goods = Goods {
        barley: builder.kind("barley", StackLimit::SixtyFour),
        chaff: builder.kind("chaff", StackLimit::SixtyFour),
        peg: builder.kind("peg", StackLimit::SixtyFour),
    };
    let filters: Vec<Filter> = (0..count)
        .map(|index| declare(&mut builder, index))
        .collect();
    for (index, filter) in filters.iter().enumerate() {
        let left = index.checked_sub(1).and_then(|left| filters.get(left));
        let right = filters.get(index + 1);
        let neighbours = left.into_iter().chain(right).map(|filter| filter.level);
        add_parts(&mut builder, &goods, index, filter);
        add_signals(&mut builder, index, filter, neighbours);
    }
    build(builder, Setup::default(), 0, ticks)
}

/// Declares the parts that are named from elsewhere.
fn declare(builder: &mut NetworkBuilder, index: usize) -> Filter {
    Filter {
        line: builder.declare(&format!("{index} line")),
        rest: builder.add(
            &format!("{index} rest"),
            Part::Container(Container { slots: 27 }),
        ),
        sieve: builder.declare(&format!("{index} sieve")),
        out: builder.declare(&format!("{index} out")),
        level: builder.declare(&format!("{index} level")),
    }
}

/// The feed, the line above the filter, the filter and its store.
fn add_parts(builder: &mut NetworkBuilder, goods: &Goods, index: usize, filter: &Filter) {
    let slots = STACKS * 2;
    let feed = builder.add(
        &format!("{index} feed"),
        Part::Container(Container { slots }),
    );
    for stack in 0..STACKS {
        fill(builder, feed, stack * 2, goods.barley, 64);
        fill(builder, feed, stack * 2 + 1, goods.chaff, CHAFF);
    }
    let line = Hopper {
        target: Some(filter.rest),
        intake: Intake::Above(feed),
        lock: None,
    };
    builder.define(filter.line, Part::Hopper(line));
    let sieve = Hopper {
        target: None,
        intake: Intake::Above(filter.line),
        lock: None,
    };
    builder.define(filter.sieve, Part::Hopper(sieve));
    // 41 of its kind and four fillers: level 2. One more lifts it to 3.
    fill(builder, filter.sieve, 0, goods.barley, 41);
    for slot in 1..5 {
        fill(builder, filter.sieve, slot, goods.peg, 1);
    }
}

/// The store with its lock: the comparator, the wire that it shares with its neighbours, the inverter.
fn add_signals(
    builder: &mut NetworkBuilder,
    index: usize,
    filter: &Filter,
    neighbours: impl Iterator<Item = PartId>,
) {
    let level = CoreSignal::Comparator {
        rear: Rear::Inventory(filter.sieve),
        side: None,
        mode: ComparatorMode::Compare,
    };
    builder.define(filter.level, Part::Signal(level));
    let mut inputs = vec![(filter.level, 2)];
    inputs.extend(neighbours.map(|level| (level, 3)));
    let open = builder.add(
        &format!("{index} open"),
        Part::Signal(CoreSignal::Wire { inputs }),
    );
    let shut = builder.add(
        &format!("{index} shut"),
        Part::Signal(CoreSignal::Inverter { input: open }),
    );
    let store = builder.add(
        &format!("{index} store"),
        Part::Container(Container { slots: 27 }),
    );
    let out = Hopper {
        target: Some(store),
        intake: Intake::Above(filter.sieve),
        lock: Some(shut),
    };
    builder.define(filter.out, Part::Hopper(out));
}
