//! Runs a network and takes every measurement.

mod alike;

use std::ops::ControlFlow;

use hallwright_core::engine::{Engine, State};
use hallwright_core::event::Observer;
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Goal};
use serde::{Deserialize, Serialize};

use crate::findings::{Findings, Measured, StopFinding};
use crate::going_on::going_on;
use crate::left_behind::left_behind;
use crate::measure::{Afterwards, Kept, Onward, Recorder};
use hallwright_analysis::homes::HomesOfRuns;
use hallwright_analysis::limits::{Cleared, LeastOfStops, LimitFinder};

pub use self::alike::{Decided, are_alike, decide_alike, run_alike};

/// How often a run reports how far it is.
const PROGRESS_STEPS: u64 = 100;

/// Everything that one run and its report need.
#[derive(Clone)]
pub struct RunInput<'a> {
    /// The network.
    pub network: &'a Network,
    /// Deliveries and operator actions, those of the stops left out.
    pub timeline: &'a Timeline,
    /// The seed of everything left to chance.
    pub seed: u64,
    /// The update order and the signal order.
    pub orders: Orders,
    /// How many ticks to run.
    pub run_ticks: u64,
    /// What is declared about the network: what to measure, the stops, the goals.
    pub declarations: &'a Declarations,
}

/// What is asked of a run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Wanted {
    /// Everything that is measured.
    Everything,
    /// What its goals and marks come to. What the hall costs at rest is left out, and where no goal asks for it what
    /// would be left behind: both take runs of their own.
    Judgement,
}

impl Wanted {
    fn left_behind(self, declared: &Declarations) -> bool {
        let asks = |goal: &Goal| matches!(goal, Goal::LeftBehindAtMost(_));
        self == Self::Everything || declared.goals.iter().any(asks)
    }
}

/// A run between two ticks, as plain data: its state and all that was measured.
///
/// It belongs to one [`RunInput`].
#[derive(Clone, Serialize, Deserialize)]
pub struct Halfway {
    state: State,
    kept: Kept,
    least: LeastOfStops,
}

impl Halfway {
    /// The next tick to be run.
    #[must_use]
    pub fn tick(&self) -> Tick {
        self.state.tick()
    }
}

/// Runs to the end, judges the goals and says what was found. `progress` is given the next tick now
/// and then.
///
/// # Panics
///
/// If an invariant broke: a bug of the engine.
pub fn run(input: &RunInput<'_>, progress: &mut dyn FnMut(Tick)) -> Findings {
    run_observed(input, &mut (), progress)
}

/// As [`run`], with another observer that sees everything too.
///
/// # Panics
///
/// As [`run`].
pub fn run_observed(
    input: &RunInput<'_>,
    extra: &mut dyn Observer,
    progress: &mut dyn FnMut(Tick),
) -> Findings {
    let setup = setup_for(input);
    let begun = begin(input, &setup);
    let over = drive(input, &setup, begun, extra, progress, &mut |_, _| {
        goes_on(None)
    });
    let measured = conclude_whole(input, &setup, over);
    Findings::new(measured, input.declarations, None)
}

/// As [`run_observed`], and reports as well what the network allows at best.
///
/// # Panics
///
/// As [`run`].
pub fn run_with_limits(
    input: &RunInput<'_>,
    extra: &mut dyn Observer,
    progress: &mut dyn FnMut(Tick),
) -> Findings {
    run_in_parts(input, None, &[], &mut |_| {}, extra, progress)
}

