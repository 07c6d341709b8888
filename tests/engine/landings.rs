//! Deliveries that wait for room or for a signal, worked out by hand: in the reference engine, in the
//! engine itself step by step, leaping, and going on from a saved state.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_reference::ReferenceEngine;

const RUN_TICKS: u64 = 40;

const WAITS: Terms = Terms {
    waits: true,
    while_on: None,
    arrival: None,
};

/// Two chests of one slot, a pond, and a lever that is off.
struct Yard {
    network: Network,
    barley: KindId,
    near: PartId,
    far: PartId,
    pond: PartId,
    lever: PartId,
}

impl Yard {
    fn new() -> Self {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let near = builder.add("near", Part::Container(Container { slots: 1 }));
        let far = builder.add("far", Part::Container(Container { slots: 1 }));
        let pond = builder.add("pond", Part::Mouth);
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
        Self {
            network: builder.build().expect("the yard is sound"),
            barley,
            near,
            far,
            pond,
            lever,
        }
    }

    fn deliver(&self, place: PartId, count: u32, terms: Terms) -> Action {
        Action::Deliver {
            place,
            kind: self.barley,
            count,
            contents: Vec::new(),
            terms,
        }
    }

    fn held(&self, waits: bool) -> Terms {
        Terms {
            waits,
            while_on: Some(self.lever),
            arrival: None,
        }
    }

    fn lever_on(&self) -> Action {
        Action::MoveLever {
            lever: self.lever,
            on: true,
        }
    }

    /// Runs it in every way. Gives what came in, as tick, place and count, and how much was refused.
    fn run(&self, entries: &[(u64, Action)]) -> (Vec<(u64, PartId, u32)>, u64) {
        let entries = entries.iter().cloned();
        let setup = Setup {
            timeline: Timeline::new(entries.map(|(tick, what)| (Tick(tick), what)).collect()),
            ..Setup::default()
        };
        let mut reference = ReferenceEngine::new(&self.network, &setup);
        let mut stepping = Engine::new(&self.network, &setup);
        let mut trace = Trace::default();
        let mut half_way = stepping.save();
        let mut expected = Vec::new();
        for tick in 0..RUN_TICKS {
            if tick == RUN_TICKS / 4 {
                half_way = stepping.save();
            }
            stepping.step(&mut trace);
            expected.extend(reference.step());
            assert_eq!(stepping.view().digest(), reference.digest(), "tick {tick}");
        }
        assert_eq!(trace.events, expected);
        let mut leaping = Engine::new(&self.network, &setup);
        let mut leaps = Trace::default();
        leaping.run_until(Tick(RUN_TICKS), &mut leaps);
        assert_eq!(leaps.events, expected);
        assert!(leaping.save() == stepping.save());
        let mut resumed = Engine::resume(&self.network, &setup, &half_way);
        resumed.run_until(Tick(RUN_TICKS), &mut ());
        assert!(resumed.save() == stepping.save());
        let view = stepping.view();
        assert_eq!(view.refused(self.barley), reference.refused(self.barley));
        assert_eq!(view.sent(self.barley), reference.sent(self.barley));
        let came = expected.iter().filter_map(|(moment, event)| match *event {
            Event::Delivered { place, count, .. } => Some((moment.tick.0, place, count)),
            Event::CameLoose { place, count, .. } => Some((moment.tick.0, place, count.into())),
            _ => None,
        });
        (came.collect(), view.refused(self.barley))
    }
}

fn withdraw(place: PartId, count: u32) -> Action {
    Action::Withdraw { place, count }
}

#[test]
fn what_does_not_fit_is_refused_unless_it_waits() {
    let yard = Yard::new();
    let plain = yard.deliver(yard.near, 100, Terms::default());
    let entries = [(0, plain), (5, withdraw(yard.near, 10))];
    assert_eq!(yard.run(&entries), (vec![(0, yard.near, 64)], 36));
}

#[test]
fn a_line_keeps_its_order_and_comes_before_what_is_due() {
    let yard = Yard::new();
    let entries = [
        (0, yard.deliver(yard.near, 100, WAITS)),
        // Room made in phase 1 is used in the next tick.
        (5, withdraw(yard.near, 10)),
        // It stands behind the 26 that still wait.
        (6, yard.deliver(yard.near, 5, WAITS)),
        (8, withdraw(yard.near, 40)),
        // Before these 20 come those that wait, in the same tick: 9 of them find room.
        (8, yard.deliver(yard.near, 20, Terms::default())),
    ];
    let near = yard.near;
    let came = vec![
        (0, near, 64),
        (6, near, 10),
        (8, near, 26),
        (8, near, 5),
        (8, near, 9),
    ];
    assert_eq!(yard.run(&entries), (came, 11));
}

