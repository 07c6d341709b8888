//! Runs one network in both engines, tick by tick, and compares all that can be seen.
//!
//! Three runs of the fast engine are held against each other and against the reference engine:
//! one that steps through every tick, one that leaps, and one that goes on from a saved state.

use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};

use hallwright_core::engine::{Engine, State, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_reference::{Fault, ReferenceEngine};

use crate::blueprint::Blueprint;
use crate::draw::Draw;

/// The first thing in which two runs differ.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Divergence {
    /// The tick in which it shows.
    pub tick: Tick,
    /// Which runs differ.
    pub between: Runs,
    /// In what they differ.
    pub difference: Disagreement,
}

/// Two runs that ought to be the same.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Runs {
    /// The fast engine, stepping, and the reference engine.
    CoreAndReference,
    /// The fast engine, stepping, and the same engine leaping.
    SteppingAndLeaping,
    /// The fast engine, stepping, and the same engine going on from a saved state.
    SteppingAndResumed,
    /// One engine contradicts itself.
    Alone,
}

/// In what two runs differ. The first of each pair belongs to the run named first.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Disagreement {
    /// An event; `None` where a run has no more of them in that tick or leap.
    Event(Option<(Moment, Event)>, Option<(Moment, Event)>),
    /// The work of a tick.
    Work(u64, u64),
    /// The work of one hopper since the start.
    HopperWork(PartId, u64, u64),
    /// The digest at the end of a tick.
    Digest(u64, u64),
    /// The whole state at the end.
    State,
    /// Items came from nowhere or went nowhere.
    Conservation(String),
    /// Something happened before the tick that was announced as the next one.
    TooEarly(Option<Tick>),
    /// An engine panicked.
    Panic(String),
}

impl fmt::Display for Divergence {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let runs = match self.between {
            Runs::CoreAndReference => "engine and reference",
            Runs::SteppingAndLeaping => "stepping and leaping",
            Runs::SteppingAndResumed => "stepping and resuming",
            Runs::Alone => "the engine and itself",
        };
        write!(formatter, "tick {}, {runs}: ", self.tick)?;
        match &self.difference {
            Disagreement::Event(first, second) => {
                let in_words = |side: &Option<(Moment, Event)>| match side {
                    Some((moment, event)) => {
                        format!(
                            "tick {} phase {} {event:?}",
                            moment.tick, moment.phase as u8
                        )
                    }
                    None => "no further event".to_owned(),
                };
                let (first, second) = (in_words(first), in_words(second));
                write!(formatter, "events\n  first:  {first}\n  second: {second}")
            }
            Disagreement::Work(first, second) => write!(formatter, "work {first} and {second}"),
            Disagreement::HopperWork(hopper, first, second) => {
                write!(formatter, "work of {hopper} {first} and {second}")
            }
            Disagreement::Digest(first, second) => {
                write!(formatter, "digests {first:#018x} and {second:#018x}")
            }
            Disagreement::State => write!(formatter, "states at the end"),
            Disagreement::Conservation(sums) => write!(formatter, "conservation: {sums}"),
            Disagreement::TooEarly(due) => {
                write!(formatter, "an event, though the next tick due was {due:?}")
            }
            Disagreement::Panic(message) => write!(formatter, "panic: {message}"),
        }
    }
}

/// Runs a network in all ways and compares. `observer` watches the fast engine as it steps.
///
/// # Errors
///
/// The first difference, or the panic that ended a run.
pub fn compare(
    blueprint: &Blueprint,
    fault: Option<Fault>,
    observer: &mut dyn Observer,
) -> Result<(), Divergence> {
    let (network, setup) = built(blueprint)?;
    compare_built(&network, &setup, blueprint.length_ticks, fault, observer)
}

/// As [`compare`], of a network that is built already, for so many ticks.
///
/// # Errors
///
/// As [`compare`].
pub fn compare_built(
    network: &Network,
    setup: &Setup,
    length_ticks: u64,
    fault: Option<Fault>,
    observer: &mut dyn Observer,
) -> Result<(), Divergence> {
    guarded(|| {
        let history = step_both(network, setup, length_ticks, fault, observer)?;
        leap(network, setup, &history)?;
        resume(network, setup, &history)
    })
}

