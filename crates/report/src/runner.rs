//! Runs a network and takes every measurement.

use hallwright_core::declare::Declarations;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::Observer;
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

use crate::findings::{Findings, Measured, StopFinding};
use crate::going_on::going_on;
use crate::left_behind::left_behind;
use crate::measure::{Afterwards, Onward, Recorder};
use hallwright_analysis::homes::homes;
use hallwright_analysis::limits::{Cleared, LimitFinder};

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
pub fn run_observed<O: Observer + ?Sized>(
    input: &RunInput<'_>,
    extra: &mut O,
    progress: &mut dyn FnMut(Tick),
) -> Findings {
    let setup = setup_for(input);
    let measured = drive(input, &setup, extra, progress, &mut |_| {});
    Findings::new(measured, input.declarations, None)
}

/// As [`run_observed`], and reports as well what the network allows at best.
///
/// # Panics
///
/// As [`run`].
pub fn run_with_limits<O: Observer + ?Sized>(
    input: &RunInput<'_>,
    extra: &mut O,
    progress: &mut dyn FnMut(Tick),
) -> Findings {
    let setup = setup_for(input);
    let declared = input.declarations;
    let mut finder = LimitFinder::new(input.network, declared, &setup.timeline, input.run_ticks);
    let measured = drive(input, &setup, extra, progress, &mut |view| {
        finder.stopped(view)
    });
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
        engine.run_until(recorder.next_pause()?, &mut recorder);
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

/// Runs to the end. `stopped` is shown the state at the beginning of the tick of each stop.
fn drive<O: Observer + ?Sized>(
    input: &RunInput<'_>,
    setup: &Setup,
    extra: &mut O,
    progress: &mut dyn FnMut(Tick),
    stopped: &mut dyn FnMut(&View<'_>),
) -> Measured {
    let mut engine = Engine::new(input.network, setup);
    let recorder = Recorder::new(
        input.declarations,
        input.run_ticks,
        &setup.timeline,
        &engine.view(),
    );
    let mut observers = (recorder, extra);
    let step_ticks = input.run_ticks.div_ceil(PROGRESS_STEPS).max(1);
    let mut stops = input
        .declarations
        .stops
        .iter()
        .map(|stop| stop.at)
        .peekable();
    loop {
        observers.0.pause(Onward {
            engine: &engine,
            setup,
        });
        if engine.tick().0 >= input.run_ticks {
            break;
        }
        while stops.next_if(|at| *at <= engine.tick()).is_some() {
            stopped(&engine.view());
        }
        let mut next = (engine.tick() + step_ticks).min(Tick(input.run_ticks));
        for at in [stops.peek().copied(), observers.0.next_pause()] {
            next = at.map_or(next, |at| next.min(at));
        }
        engine.run_until(next, &mut observers);
        progress(engine.tick());
    }
    if let Err(broken) = engine.check_conservation() {
        panic!("an invariant broke: {broken}");
    }
    observers.0.settle(Onward {
        engine: &engine,
        setup,
    });
    let is_over = engine.next_due().is_none();
    let (network, declared) = (input.network, input.declarations);
    let after = Afterwards {
        left_behind: left_behind(network, setup, declared, &engine),
        going_on: going_on(network, setup, declared, &engine, observers.0.last_move()),
        homes: homes(network, declared, &setup.timeline, engine.tick()),
    };
    let found = observers.0.finish(is_over, after, &engine.view());
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
