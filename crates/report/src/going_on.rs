//! Finds what never gets home, by going on from a copy of the end.
//!
//! If the run ended stopped, the hall is switched on again: by the actions of the restart, or, if none
//! is declared, by undoing those of the stop. Nothing comes in any more. It goes on until nothing moves,
//! until it does the same again, or for two hours. What then has not come home is stuck, or backed up if
//! there is no room for it.

mod fates;
mod switch_on;

use hallwright_core::engine::{Engine, State};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::Declarations;

use crate::findings::{GoingOn, GoingOnEnd};
use crate::left_behind::round_ticks;
use crate::measure::{Look, Onward, Places, Thing};
use hallwright_analysis::certainty::certainty_ticks;
use hallwright_analysis::pulses::Pulses;
use hallwright_analysis::repeats::RepeatWatch;

/// For how long it goes on at most, in seconds.
const MOST_SECONDS: u64 = 7_200;

/// Goes on from the end of a run and says what does not get home. `last_move`: when anything moved last.
/// `beside`: another look at what the hall does by itself; it sees all of it if this is what is done here.
pub(crate) fn going_on(
    network: &Network,
    Onward { engine, setup }: Onward<'_>,
    declared: &Declarations,
    last_move: Option<Tick>,
    beside: Option<&mut Look<'_>>,
) -> GoingOn {
    let places = Places::new(declared, network);
    let at_end = places.things(&engine.view());
    let start = engine.tick();
    let moved_lately = last_move.is_some_and(|last| start - last <= round_ticks(network));
    if unsettled(&at_end) == 0 && !moved_lately {
        return GoingOn::default();
    }
    let onward = switched_on(network, setup, &places, start);
    let beside = beside.filter(|_| !onward.was_stopped);
    let gone = gone_on(network, &onward, &places, engine, beside);
    let fates = fates::Fates {
        network,
        declared,
        at_end: &engine.view(),
        after: &gone.engine.view(),
    };
    GoingOn {
        ended: gone.ended,
        ticks: gone.ticks,
        was_stopped: onward.was_stopped,
        ..fates.found(&at_end, &places.things(&gone.engine.view()))
    }
}

/// The hall when it had gone on after the end of a run.
pub struct GoneOn {
    /// What was done before: the actions of the run, and those that switched the hall on again.
    pub setup: Setup,
    /// What it had come to; of what goes round, when most was on its way.
    pub state: State,
    /// After how long it begins to do the same again; 0 if it does not.
    pub period_ticks: u64,
}

/// Goes on from the end of a run, as what is stuck is found. For those who ask why it is.
#[must_use]
pub fn went_on(
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    engine: &Engine<'_>,
) -> GoneOn {
    let places = Places::new(declared, network);
    let onward = switched_on(network, setup, &places, engine.tick());
    gone_on(network, &onward, &places, engine, None).kept(&onward)
}

/// Goes on from the end of a run with nobody there: what is stopped stays so.
#[must_use]
pub fn came_to_rest(
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    engine: &Engine<'_>,
) -> GoneOn {
    let places = Places::new(declared, network);
    let onward = GoingOnSetup::with(None, setup, engine.tick());
    gone_on(network, &onward, &places, engine, None).kept(&onward)
}

/// What is done in a run that goes on.
struct GoingOnSetup {
    setup: Setup,
    /// Whether it ended stopped and is switched on again.
    was_stopped: bool,
}

impl GoingOnSetup {
    /// With what the operator does at once, if the hall is stopped and is to go on. Nothing else is done.
    fn with(actions: Option<Vec<Action>>, setup: &Setup, start: Tick) -> Self {
        let was_stopped = actions.is_some();
        let done = setup.timeline.entries().iter();
        let mut entries: Vec<_> = done.filter(|(tick, _)| *tick < start).cloned().collect();
        let actions = actions.into_iter().flatten();
        entries.extend(actions.map(|action| (start, action)));
        let setup = Setup {
            timeline: Timeline::new(entries),
            ..setup.clone()
        };
        Self { setup, was_stopped }
    }
}

fn switched_on(network: &Network, setup: &Setup, places: &Places<'_>, start: Tick) -> GoingOnSetup {
    let actions = switch_on::actions(network, places.declared(), &setup.timeline, start);
    GoingOnSetup::with(actions, setup, start)
}