/// Steps both engines through a network and compares, without leaping and resuming.
///
/// # Errors
///
/// The first difference, or the panic that ended a run.
pub fn compare_stepping(blueprint: &Blueprint, fault: Option<Fault>) -> Result<(), Divergence> {
    let (network, setup) = built(blueprint)?;
    guarded(|| step_both(&network, &setup, blueprint.length_ticks, fault, &mut ()).map(drop))
}

fn built(blueprint: &Blueprint) -> Result<(Network, Setup), Divergence> {
    let built = blueprint.build();
    built.map_err(|errors| panicked(format!("it does not build: {errors:?}")))
}

/// Turns a panic into a difference.
fn guarded(run: impl FnOnce() -> Result<(), Divergence>) -> Result<(), Divergence> {
    catch_unwind(AssertUnwindSafe(run)).unwrap_or_else(|payload| {
        let message = payload
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| {
                payload
                    .downcast_ref::<&str>()
                    .map(|text| (*text).to_owned())
            })
            .unwrap_or_default();
        Err(panicked(message))
    })
}

fn panicked(message: String) -> Divergence {
    Divergence {
        tick: Tick(0),
        between: Runs::Alone,
        difference: Disagreement::Panic(message),
    }
}

/// What a run reported its observer since it was last asked.
#[derive(Default)]
struct Record {
    events: Vec<(Moment, Event)>,
    /// The work of each tick that is over.
    work: Vec<u64>,
}

impl Observer for Record {
    fn event(&mut self, moment: Moment, event: &Event, _view: &View<'_>) {
        self.events.push((moment, *event));
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, _view: &View<'_>) {
        let ticks = usize::try_from(until - from).unwrap_or(usize::MAX);
        self.work.extend(std::iter::repeat_n(work_per_tick, ticks));
    }
}

/// A whole run, to hold other runs against.
struct History {
    events: Vec<(Moment, Event)>,
    /// For each tick, how many events were over when it began; one more at the end.
    events_before: Vec<usize>,
    work: Vec<u64>,
    digests: Vec<u64>,
    /// The state half way.
    half_way: State,
    /// The tick that was next half way.
    half_way_tick: usize,
    end: State,
}

/// Steps both engines through every tick.
fn step_both(
    network: &Network,
    setup: &Setup,
    length_ticks: u64,
    fault: Option<Fault>,
    observer: &mut dyn Observer,
) -> Result<History, Divergence> {
    let mut core = Engine::new(network, setup);
    let mut reference = ReferenceEngine::with_fault(network, setup, fault);
    let mut history = History {
        events: Vec::new(),
        events_before: vec![0],
        work: Vec::new(),
        digests: Vec::new(),
        half_way: core.save(),
        half_way_tick: 0,
        end: core.save(),
    };
    same_digest(
        Tick(0),
        Runs::CoreAndReference,
        core.view().digest(),
        reference.digest(),
    )?;
    for number in 0..length_ticks {
        let tick = Tick(number);
        if number == length_ticks / 2 {
            history.half_way = core.save();
            history.half_way_tick = history.digests.len();
        }
        let due = core.next_due();
        let mut record = Record::default();
        core.step_watched(&mut (&mut record, &mut *observer));
        let events = reference.step();
        let runs = Runs::CoreAndReference;
        same_events(tick, runs, &record.events, &events)?;
        if !record.events.is_empty() && due.is_none_or(|due| due > tick) {
            return Err(alone(tick, Disagreement::TooEarly(due)));
        }
        let work: u64 = record.work.iter().sum();
        same_work(tick, runs, &[work], &[reference.work_of_last_tick()])?;
        let digest = core.view().digest();
        same_digest(tick, runs, digest, reference.digest())?;
        core.check_conservation()
            .map_err(|sums| alone(tick, Disagreement::Conservation(sums)))?;
        history.events.extend(record.events);
        history.events_before.push(history.events.len());
        history.work.push(work);
        history.digests.push(digest);
    }
    same_hopper_work(network, &core, &reference)?;
    history.end = core.save();
    Ok(history)
}