/// As [`run_with_limits`], but goes on `from` where a run of the same input was kept, and keeps it before
/// each of these ticks that it comes to, which ascend. What is found is the same.
///
/// # Panics
///
/// As [`run`], and if what was kept belongs to another run.
pub fn run_in_parts(
    input: &RunInput<'_>,
    from: Option<Halfway>,
    keep_at: &[Tick],
    keep: &mut dyn FnMut(Halfway),
    extra: &mut dyn Observer,
    progress: &mut dyn FnMut(Tick),
) -> Findings {
    let setup = setup_for(input);
    let declared = input.declarations;
    let mut finder = LimitFinder::new(input.network, declared, &setup.timeline, input.run_ticks);
    let start = from.as_ref().map_or(Tick(0), Halfway::tick);
    let begun = match from {
        None => begin(input, &setup),
        Some(halfway) => {
            finder.resume(halfway.least);
            let engine = Engine::resume(input.network, &setup, &halfway.state);
            go_on(input, &setup, engine, halfway.kept)
        }
    };
    let stops = declared.stops.iter().map(|stop| stop.at);
    let mut stops = stops.skip_while(|at| *at < start).peekable();
    let mut keep_at = keep_at.iter().skip_while(|at| **at < start).peekable();
    let mut halt = |engine: &Engine<'_>, recorder: &Recorder<'_>| {
        while keep_at.next_if(|at| **at <= engine.tick()).is_some() {
            keep(Halfway {
                state: engine.save(),
                kept: recorder.kept(),
                least: finder.least(),
            });
        }
        while stops.next_if(|at| *at <= engine.tick()).is_some() {
            finder.stopped(&engine.view());
        }
        let next = [stops.peek().copied(), keep_at.peek().map(|at| **at)];
        goes_on(next.into_iter().flatten().min())
    };
    let over = drive(input, &setup, begun, extra, progress, &mut halt);
    let measured = conclude_whole(input, &setup, over);
    let flows = measured.flows.iter();
    let steadiest_ticks: Vec<u64> = flows.map(|flow| flow.steadiest.ticks).collect();
    let cleared: Vec<Cleared> = measured.stops.iter().map(cleared).collect();
    let sieves_kept = !measured.sieves.iter().any(|sieve| sieve.was_broken);
    let limits = finder.finish(&steadiest_ticks, &cleared, sieves_kept);
    Findings::new(measured, declared, Some(limits))
}

/// Goes on from the tick of the first declared stop until its watch is over, and says what was found;
/// `None` if it is not watched.
pub fn watch_stop<'n>(
    declared: &Declarations,
    run_ticks: u64,
    setup: &'n Setup,
    engine: &mut Engine<'n>,
) -> Option<StopFinding> {
    let mut recorder = Recorder::new(declared, run_ticks, &setup.timeline, &engine.view());
    recorder.pause(Onward { engine, setup });
    while recorder.last_stop().is_none() {
        engine.run_watched(recorder.next_pause()?, &mut recorder);
        recorder.pause(Onward { engine, setup });
    }
    recorder.last_stop().cloned()
}

/// What a stop cleared.
fn cleared(stop: &StopFinding) -> Cleared {
    let sections = stop.sections.iter();
    Cleared {
        all: stop.all.cleared_ticks.is_some(),
        sections: sections
            .map(|section| section.marks.cleared_ticks.is_some())
            .collect(),
    }
}

/// A run and what measures it, between two ticks.
type Begun<'a> = (Engine<'a>, Recorder<'a>);

/// A run at its start.
fn begin<'a>(input: &RunInput<'a>, setup: &'a Setup) -> Begun<'a> {
    let engine = Engine::new(input.network, setup);
    let (declared, run_ticks) = (input.declarations, input.run_ticks);
    let recorder = Recorder::new(declared, run_ticks, &setup.timeline, &engine.view());
    (engine, recorder)
}

/// A run that goes on, and what was measured up to there.
fn go_on<'a>(input: &RunInput<'a>, setup: &'a Setup, engine: Engine<'a>, kept: Kept) -> Begun<'a> {
    let (declared, run_ticks) = (input.declarations, input.run_ticks);
    let recorder = Recorder::new(declared, run_ticks, &setup.timeline, &engine.view());
    let recorder = recorder.resumed(engine.tick(), kept);
    (engine, recorder)
}

/// Whether a run goes on, and if it does, the tick before which it is to be shown again.
type Halt = ControlFlow<(), Option<Tick>>;

/// What a run is shown to goes on: until this tick, if it asks for it again there.
fn goes_on(until: Option<Tick>) -> Halt {
    ControlFlow::Continue(until)
}

