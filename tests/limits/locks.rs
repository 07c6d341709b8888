//! For how long a lock is sure to stay off, which a limit of a stop rests on.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::part::{Hopper, Intake, Part, Rear, Signal, Watched};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use crate::support::Hall;

/// Hoppers of the line, of which each but the last can be locked.
const HOPPERS: usize = 6;

/// The lever is moved at one of the ticks before this one. By then the line is empty in any case.
const LAST_TICK: u64 = 60;

fn lever(hall: &mut Hall, name: &str, starts_on: bool) -> PartId {
    let lever = Signal::Lever { starts_on };
    hall.builder.add(name, Part::Signal(lever))
}

/// The least ticks until a line is cleared that holds one item, and is locked by what `lock` makes of a lever that is
/// moved at a tick.
fn least(lock: impl FnOnce(&mut Hall, PartId) -> PartId, starts_on: bool, moved_at: u64) -> u64 {
    let mut hall = Hall::new();
    let store = hall.chest("store", 0);
    let moved = lever(&mut hall, "moved", starts_on);
    let lock = lock(&mut hall, moved);
    let mut next = store;
    let mut line = Vec::new();
    for number in 0..HOPPERS {
        let hopper = Hopper {
            target: Some(next),
            intake: Intake::Cap,
            lock: (number > 0).then_some(lock),
        };
        next = hall
            .builder
            .add(&format!("h[{number}]"), Part::Hopper(hopper));
        line.push(next);
    }
    hall.fill(next, 0, 1);
    hall.stop(0, &line);
    let moves = Action::MoveLever {
        lever: moved,
        on: !starts_on,
    };
    hall.entries.push((Tick(moved_at), moves));
    let (found, limits) = hall.run(Order::Declared, 400);
    let least = limits.stops[0].all.cleared_ticks.expect("a limit is known");
    let cleared = found.stops[0].all.cleared_ticks;
    assert!(cleared.is_none_or(|cleared| cleared >= least));
    least
}

/// The same, locked by the lever itself.
fn least_by_the_lever(moved_at: u64) -> u64 {
    least(|_, lever| lever, false, moved_at)
}

/// Fails unless a lock that hangs on a lever changes so many ticks after it at the soonest.
fn follows_after(ticks: u64, starts_on: bool, signal: impl Fn(PartId, PartId) -> Signal) {
    for moved_at in 0..LAST_TICK {
        let lock = |hall: &mut Hall, moved: PartId| {
            let other = lever(hall, "other", true);
            let signal = signal(moved, other);
            hall.builder.add("lock", Part::Signal(signal))
        };
        assert_eq!(
            least(lock, starts_on, moved_at),
            least_by_the_lever(moved_at + ticks),
            "{:?}, moved in tick {moved_at}",
            signal(PartId::from_index(0), PartId::from_index(1))
        );
    }
}

#[test]
fn the_later_a_lock_can_change_the_more_is_certain() {
    let limits: Vec<u64> = (0..LAST_TICK).map(least_by_the_lever).collect();
    assert!(limits.is_sorted(), "{limits:?}");
    let different: BTreeSet<&u64> = limits.iter().collect();
    assert!(different.len() > 4, "{limits:?}");
}

#[test]
fn a_lock_follows_its_lever_after_the_delays_between_them() {
    let inputs = |moved, other| vec![moved, other];
    follows_after(0, false, |moved, _| Signal::Wire {
        inputs: vec![(moved, 0)],
    });
    follows_after(2, true, |input, _| Signal::Inverter { input });
    follows_after(2, false, |input, _| Signal::Toggle { input });
    follows_after(2, false, |moved, other| Signal::AllOf {
        inputs: inputs(moved, other),
    });
    follows_after(2, false, |set, _| Signal::Latch { set, reset: set });
    follows_after(2, false, |moved, _| Signal::Comparator {
        rear: Rear::Signal(moved),
        side: None,
        mode: hallwright_core::part::ComparatorMode::Compare,
    });
    follows_after(4, false, |input, _| Signal::Repeater {
        input,
        delay_ticks: 4,
        lock: None,
    });
    follows_after(7, false, |input, _| Signal::DelayLine {
        input,
        delay_ticks: 7,
    });
    // What is off need not wait for a hold.
    follows_after(0, false, |input, _| Signal::Hold {
        input,
        hold_ticks: 30,
    });
}

#[test]
fn a_lock_that_hangs_on_pulses_or_a_clock_is_certain_for_no_longer_than_they_are() {
    let of = |lock: fn(&mut Hall, PartId) -> PartId| least(lock, false, 1_000);
    // An observer pulses two ticks after whatever it watches, which is not followed.
    let observer = |hall: &mut Hall, moved| {
        let watches = Watched::Signal(moved);
        hall.builder
            .add("observer", Part::Signal(Signal::Observer { watches }))
    };
    assert_eq!(of(observer), least_by_the_lever(2));
    let clock = |high_ticks| {
        Part::Signal(Signal::Clock {
            period_ticks: 400,
            high_ticks,
            phase_ticks: 1,
        })
    };
    assert_eq!(
        least(|hall, _| hall.builder.add("clock", clock(1)), false, 1_000),
        least_by_the_lever(0)
    );
    // One that is never on keeps its level for ever.
    assert_eq!(
        least(|hall, _| hall.builder.add("clock", clock(0)), false, 1_000),
        least_by_the_lever(1_000)
    );
}
