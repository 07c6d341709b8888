//! A hall that no cache holds: the engine looks ahead in it, and in no smaller one.

use hallwright_core::engine::Engine;
use hallwright_core::event::Trace;
use hallwright_core::goods::StackLimit;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_reference::ReferenceEngine;

/// Hoppers of a line.
const LENGTH: usize = 8;
/// Together with so many lines, a few more than the 262,144 from which on the engine looks ahead.
const LINES: usize = (1 << 18) / LENGTH + 1;
/// One line in so many has items in it: the reference engine is slow where much moves. In the first tick each hopper has
/// its turn.
const ONE_OF: usize = 500;
/// Enough for an item to be handed on twice.
const TICKS: u64 = 20;

/// Lines of hoppers, some with two items in the first one.
fn hall() -> Network {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    for line in 0..LINES {
        let mut target = None;
        for place in (0..LENGTH).rev() {
            let hopper = Hopper {
                target,
                intake: Intake::Cap,
                lock: None,
            };
            target = Some(builder.add(&format!("{line}.{place}"), Part::Hopper(hopper)));
        }
        if line % ONE_OF == 0 {
            let filling = Filling {
                slot: 0,
                kind: barley,
                count: 2,
                contents: Vec::new(),
            };
            builder.fill(target.expect("a line has hoppers"), filling);
        }
    }
    builder.build().expect("the hall is sound")
}

#[test]
fn both_engines_agree_in_a_hall_that_is_looked_at_ahead() {
    let network = hall();
    for update in [Order::Declared, Order::Shuffled(7)] {
        let setup = Setup {
            orders: Orders {
                update,
                ..Orders::default()
            },
            ..Setup::default()
        };
        let mut engine = Engine::new(&network, &setup);
        let mut reference = ReferenceEngine::new(&network, &setup);
        let mut moves = 0;
        for tick in 0..TICKS {
            let mut trace = Trace::default();
            engine.step(&mut trace);
            moves += trace.events.len();
            assert!(trace.events == reference.step(), "tick {tick}");
        }
        assert_eq!(engine.view().digest(), reference.digest());
        assert!(moves >= 4 * (LINES / ONE_OF), "{moves} moves");
    }
}