/// Leaps through the run, by up to 40 ticks at a time.
fn leap(network: &Network, setup: &Setup, history: &History) -> Result<(), Divergence> {
    let mut draw = Draw::new(setup.seed);
    let mut engine = Engine::new(network, setup);
    let length = history.digests.len();
    let mut from = 0;
    let runs = Runs::SteppingAndLeaping;
    while from < length {
        let until = length.min(from + draw.between(1, 40) as usize);
        let mut record = Record::default();
        engine.run_watched(Tick(until as u64), &mut record);
        let (first, last) = (history.events_before[from], history.events_before[until]);
        let tick = Tick(until as u64 - 1);
        same_events(tick, runs, &history.events[first..last], &record.events)?;
        same_work(tick, runs, &history.work[from..until], &record.work)?;
        same_digest(
            tick,
            runs,
            history.digests[until - 1],
            engine.view().digest(),
        )?;
        from = until;
    }
    same_state(runs, history, &engine)
}

/// Goes on from the state half way, stepping.
fn resume(network: &Network, setup: &Setup, history: &History) -> Result<(), Divergence> {
    let mut engine = Engine::resume(network, setup, &history.half_way);
    let runs = Runs::SteppingAndResumed;
    for number in history.half_way_tick..history.digests.len() {
        let tick = Tick(number as u64);
        let mut record = Record::default();
        engine.step_watched(&mut record);
        let (first, last) = (
            history.events_before[number],
            history.events_before[number + 1],
        );
        same_events(tick, runs, &history.events[first..last], &record.events)?;
        same_work(tick, runs, &history.work[number..=number], &record.work)?;
        same_digest(tick, runs, history.digests[number], engine.view().digest())?;
    }
    same_state(runs, history, &engine)
}

fn alone(tick: Tick, difference: Disagreement) -> Divergence {
    Divergence {
        tick,
        between: Runs::Alone,
        difference,
    }
}

fn same_events(
    tick: Tick,
    between: Runs,
    first: &[(Moment, Event)],
    second: &[(Moment, Event)],
) -> Result<(), Divergence> {
    if first == second {
        return Ok(());
    }
    let alike = first
        .iter()
        .zip(second)
        .take_while(|(first, second)| first == second)
        .count();
    let (first, second) = (first.get(alike).copied(), second.get(alike).copied());
    let at = first
        .into_iter()
        .chain(second)
        .map(|(moment, _)| moment.tick)
        .min();
    Err(Divergence {
        tick: at.unwrap_or(tick),
        between,
        difference: Disagreement::Event(first, second),
    })
}

fn same_work(tick: Tick, between: Runs, first: &[u64], second: &[u64]) -> Result<(), Divergence> {
    if first == second {
        return Ok(());
    }
    let differs = first
        .iter()
        .zip(second)
        .find(|(first, second)| first != second);
    let (first, second) =
        differs.map_or((first.len() as u64, second.len() as u64), |(a, b)| (*a, *b));
    Err(Divergence {
        tick,
        between,
        difference: Disagreement::Work(first, second),
    })
}

fn same_digest(tick: Tick, between: Runs, first: u64, second: u64) -> Result<(), Divergence> {
    if first == second {
        return Ok(());
    }
    Err(Divergence {
        tick,
        between,
        difference: Disagreement::Digest(first, second),
    })
}

fn same_hopper_work(
    network: &Network,
    core: &Engine<'_>,
    reference: &ReferenceEngine,
) -> Result<(), Divergence> {
    let view = core.view();
    for (id, part) in network.parts() {
        if !matches!(part, Part::Hopper(_)) {
            continue;
        }
        let (first, second) = (view.work_units(id), reference.work_units(id));
        if first != second {
            return Err(Divergence {
                tick: core.tick(),
                between: Runs::CoreAndReference,
                difference: Disagreement::HopperWork(id, first, second),
            });
        }
    }
    Ok(())
}

fn same_state(between: Runs, history: &History, engine: &Engine<'_>) -> Result<(), Divergence> {
    if history.end == engine.save() {
        return Ok(());
    }
    Err(Divergence {
        tick: engine.tick(),
        between,
        difference: Disagreement::State,
    })
}
