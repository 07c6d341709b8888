//! It is not known to be quiet while anything sleeps, nor until long enough after the last waking.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, StorePurpose};

use crate::support::{capped, chest, filling, run_with, store};

/// A chest that sleeps from tick 5 to tick 15, beside a clock of 20 ticks that drives nothing. Whether
/// it is known after so many ticks that it is quiet.
fn is_known_after(run_ticks: u64) -> bool {
    let mut builder = NetworkBuilder::new(Rules::default());
    let sleeper = chest(&mut builder, "chest", 27);
    let clock = Signal::Clock {
        period_ticks: 20,
        high_ticks: 10,
        phase_ticks: 0,
    };
    builder.add("clock", Part::Signal(clock));
    let network = builder.build().expect("sound");
    let sleep = Action::Sleep {
        parts: vec![sleeper],
        sleep_ticks: 10,
    };
    let found = run_with(
        &network,
        &Declarations::default(),
        run_ticks,
        vec![(5, sleep)],
    );
    let quiet = found.into_measured().quiet;
    assert_eq!(quiet.ticks, Some(0), "nothing ever moves");
    quiet.is_known
}

#[test]
fn quiet_is_known_long_enough_after_the_last_waking() {
    // The clock's period and a cooldown are 28 ticks: more than those must pass after tick 15.
    for run_ticks in 6..=44 {
        assert!(!is_known_after(run_ticks), "{run_ticks}");
    }
    assert!(is_known_after(45));
}

#[test]
fn what_a_sleeper_holds_is_on_the_way_however_long_it_sleeps() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let home = chest(&mut builder, "home", 1);
    let hopper = builder.add("hopper", capped(Some(home), None));
    builder.fill(hopper, filling(0, barley, 5));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![store("home", home, &[barley], StorePurpose::Slice)],
        ..Declarations::default()
    };
    let sleep = Action::Sleep {
        parts: vec![hopper],
        sleep_ticks: 5_000,
    };
    // It pushes in ticks 0 and 8, and falls asleep in tick 10.
    let found = run_with(&network, &declarations, 50, vec![(10, sleep)]);
    assert_eq!(found.going_on.on_the_way.goods, 3);
    assert_eq!(found.going_on.stuck.goods, 0);
    assert!(found.going_on.ticks > 4_960, "{}", found.going_on.ticks);
}