/// Runs to the end, from the start or from where it was kept. `halt` is shown the run before a tick, as often
/// as it asks for, and may end it there.
fn drive<'a>(
    input: &RunInput<'a>,
    setup: &'a Setup,
    (mut engine, recorder): Begun<'a>,
    extra: &mut dyn Observer,
    progress: &mut dyn FnMut(Tick),
    halt: &mut dyn FnMut(&Engine<'_>, &Recorder<'_>) -> Halt,
) -> Begun<'a> {
    let run_ticks = input.run_ticks;
    let mut observers = (recorder, extra);
    let step_ticks = run_ticks.div_ceil(PROGRESS_STEPS).max(1);
    loop {
        let is_over = engine.tick().0 >= run_ticks;
        let halts = if is_over {
            None
        } else {
            match halt(&engine, &observers.0) {
                ControlFlow::Continue(until) => until,
                ControlFlow::Break(()) => break,
            }
        };
        observers.0.pause(Onward {
            engine: &engine,
            setup,
        });
        if is_over {
            break;
        }
        let next = (engine.tick() + step_ticks).min(Tick(run_ticks));
        let next = [halts, observers.0.next_pause()]
            .into_iter()
            .flatten()
            .fold(next, Tick::min);
        engine.run_until(next, &mut observers);
        progress(engine.tick());
    }
    (engine, observers.0)
}

/// As [`conclude`], of a run by itself of which everything is wanted.
fn conclude_whole<'a>(input: &RunInput<'a>, setup: &'a Setup, over: Begun<'a>) -> Measured {
    let mut homes = HomesOfRuns::default();
    conclude(input, setup, Wanted::Everything, over, &mut homes)
}

/// What a run measured that is over, and what becomes of it when it goes on.
fn conclude<'a>(
    input: &RunInput<'a>,
    setup: &'a Setup,
    wanted: Wanted,
    (engine, mut recorder): Begun<'a>,
    homes: &mut HomesOfRuns,
) -> Measured {
    if let Err(broken) = engine.check_conservation() {
        panic!("an invariant broke: {broken}");
    }
    let (network, declared) = (input.network, input.declarations);
    let left_behind = match wanted.left_behind(declared) {
        true => left_behind(network, setup, declared, &engine),
        false => Vec::new(),
    };
    let is_over = engine.next_due().is_none();
    let last_move = recorder.last_move();
    let onward = Onward {
        engine: &engine,
        setup,
    };
    let mut look = (wanted == Wanted::Everything).then(|| recorder.look_at_rest(&engine));
    let going_on = going_on(network, onward, declared, last_move, look.as_mut());
    if let Some(at_rest) = look.map(|look| look.seen(onward)) {
        debug_assert_eq!(
            at_rest,
            recorder.look_at_rest(&engine).seen(onward),
            "a copy that is shared shows what one alone does"
        );
        recorder.settle(&at_rest);
    }
    let after = Afterwards {
        left_behind,
        going_on,
        homes: homes.of(network, declared, &setup.timeline, engine.tick()),
    };
    let found = recorder.finish(is_over, after, &engine.view());
    if let Some((kind, due, there)) = found.account.broken() {
        panic!("the account of {kind} does not add up: {there} of {due} are somewhere");
    }
    found
}

/// The setup of a run: its timeline has the actions of the stops and restarts, after the others of
/// their ticks.
#[must_use]
pub fn setup_for(input: &RunInput<'_>) -> Setup {
    let mut entries: Vec<(Tick, Action)> = input.timeline.entries().to_vec();
    for stop in &input.declarations.stops {
        entries.extend(stop.actions.iter().map(|action| (stop.at, action.clone())));
        if let Some(restart) = &stop.restart {
            let at = stop.at + restart.after_ticks;
            entries.extend(restart.actions.iter().map(|action| (at, action.clone())));
        }
    }
    Setup {
        seed: input.seed,
        orders: input.orders.clone(),
        timeline: Timeline::new(entries),
    }
}