/// A copy that went on.
struct Gone<'a> {
    /// What it had come to; of what goes round, when most was on its way.
    engine: Engine<'a>,
    ended: GoingOnEnd,
    period_ticks: u64,
    /// For how long it went on.
    ticks: u64,
}

impl Gone<'_> {
    fn kept(self, onward: &GoingOnSetup) -> GoneOn {
        GoneOn {
            setup: onward.setup.clone(),
            state: self.engine.save(),
            period_ticks: self.period_ticks,
        }
    }
}

fn gone_on<'a>(
    network: &'a Network,
    onward: &'a GoingOnSetup,
    places: &Places<'_>,
    engine: &Engine<'_>,
    mut beside: Option<&mut Look<'_>>,
) -> Gone<'a> {
    let mut copy = Engine::branch(network, &onward.setup, engine);
    let mut watch = RepeatWatch::new(copy.tick());
    let (ended, period_ticks) = go_on(network, &mut copy, &mut watch, beside.as_deref_mut());
    if let Some(look) = beside.filter(|look| !look.is_over()) {
        let mut further = Engine::branch(network, &onward.setup, &copy);
        look.finish(&mut further, &mut watch);
    }
    let worst = (period_ticks > 0)
        .then(|| worst_of_round(network, &onward.setup, &mut copy, period_ticks, places));
    Gone {
        ended,
        period_ticks,
        ticks: copy.tick() - engine.tick(),
        engine: worst.unwrap_or(copy),
    }
}

/// Runs until nothing moves any more, until it repeats itself, or for as long as it may.
/// How long it takes to do the same again, if it does.
fn go_on(
    network: &Network,
    engine: &mut Engine<'_>,
    watch: &mut RepeatWatch,
    mut beside: Option<&mut Look<'_>>,
) -> (GoingOnEnd, u64) {
    let start = engine.tick();
    let most_ticks = MOST_SECONDS * u64::from(network.rules().ticks_per_second);
    let step_ticks = round_ticks(network).min(most_ticks).max(1);
    let certain_ticks = certainty_ticks(network).max(step_ticks);
    let mut pulses = Pulses::new(network);
    loop {
        let passed = engine.tick() - start;
        if passed >= most_ticks {
            return (GoingOnEnd::Bound, 0);
        }
        let next = engine.tick() + step_ticks.min(most_ticks - passed);
        match &mut beside {
            Some(look) => look.go_on(engine, watch, next),
            None => engine.run_until(next, watch),
        }
        if engine.next_due().is_none() {
            return (GoingOnEnd::Quiet, 0);
        }
        if let Some(repeat) = watch.repeats() {
            return match repeat.moves {
                true => (GoingOnEnd::Repeats, repeat.period_ticks),
                false => (GoingOnEnd::Quiet, 0),
            };
        }
        let Some(calm_since) = engine.view().no_spell_since() else {
            continue;
        };
        let still_ticks = engine.tick() - watch.last_move().max(calm_since);
        // What is loose is lost some day, however long that takes.
        let is_loose = engine.view().loose_stacks().next().is_some();
        if still_ticks > certain_ticks && !is_loose && !pulses.any_pending(&engine.view()) {
            return (GoingOnEnd::Quiet, 0);
        }
    }
}

/// So many moments of a round are looked at.
const MOMENTS: u64 = 400;

/// The moment of a round at which most is on the way: what goes round passes its home again and again
/// and is not at home there. The round is gone through.
fn worst_of_round<'a>(
    network: &'a Network,
    setup: &'a Setup,
    engine: &mut Engine<'a>,
    period_ticks: u64,
    places: &Places<'_>,
) -> Engine<'a> {
    let mut most = unsettled(&places.things(&engine.view()));
    let mut worst = Engine::branch(network, setup, engine);
    let step_ticks = period_ticks.div_ceil(MOMENTS).max(1);
    let end = engine.tick() + period_ticks;
    while engine.tick() + step_ticks <= end {
        engine.run_unwatched(engine.tick() + step_ticks);
        let here = unsettled(&places.things(&engine.view()));
        if here > most {
            most = here;
            worst = Engine::branch(network, setup, engine);
        }
    }
    worst
}

/// How many of these have some way to go.
fn unsettled(things: &[Thing]) -> u64 {
    let unsettled = things.iter().filter(|thing| thing.standing.is_unsettled());
    unsettled.map(|thing| thing.count).sum()
}