#[test]
fn a_line_waits_at_its_own_place_only() {
    let yard = Yard::new();
    let entries = [
        (0, yard.deliver(yard.near, 70, WAITS)),
        (1, yard.deliver(yard.far, 7, WAITS)),
    ];
    let came = vec![(0, yard.near, 64), (1, yard.far, 7)];
    assert_eq!(yard.run(&entries), (came, 0));
}

#[test]
fn what_a_signal_holds_stops_nobody_and_comes_when_it_goes_on() {
    let yard = Yard::new();
    let (near, far, pond) = (yard.near, yard.far, yard.pond);
    let entries = [
        (3, yard.deliver(near, 8, yard.held(false))),
        (3, yard.deliver(far, 6, yard.held(true))),
        (3, yard.deliver(pond, 70, yard.held(false))),
        (4, yard.deliver(near, 4, WAITS)),
        (20, yard.lever_on()),
        // The line at `far` moves for this one in the same tick; the others wait for the next.
        (20, yard.deliver(far, 1, Terms::default())),
    ];
    let came = vec![
        (4, near, 4),
        (20, far, 6),
        (20, far, 1),
        (21, near, 8),
        (21, pond, 64),
        (21, pond, 6),
    ];
    assert_eq!(yard.run(&entries), (came, 0));
}

#[test]
fn what_was_held_waits_for_room_only_if_it_says_so() {
    let yard = Yard::new();
    let (near, far) = (yard.near, yard.far);
    let entries = [
        (0, yard.deliver(near, 60, Terms::default())),
        (0, yard.deliver(far, 60, Terms::default())),
        (1, yard.deliver(near, 10, yard.held(false))),
        (1, yard.deliver(far, 10, yard.held(true))),
        (9, yard.lever_on()),
        (15, withdraw(near, 30)),
        (15, withdraw(far, 30)),
    ];
    let came = vec![
        (0, near, 60),
        (0, far, 60),
        (10, near, 4),
        (10, far, 4),
        (16, far, 6),
    ];
    assert_eq!(yard.run(&entries), (came, 6));
}

#[test]
fn a_lever_moved_off_in_the_tick_holds_what_is_due_after_it() {
    let yard = Yard::new();
    let off = Action::MoveLever {
        lever: yard.lever,
        on: false,
    };
    let entries = [
        (0, yard.lever_on()),
        (2, yard.deliver(yard.near, 1, yard.held(false))),
        (2, off),
        (2, yard.deliver(yard.near, 2, yard.held(false))),
    ];
    assert_eq!(yard.run(&entries), (vec![(2, yard.near, 1)], 0));
}

#[test]
fn a_landing_at_a_sleeper_takes_nothing_but_a_mouth_does() {
    let yard = Yard::new();
    let (near, far, pond) = (yard.near, yard.far, yard.pond);
    let sleep = |parts: &[PartId], sleep_ticks| Action::Sleep {
        parts: parts.to_vec(),
        sleep_ticks,
    };
    let entries = [
        (0, yard.deliver(near, 60, Terms::default())),
        (2, sleep(&[near, pond], 10)),
        (3, yard.deliver(near, 3, Terms::default())),
        // Four of these find room when `near` is awake again. Nobody makes room for the others.
        (4, yard.deliver(near, 10, WAITS)),
        (5, yard.deliver(pond, 5, Terms::default())),
        (6, withdraw(near, 40)),
        // A lever that sleeps does not move, and the held delivery goes on waiting.
        (14, sleep(&[yard.lever], 6)),
        (15, yard.lever_on()),
        (16, yard.deliver(far, 2, yard.held(false))),
        (21, yard.lever_on()),
    ];
    let came = vec![(0, near, 60), (5, pond, 5), (12, near, 4), (22, far, 2)];
    assert_eq!(yard.run(&entries), (came, 3));
}

#[test]
fn a_timeline_whose_hold_is_no_signal_is_refused() {
    let yard = Yard::new();
    let terms = Terms {
        while_on: Some(yard.pond),
        ..Terms::default()
    };
    let setup = Setup {
        timeline: Timeline::new(vec![(Tick(4), yard.deliver(yard.near, 1, terms))]),
        ..Setup::default()
    };
    let problems = setup.problems(&yard.network);
    assert_eq!(problems, [(Tick(4), "`pond` is no signal".to_owned())]);
}
