//! Waits worked out by hand, and against looking at every part at the end of every tick.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Moment as When, Observer};
use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Container, Dropper, Hopper, Intake, Outlet, Part, Signal, Stream};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_swarm::generate::generate;

use super::*;

/// Watches a run, and if it is to, compares every part with what is seen of it at each tick's end.
struct Watch {
    waits: Waits,
    compares: bool,
}

impl Observer for Watch {
    fn event(&mut self, _moment: When, event: &Event, view: &View<'_>) {
        self.waits.event(event, view);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work: u64, view: &View<'_>) {
        self.waits.pass(from.0, until.0, view);
        if !self.compares {
            return;
        }
        let moment = Situation {
            view,
            around: &Around::new(view.network()),
            at: from.0,
            cooldown_ticks: &|hopper| view.cooldown_ticks(hopper).into(),
        };
        for part in view.network().part_ids() {
            let (now, _) = self.waits.now[part.index()];
            let (mut watched, _) = self.waits.of_part[part.index()][now];
            if watched.why == Why::Arrival {
                watched = Wait {
                    why: Why::Because(Cause::Cooldown),
                    by: None,
                };
            }
            let name = view.network().name(part);
            assert_eq!(watched, moment.waits(part).0, "{name}, tick {from}");
        }
    }
}

/// The waits of every part in a run, by the words of the page.
fn waited(network: &Network, actions: Vec<(Tick, Action)>, run_ticks: u64) -> Vec<String> {
    let setup = Setup {
        timeline: Timeline::new(actions),
        ..Setup::default()
    };
    let mut watch = Watch {
        waits: Waits::new(network),
        compares: false,
    };
    Engine::new(network, &setup).run_watched(Tick(run_ticks), &mut watch);
    let totals = watch.waits.totals(run_ticks);
    let reported = network.part_ids().zip(&totals).map(|(part, list)| {
        let sum: u64 = list.iter().map(|(_, ticks)| ticks).sum();
        assert_eq!(sum, run_ticks, "{}", network.name(part));
        let rows = list.iter().map(|(wait, ticks)| {
            let [with, without] = words(wait.why);
            let words = wait.by.map_or(without.to_owned(), |by| {
                with.replace("{}", network.name(by))
            });
            format!("{words} {ticks}")
        });
        format!(
            "{}: {}",
            network.name(part),
            rows.collect::<Vec<_>>().join(", ")
        )
    });
    reported.collect()
}

fn hopper(target: Option<PartId>, intake: Intake, lock: Option<PartId>) -> Part {
    Part::Hopper(Hopper {
        target,
        intake,
        lock,
    })
}

/// Two barley behind a locked head, a line of one hopper, and a store with room for one of them. The
/// lock goes off in tick 10; the run has 60 ticks.
///
/// Worked out by hand: the head pulls in tick 10, so it has cooled down in tick 18, pushes the first
/// item and pulls the second, and pushes that in tick 26. The line had its turn of tick 17 before, and
/// takes its turn of tick 18 after the head: its 8 ticks become 7 in the same tick, and it acts in
/// tick 25; likewise in tick 33, when the store is full.
#[test]
fn a_locked_head_an_arrival_and_a_full_store() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let holding = |slot, count| Filling {
        slot,
        kind: barley,
        count,
        contents: Vec::new(),
    };
    let gate = builder.add("gate", Part::Signal(Signal::Lever { starts_on: true }));
    let source = builder.add("source", Part::Container(Container { slots: 1 }));
    let head = builder.declare("head");
    let line = builder.declare("line");
    let store = builder.add("store", Part::Container(Container { slots: 1 }));
    builder.define(head, hopper(Some(line), Intake::Above(source), Some(gate)));
    builder.define(line, hopper(Some(store), Intake::Cap, None));
    builder.fill(source, holding(0, 2));
    builder.fill(store, holding(0, 63));
    let network = builder.build().expect("it is sound");
    let off = Action::MoveLever {
        lever: gate,
        on: false,
    };
    assert_eq!(
        waited(&network, vec![(Tick(10), off)], 60),
        [
            "gate: on 10, off 50",
            "source: locked by gate 10, cooldown of head 8, nothing to move 42",
            "head: locked by gate 10, cooldown 16, nothing comes from source 34",
            "line: nothing comes from head 19, \
             arrival cooldown, item from head 14, full target: store 27",
            "store: holds what it has: nothing leads on 60",
        ]
    );
}

/// A button fires a dropper onto a stream of 10 ticks, at whose end a hopper without a target waits.
///
/// Worked out by hand: pressed in tick 5, fired in tick 9, at rest and collected in tick 19, in phase
/// 3: so the cooldown counts down in that same tick, and the hopper could act in tick 26. The button
/// is on for 20 ticks.
#[test]
fn a_trigger_a_firing_a_stream_and_a_pickup() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let button = builder.add("button", Part::Signal(Signal::Button { hold_ticks: 20 }));
    let spout = builder.declare("spout");
    let brook = builder.declare("brook");
    let pond = builder.add("pond", Part::Mouth);
    let cup = builder.declare("cup");
    builder.define(
        spout,
        Part::Dropper(Dropper {
            trigger: Some(button),
            outlet: Outlet::Loose(brook),
        }),
    );
    let stream = Stream {
        transit_ticks: 10,
        mouth: pond,
    };
    builder.define(brook, Part::Stream(stream));
    builder.define(cup, hopper(None, Intake::Mouth(pond), None));
    builder.fill(
        spout,
        Filling {
            slot: 0,
            kind: barley,
            count: 1,
            contents: Vec::new(),
        },
    );
    let network = builder.build().expect("it is sound");
    assert_eq!(
        waited(&network, vec![(Tick(5), Action::Press { button })], 40),
        [
            "button: off 20, kept on for its time 20",
            "spout: until button comes on and triggers it 5, its firing, triggered by button 4, \
             nothing to move 31",
            "brook: nothing comes from spout 30, the stream's way 10",
            "pond: nothing comes from brook 30, the way on the stream brook 10",
            "cup: nothing comes from pond 9, the way on the stream brook 10, \
             cooldown 7, holds what it has: nothing leads on 14",
        ]
    );
}

/// How many networks are drawn.
const NETWORKS: u64 = 1_000;

/// Looking only where something happened comes to the same as looking everywhere, tick by tick.
#[test]
fn random_networks_wait_for_the_same_however_they_are_looked_at() {
    for seed in 0..NETWORKS {
        let blueprint = generate(seed);
        let (network, setup) = blueprint.build().expect("networks drawn are sound");
        let mut stepped = Watch {
            waits: Waits::new(&network),
            compares: true,
        };
        let mut engine = Engine::new(&network, &setup);
        let ticks = blueprint.length_ticks;
        for _ in 0..ticks {
            engine.step_watched(&mut stepped);
        }
        let mut leapt = Watch {
            waits: Waits::new(&network),
            compares: false,
        };
        Engine::new(&network, &setup).run_watched(Tick(ticks), &mut leapt);
        let totals = stepped.waits.totals(ticks);
        assert_eq!(totals, leapt.waits.totals(ticks), "seed {seed}");
        for list in totals {
            let sum: u64 = list.iter().map(|(_, waited)| waited).sum();
            assert_eq!(sum, ticks, "seed {seed}");
        }
    }
}
