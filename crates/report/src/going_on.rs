//! Finds what never gets home, by going on from a copy of the end.
//!
//! If the run ended stopped, the hall is switched on again: by the actions of the restart, or, if none
//! is declared, by undoing those of the stop. Nothing comes in any more. It goes on until nothing moves,
//! until it does the same again, or for two hours. What then has not come home is stuck, or backed up if
//! there is no room for it.

mod fates;
mod switch_on;

use hallwright_core::declare::Declarations;
use hallwright_core::engine::{Engine, State};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

use crate::findings::{GoingOn, GoingOnEnd};
use crate::left_behind::round_ticks;
use crate::measure::{Places, Thing};
use hallwright_analysis::certainty::certainty_ticks;
use hallwright_analysis::pulses::Pulses;
use hallwright_analysis::repeats::RepeatWatch;

/// For how long it goes on at most, in seconds.
const MOST_SECONDS: u64 = 7_200;

/// Goes on from the end of a run and says what does not get home. `last_move`: when anything moved last.
pub(crate) fn going_on(
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    engine: &Engine<'_>,
    last_move: Option<Tick>,
) -> GoingOn {
    let places = Places::new(declared, network);
    let at_end = places.things(&engine.view());
    let start = engine.tick();
    let moved_lately = last_move.is_some_and(|last| start - last <= round_ticks(network));
    if unsettled(&at_end) == 0 && !moved_lately {
        return GoingOn::default();
    }
    let gone = gone_on(network, setup, &places, engine);
    let copy = Engine::resume(network, &gone.setup, &gone.state);
    let fates = fates::Fates {
        network,
        declared,
        at_end: &engine.view(),
        after: &copy.view(),
    };
    GoingOn {
        ended: gone.ended,
        ticks: gone.ticks,
        was_stopped: gone.was_stopped,
        ..fates.found(&at_end, &places.things(&copy.view()))
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
    ended: GoingOnEnd,
    ticks: u64,
    was_stopped: bool,
}

/// Goes on from the end of a run, as what is stuck is found. For those who ask why it is.
#[must_use]
pub fn went_on(
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    engine: &Engine<'_>,
) -> GoneOn {
    gone_on(network, setup, &Places::new(declared, network), engine)
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
    gone_on_with(None, network, setup, &places, engine)
}

fn gone_on(network: &Network, setup: &Setup, places: &Places<'_>, engine: &Engine<'_>) -> GoneOn {
    let start = engine.tick();
    let actions = switch_on::actions(network, places.declared(), &setup.timeline, start);
    gone_on_with(actions, network, setup, places, engine)
}

/// With what the operator does at once, if the hall is stopped and is to go on.
fn gone_on_with(
    actions: Option<Vec<Action>>,
    network: &Network,
    setup: &Setup,
    places: &Places<'_>,
    engine: &Engine<'_>,
) -> GoneOn {
    let start = engine.tick();
    let was_stopped = actions.is_some();
    let done = setup.timeline.entries().iter();
    let mut entries: Vec<_> = done.filter(|(tick, _)| *tick < start).cloned().collect();
    let actions = actions.into_iter().flatten();
    entries.extend(actions.map(|action| (start, action)));
    let onward = Setup {
        timeline: Timeline::new(entries),
        ..setup.clone()
    };
    let mut copy = Engine::branch(network, &onward, engine);
    let (ended, period_ticks) = go_on(network, &mut copy);
    let state = worst_of_round(&mut copy, period_ticks, places);
    GoneOn {
        ended,
        ticks: copy.tick() - start,
        was_stopped,
        state,
        period_ticks,
        setup: onward,
    }
}

/// Runs until nothing moves any more, until it repeats itself, or for as long as it may.
/// How long it takes to do the same again, if it does.
fn go_on(network: &Network, engine: &mut Engine<'_>) -> (GoingOnEnd, u64) {
    let start = engine.tick();
    let most_ticks = MOST_SECONDS * u64::from(network.rules().ticks_per_second);
    let step_ticks = round_ticks(network).min(most_ticks).max(1);
    let certain_ticks = certainty_ticks(network).max(step_ticks);
    let mut pulses = Pulses::new(network);
    let mut watch = RepeatWatch::new(start);
    loop {
        let passed = engine.tick() - start;
        if passed >= most_ticks {
            return (GoingOnEnd::Bound, 0);
        }
        let next = engine.tick() + step_ticks.min(most_ticks - passed);
        engine.run_until(next, &mut watch);
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
/// and is not at home there. Of what does not go round, the state as it is.
fn worst_of_round(engine: &mut Engine<'_>, period_ticks: u64, places: &Places<'_>) -> State {
    let mut most = unsettled(&places.things(&engine.view()));
    let mut worst = engine.save();
    let step_ticks = period_ticks.div_ceil(MOMENTS).max(1);
    let end = engine.tick() + period_ticks;
    while engine.tick() + step_ticks <= end {
        engine.run_until(engine.tick() + step_ticks, &mut ());
        let here = unsettled(&places.things(&engine.view()));
        if here > most {
            most = here;
            worst = engine.save();
        }
    }
    worst
}

/// How many of these have some way to go.
fn unsettled(things: &[Thing]) -> u64 {
    let unsettled = things.iter().filter(|thing| thing.standing.is_unsettled());
    unsettled.map(|thing| thing.count).sum()
}
