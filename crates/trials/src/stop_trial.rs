//! Stops tried at many ticks of one run, which is made only once up to each of them.
//!
//! A run up to a stop does not know that it will be stopped. So it goes on from tick to tick, and at each
//! that is asked for a copy is stopped, started again and run to its end. What is found is what a whole run
//! with that stop finds.

use std::ops::ControlFlow;

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::KindId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Stop};
use hallwright_report::findings::Standing;
use hallwright_report::measure::AccountWatch;
use hallwright_report::{RunInput, setup_for, watch_stop};

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
/// out. `go_on` is asked before each: what is left is not tried once it breaks off.
///
/// As in a run whose stop is moved, it ends as much later as its stop comes later than declared.
///
/// # Panics
///
/// If no stop is declared, or an invariant broke: a bug of the engine.
#[must_use]
pub fn try_stops(
    input: &RunInput<'_>,
    ticks: &[Tick],
    mut go_on: impl FnMut() -> ControlFlow<()>,
) -> Vec<StopTrial> {
    let declared = input.declarations.stops.first();
    let declared = declared.expect("only a declared stop is tried at other ticks");
    let without = Declarations::default();
    let setup = setup_for(&RunInput {
        declarations: &without,
        ..input.clone()
    });
    let mut engine = Engine::new(input.network, &setup);
    let account = AccountWatch::new(input.declarations, &engine.view());
    let at_start = account.account(&engine.view());
    let trier = Trier {
        input,
        account,
        filled_items: at_start.amount(Standing::OwnFilling).goods_and_boxes(),
    };
    let mut trials = Vec::with_capacity(ticks.len());
    for at in ticks {
        if go_on().is_break() {
            break;
        }
        engine.run_unwatched(*at);
        let later_ticks = at.0.saturating_sub(declared.at.0);
        let stop = Stop {
            at: *at,
            ..declared.clone()
        };
        trials.push(trier.trial(stop, &engine, input.run_ticks + later_ticks));
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
    Engine::new(input.network, &setup).run_watched(Tick(input.run_ticks), &mut moves);
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
    /// It is asked about states that it did not see come, so it knows nothing of what was lost.
    account: AccountWatch<'a>,
    /// What all sieves held at the start.
    filled_items: u64,
}

impl Trier<'_> {
    /// Stops a copy of the run, and starts it again.
    fn trial(&self, stop: Stop, run: &Engine<'_>, run_ticks: u64) -> StopTrial {
        let at = stop.at;
        // Nothing but the stop is measured, so nothing else is declared.
        let declared = Declarations {
            sections: self.input.declarations.sections.clone(),
            stops: vec![stop],
            ..Declarations::default()
        };
        let setup = setup_for(&RunInput {
            declarations: &declared,
            ..self.input.clone()
        });
        let mut engine = Engine::branch(self.input.network, &setup, run);
        let found = watch_stop(&declared, run_ticks, &setup, &mut engine);
        engine.run_unwatched(Tick(run_ticks));
        if let Err(broken) = engine.check_conservation() {
            panic!("an invariant broke: {broken}");
        }
        StopTrial {
            at,
            safe_to_close_ticks: found.and_then(|stop| stop.all.safe_to_close_ticks),
            landed: self.landed(&engine),
        }
    }

    fn landed(&self, engine: &Engine<'_>) -> Landed {
        let view = engine.view();
        let account = self.account.account(&view);
        let amount = |standing| account.amount(standing).goods_and_boxes();
        let home_items = amount(Standing::Home);
        // Nobody misses what lies where it serves.
        let fine_items = home_items + amount(Standing::OwnFilling) + amount(Standing::Serving);
        let kinds = (0..self.input.network.kinds().len()).map(KindId::from_index);
        let gone: u64 = kinds.map(|kind| view.lost(kind) + view.refused(kind)).sum();
        let missing = self
            .filled_items
            .saturating_sub(amount(Standing::OwnFilling));
        Landed {
            home_items,
            astray_items: account.sum().goods_and_boxes() - fine_items + gone + missing,
        }
    }
}
