//! Runs that are alike until they are stopped: what comes before is run once.

use std::borrow::Cow;
use std::ops::ControlFlow;

use hallwright_analysis::homes::HomesOfRuns;
use hallwright_core::engine::Engine;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;

use super::{Begun, RunInput, Wanted, begin, conclude, drive, go_on, goes_on, setup_for};
use crate::figures::Of;
use crate::findings::Findings;
use crate::goals::asked;
use crate::measure::{Recorder, sample_ticks};
use crate::verdicts::asked_of_all;

/// Makes runs that are alike until they are stopped, and what comes before only once: `each` is given what every
/// one of them found, in their order, for as long as it goes on. It is what [`run`] finds, as far as it is wanted.
///
/// Each is [alike](are_alike) to the first of them, and their first stops ascend.
///
/// # Panics
///
/// As [`run`], and if they are not alike.
pub fn run_alike(
    inputs: &[RunInput<'_>],
    wanted: Wanted,
    each: &mut dyn FnMut(Findings) -> ControlFlow<()>,
) {
    let mut homes = HomesOfRuns::default();
    let measured: Measured = match wanted {
        Wanted::Everything => everything,
        Wanted::Judgement => judged,
    };
    branches(inputs, measured, &mut |input, setup, begun| {
        let over = drive(input, setup, begun, &mut (), &mut |_| {}, &mut |_, _| {
            goes_on(None)
        });
        let measured = conclude(input, setup, wanted, over, &mut homes);
        each(Findings::new(measured, input.declarations, None))
    });
}

/// What came of a run of which nothing is asked but whether every verdict is as it should be.
#[derive(Clone, PartialEq, Debug)]
pub enum Decided {
    /// It was run to its end: what was found, as far as a [judgement](Wanted::Judgement) goes.
    AtTheEnd(Box<Findings>),
    /// A verdict is missed for good, whatever comes behind this tick, and the run ended there.
    Missed {
        /// The next tick.
        at: Tick,
        /// The verdict, by its place among those of the whole run.
        verdict: usize,
    },
}

/// As [`run_alike`], but each run ends as soon as a verdict is missed for good.
///
/// # Panics
///
/// As [`run_alike`].
pub fn decide_alike(inputs: &[RunInput<'_>], each: &mut dyn FnMut(Decided) -> ControlFlow<()>) {
    let mut homes = HomesOfRuns::default();
    branches(inputs, everything, &mut |input, setup, begun| {
        let asked = asked_of_all(input.declarations);
        let mut missed = None;
        let mut halt = |engine: &Engine<'_>, recorder: &Recorder<'_>| {
            let so_far = recorder.so_far(engine.tick());
            missed = asked.iter().position(|(_, goal)| so_far.misses(goal));
            match missed {
                Some(_) => ControlFlow::Break(()),
                None => goes_on(None),
            }
        };
        let over = drive(input, setup, begun, &mut (), &mut |_| {}, &mut halt);
        if let Some(verdict) = missed {
            let at = over.0.tick();
            return each(Decided::Missed { at, verdict });
        }
        let measured = conclude(input, setup, Wanted::Judgement, over, &mut homes);
        let findings = Findings::new(measured, input.declarations, None);
        each(Decided::AtTheEnd(Box::new(findings)))
    });
}

/// What is done with a run where it is stopped first.
type Branch<'f> = dyn for<'s> FnMut(&RunInput<'s>, &'s Setup, Begun<'s>) -> ControlFlow<()> + 'f;

/// What is measured of all that is declared.
type Measured = fn(&Declarations) -> Cow<'_, Declarations>;

fn everything(declared: &Declarations) -> Cow<'_, Declarations> {
    Cow::Borrowed(declared)
}

/// What is declared, as far as a judgement measures it: without the flows, gathers and desks that no verdict is
/// about. Each keeps its place.
fn judged(declared: &Declarations) -> Cow<'_, Declarations> {
    let all = asked_of_all(declared).into_iter();
    let asked: Vec<Of> = all
        .map(|(place, goal)| asked(place.unwrap_or(usize::MAX), &goal).of)
        .collect();
    let mut judged = declared.clone();
    for (place, flow) in judged.flows.iter_mut().enumerate() {
        if !asked.contains(&Of::Flow(place)) {
            flow.into.clear();
        }
    }
    for (place, gather) in judged.gathers.iter_mut().enumerate() {
        if !asked.contains(&Of::Gather(place)) {
            gather.at.clear();
        }
    }
    for (place, desk) in judged.desks.iter_mut().enumerate() {
        if !asked.contains(&Of::Desk(place)) {
            desk.counter.clear();
        }
    }
    Cow::Owned(judged)
}

/// Gives each of these runs where it is stopped first, for as long as it goes on: what comes before is run once.
fn branches(inputs: &[RunInput<'_>], measured: Measured, each: &mut Branch<'_>) {
    let Some(first) = inputs.first() else {
        return;
    };
    let unstopped = Declarations {
        stops: Vec::new(),
        ..measured(first.declarations).into_owned()
    };
    let shared = RunInput {
        declarations: &unstopped,
        ..first.clone()
    };
    let setup = setup_for(&shared);
    let (mut engine, mut recorder) = begin(&shared, &setup);
    for input in inputs {
        assert!(
            are_alike(first, input),
            "runs that share their beginning are alike in it"
        );
        engine.run_watched(first_stop(input), &mut recorder);
        let setup = setup_for(input);
        let declared = measured(input.declarations);
        let declared = RunInput {
            declarations: &declared,
            ..input.clone()
        };
        let begun = go_on(
            &declared,
            &setup,
            Engine::branch(input.network, &setup, &engine),
            recorder.kept(),
        );
        if each(input, &setup, begun).is_break() {
            return;
        }
    }
}

/// Whether two runs of what is declared alike but for stops are alike until one of them is stopped: in all
/// that happens, and in when it is measured.
#[must_use]
pub fn are_alike(one: &RunInput<'_>, other: &RunInput<'_>) -> bool {
    std::ptr::eq(one.network, other.network)
        && std::ptr::eq(one.timeline, other.timeline)
        && one.seed == other.seed
        && one.orders == other.orders
        && sample_ticks(one.run_ticks) == sample_ticks(other.run_ticks)
}

/// When a run is stopped first, or its end.
fn first_stop(input: &RunInput<'_>) -> Tick {
    let stop = input.declarations.stops.first();
    stop.map_or(Tick(input.run_ticks), |stop| {
        stop.at.min(Tick(input.run_ticks))
    })
}
