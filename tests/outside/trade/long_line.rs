//! A line of 288 hoppers clears in almost two minutes; in four sections, each halved by a return in its
//! middle, in about 15 s, eight times as fast (common practice, no source).

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_reference::Fault;

use crate::runs::{Runner, events, ticks_of_moves_into};

/// The line is full by then: its first item needs at most 8 ticks a hopper.
const STOP_TICK: u64 = 288 * 8 + 100;

/// After how many ticks from a stop the last item is out of a line of so many hoppers: at the stop the
/// first of them, which draws from a chest with more than enough, is locked.
fn cleared_ticks(hoppers: usize, runner: Runner) -> u64 {
    let (network, setup, end) = line(hoppers);
    let events = events(&network, &setup, 2 * STOP_TICK, runner);
    let arrivals = ticks_of_moves_into(end, &events);
    arrivals.last().expect("items come through") - STOP_TICK
}

fn line(hoppers: usize) -> (Network, Setup, PartId) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let run = builder.add("run", Part::Signal(Signal::Lever { starts_on: true }));
    let halt = builder.add("halt", Part::Signal(Signal::Inverter { input: run }));
    let feed = builder.add("feed", Part::Container(Container { slots: 54 }));
    for slot in 0..54 {
        builder.fill(
            feed,
            Filling {
                slot,
                kind: barley,
                count: 64,
                contents: Vec::new(),
            },
        );
    }
    let end = builder.add("end", Part::Container(Container { slots: 54 }));
    let mut target = end;
    for number in (0..hoppers).rev() {
        let is_first = number == 0;
        let hopper = Hopper {
            target: Some(target),
            intake: if is_first {
                Intake::Above(feed)
            } else {
                Intake::Cap
            },
            lock: is_first.then_some(halt),
        };
        target = builder.add(&format!("hopper {number}"), Part::Hopper(hopper));
    }
    let network = builder.build().expect("a line is sound");
    let stop = Action::MoveLever {
        lever: run,
        on: false,
    };
    let setup = Setup {
        seed: 0,
        orders: Orders::default(),
        timeline: Timeline::new(vec![(Tick(STOP_TICK), stop)]),
    };
    (network, setup, end)
}

#[test]
fn a_long_line_clears_in_almost_two_minutes_and_half_a_quarter_of_it_eight_times_as_fast() {
    // A return takes back what has not passed the middle of its section: 36 hoppers are left to clear.
    let (long, short) = (
        cleared_ticks(288, Runner::Core),
        cleared_ticks(36, Runner::Core),
    );
    assert!((95 * 20..=120 * 20).contains(&long), "{long} ticks");
    assert!((12 * 20..=16 * 20).contains(&short), "{short} ticks");
    // Eight times as fast, give or take 15 %.
    assert!((68..=92).contains(&(long * 10 / short)), "{long}, {short}");
}

#[test]
fn a_line_that_is_not_locked_never_clears() {
    // The reference engine lets a locked hopper go on: items come to the end of the run.
    let unlocked = cleared_ticks(36, Runner::Broken(Fault::LockIgnored));
    assert!(unlocked > 16 * 20, "{unlocked} ticks");
}
