//! One stop of a run, watched from where it begins: what is safe to close is found as in a whole run, and
//! nothing else is measured.

use std::rc::Rc;

use hallwright_analysis::standstill::Standstill;
use hallwright_core::declare::Declarations;
use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;

use super::ledger::Ledger;
use super::quiet::QuietWatch;
use super::sections::Sections;
use super::stops::StopMeasure;
use super::stores::StoreMeasure;
use super::{Onward, Seen};
use crate::findings::StopFinding;

/// Observes a run from one stop to its end.
pub(crate) struct StopRecorder {
    seen: Seen,
    quiet: QuietWatch,
    stops: StopMeasure,
}

impl StopRecorder {
    /// Begins before the tick of the stop that is declared. `timeline`: everything that the operator does.
    pub(crate) fn new(
        declared: &Declarations,
        run_end: Tick,
        timeline: &Timeline,
        standstill: &Rc<Standstill>,
        view: &View<'_>,
    ) -> Self {
        let ledger = Ledger::new(view);
        let sections = Sections::new(&declared.sections, &ledger, view);
        // What is stored counts after a restart only, which comes after the watch.
        let stores = StoreMeasure::new(&[], &ledger, view);
        Self {
            quiet: QuietWatch::new(timeline, Rc::clone(standstill), view.network()),
            stops: StopMeasure::new(declared, run_end, Rc::clone(standstill), view),
            seen: Seen {
                ledger,
                sections,
                stores,
            },
        }
    }

    /// The next tick before which the run has to pause.
    pub(crate) fn next_pause(&self) -> Option<Tick> {
        self.stops.next_boundary()
    }

    /// The run pauses between two ticks.
    pub(crate) fn pause(&mut self, onward: Onward<'_>) {
        let view = onward.engine.view();
        let now = self.seen.now(&view);
        self.stops.pause(onward, &self.quiet, &now);
    }

    /// The stop, once its watch is over.
    pub(crate) fn found(&self) -> Option<&StopFinding> {
        self.stops.found().last()
    }
}

impl Observer for StopRecorder {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let tick = moment.tick;
        let mut moved = None;
        if !matches!(event, Event::SignalChanged { .. }) {
            moved = self.seen.ledger.take_up(tick, event, view);
            let moved = moved.as_ref();
            self.seen.sections.take_up(tick, event, moved, view);
            if event.is_item_event() {
                self.quiet.item_event(tick, moved);
            }
        }
        let now = self.seen.now(view);
        self.stops.event(tick, event, moved.as_ref(), &now);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work_per_tick: u64, view: &View<'_>) {
        self.seen.sections.end_tick(from);
        let now = self.seen.now(view);
        self.stops.ticks_passed(from, until, &now);
        self.seen.sections.begin_tick();
    }
}
