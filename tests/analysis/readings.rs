//! From how many items on each level is read.

use hallwright_analysis::readings::{Reading, Readings, readings};
use hallwright_core::engine::Engine;
use hallwright_core::event::Trace;
use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::Orders;
use hallwright_core::part::{ComparatorMode, Container, Part, Rear, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;

const LIMITS: [StackLimit; 3] = [StackLimit::One, StackLimit::Sixteen, StackLimit::SixtyFour];

fn fewest(table: &Readings, level: usize) -> Option<u32> {
    table.levels[level - 1].map(|reading| reading.from_items)
}

#[test]
fn a_hopper_reads_each_level_from_the_number_of_items_worked_out_by_hand() {
    // 14 x n / 320: level 2 from 320 / 14 = 22.9 on, level 3 from 45.7 on, level 4 from 68.6 on.
    let table = readings(5, StackLimit::SixtyFour);
    for (level, items) in [(1, 1), (2, 23), (3, 46), (4, 69), (15, 320)] {
        assert_eq!(fewest(&table, level), Some(items), "level {level}");
    }
    let last = Reading {
        from_items: 320,
        to_items: 320,
    };
    assert_eq!(table.levels[14], Some(last));
    // An item that stacks to 16 weighs 4 of these: 46 / 4 = 11.4.
    assert_eq!(fewest(&readings(5, StackLimit::Sixteen), 3), Some(12));
}

#[test]
fn a_level_that_one_item_more_passes_over_is_never_read() {
    // A fifth of a hopper each: 1 + floor(2.8), 5.6, 8.4, 11.2 and 14.
    let table = readings(5, StackLimit::One);
    let read: Vec<usize> = (1..=15)
        .filter(|level| fewest(&table, *level).is_some())
        .collect();
    assert_eq!(read, [3, 6, 9, 12, 15]);
    assert_eq!(fewest(&table, 9), Some(3));
}

/// What a comparator reads from so many items in a container whose slots are filled one by one.
fn read(slots: u16, limit: StackLimit, items: u32) -> u8 {
    let mut builder = NetworkBuilder::new(Rules::default());
    let kind = builder.kind("barley", limit);
    let container = builder.add("container", Part::Container(Container { slots }));
    let comparator = Signal::Comparator {
        rear: Rear::Inventory(container),
        side: None,
        mode: ComparatorMode::Compare,
    };
    let comparator = builder.add("comparator", Part::Signal(comparator));
    let mut left = items;
    for slot in 0..slots {
        let count = left.min(limit.items().into());
        left -= count;
        if count > 0 {
            let filling = Filling {
                slot,
                kind,
                count: u8::try_from(count).expect("no more than 64"),
                contents: Vec::new(),
            };
            builder.fill(container, filling);
        }
    }
    let network = builder.build().expect("a comparator may read a container");
    let setup = Setup {
        seed: 0,
        orders: Orders::default(),
        timeline: Timeline::new(Vec::new()),
    };
    let mut engine = Engine::new(&network, &setup);
    engine.run_until(Tick(4), &mut Trace::default());
    engine.view().level(comparator)
}

#[test]
fn the_table_says_what_the_engine_reads_of_every_number_of_items() {
    for slots in [1, 2, 5, 9, 27] {
        for limit in LIMITS {
            let table = readings(slots, limit);
            let room = u32::from(slots) * u32::from(limit.items());
            for items in 0..=room {
                let reported = (1..=15).find(|level| {
                    table.levels[level - 1].is_some_and(|reading| {
                        (reading.from_items..=reading.to_items).contains(&items)
                    })
                });
                let level = usize::from(read(slots, limit, items));
                assert_eq!(
                    level,
                    reported.unwrap_or(0),
                    "{items} of {limit:?} in {slots}"
                );
            }
        }
    }
}
