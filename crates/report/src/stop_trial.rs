//! Stops tried at many ticks of one run, which is made only once up to each of them.
//!
//! A run up to a stop does not know that it will be stopped. So it goes on from tick to tick, and at each
//! that is asked for a copy is stopped, started again and run to its end. What is found is what a whole run
//! with that stop finds.

use std::collections::BTreeSet;
use std::rc::Rc;

use hallwright_analysis::standstill::Standstill;
use hallwright_core::declare::{Declarations, Stop};
use hallwright_core::engine::{Engine, State, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;

use crate::findings::Standing;
use crate::measure::{Onward, Places, StopRecorder};
use crate::runner::{RunInput, setup_for};

/// What one stop came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StopTrial {
    /// When the hall was stopped.
    pub at: Tick,
    /// Ticks from the stop until it was safe to close; `None` if it never was before the restart.
    pub safe_to_close_ticks: Option<u64>,
    /// What became of everything by the end of the run.
    pub landed: Landed,
}

/// Where all goods are at the end of a run.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Landed {
    /// Items that are home.
    pub home_items: u64,
    /// Items that are anywhere else: lost, refused, misplaced, in overflow, on their way, or missing from a
    /// sieve.
    pub astray_items: u64,
}

/// Makes a run, and tries its first declared stop at each of these ticks, which ascend. Later stops are left
/// out. `tried` is called after each.
///
/// As in a run whose stop is moved, it ends as much later as its stop comes later than declared.
///
/// # Panics
///
/// If no stop is declared, or an invariant broke: a bug of the engine.
#[must_use]
pub fn try_stops(input: &RunInput<'_>, ticks: &[Tick], mut tried: impl FnMut()) -> Vec<StopTrial> {
    let declared = input.declarations.stops.first();
    let declared = declared.expect("only a declared stop is tried at other ticks");
    let without = Declarations::default();
    let setup = setup_for(&RunInput {
        declarations: &without,
        ..input.clone()
    });
    let mut engine = Engine::new(input.network, &setup);
    let trier = Trier {
        input,
        places: Places::new(input.declarations, input.network),
        standstill: Rc::new(Standstill::new(input.network)),
        filled_items: filled_items(input),
    };
    let mut trials = Vec::with_capacity(ticks.len());
    for at in ticks {
        engine.run_until(*at, &mut ());
        let later_ticks = at.0.saturating_sub(declared.at.0);
        let stop = Stop {
            at: *at,
            ..declared.clone()
        };
        trials.push(trier.trial(stop, &engine.save(), input.run_ticks + later_ticks));
        tried();
    }
    trials
}

/// How many item moves a run has, with all its stops left out: how much there is to do in it.
#[must_use]
pub fn count_moves(input: &RunInput<'_>) -> u64 {
    let without = Declarations::default();
    let setup = setup_for(&RunInput {
        declarations: &without,
        ..input.clone()
    });
    let mut moves = MoveCount(0);
    Engine::new(input.network, &setup).run_until(Tick(input.run_ticks), &mut moves);
    moves.0
}

/// Counts what moves.
struct MoveCount(u64);

impl Observer for MoveCount {
    fn event(&mut self, _moment: Moment, event: &Event, _view: &View<'_>) {
        self.0 += u64::from(event.is_item_event());
    }

    fn ticks_passed(&mut self, _from: Tick, _until: Tick, _work: u64, _view: &View<'_>) {}
}

/// Tries stops.
struct Trier<'a> {
    input: &'a RunInput<'a>,
    places: Places<'a>,
    standstill: Rc<Standstill>,
    /// What all sieves held at the start.
    filled_items: u64,
}

impl Trier<'_> {
    /// Stops a copy of the run, and starts it again.
    fn trial(&self, stop: Stop, state: &State, run_ticks: u64) -> StopTrial {
        let at = stop.at;
        let restart_at = stop.restart.as_ref();
        let restart_at = restart_at.map_or(Tick(run_ticks), |restart| at + restart.after_ticks);
        let declared = Declarations {
            sections: self.input.declarations.sections.clone(),
            stops: vec![stop],
            ..Declarations::default()
        };
        let setup = setup_for(&RunInput {
            declarations: &declared,
            ..self.input.clone()
        });
        let mut engine = Engine::resume(self.input.network, &setup, state);
        let mut recorder = StopRecorder::new(
            &declared,
            Tick(run_ticks),
            &setup.timeline,
            &self.standstill,
            &engine.view(),
        );
        let end = restart_at.min(Tick(run_ticks));
        loop {
            recorder.pause(Onward {
                engine: &engine,
                setup: &setup,
            });
            if engine.tick() >= end {
                break;
            }
            let next = recorder.next_pause().map_or(end, |pause| pause.min(end));
            engine.run_until(next, &mut recorder);
        }
        let found = recorder.found();
        let safe_to_close_ticks = found.and_then(|stop| stop.all.safe_to_close_ticks);
        engine.run_until(Tick(run_ticks), &mut ());
        if let Err(broken) = engine.check_conservation() {
            panic!("an invariant broke: {broken}");
        }
        StopTrial {
            at,
            safe_to_close_ticks,
            landed: self.landed(&engine),
        }
    }

    fn landed(&self, engine: &Engine<'_>) -> Landed {
        let view = engine.view();
        let mut landed = Landed::default();
        let mut filled_items = 0;
        for thing in self.places.things(&view) {
            match thing.standing {
                Standing::Home => landed.home_items += thing.count,
                Standing::OwnFilling => filled_items += thing.count,
                // Nobody misses what lies where it serves, or was taken.
                Standing::Serving | Standing::TakenOut => {}
                _ => landed.astray_items += thing.count,
            }
        }
        let kinds = (0..self.input.network.kinds().len()).map(KindId::from_index);
        let gone: u64 = kinds.map(|kind| view.lost(kind) + view.refused(kind)).sum();
        landed.astray_items += gone + self.filled_items.saturating_sub(filled_items);
        landed
    }
}

/// What all sieves hold at the start.
fn filled_items(input: &RunInput<'_>) -> u64 {
    let sieves: BTreeSet<PartId> = input.declarations.sieves.iter().copied().collect();
    let fillings = input.network.fillings().iter();
    let own = fillings.filter(|(part, _)| sieves.contains(part));
    own.map(|(_, filling)| u64::from(filling.count)).sum()
}
