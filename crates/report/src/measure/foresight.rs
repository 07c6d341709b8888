//! Foresight: what a hall does by itself from some tick on.
//!
//! A copy of the run goes on without any further input: nothing arrives, no lever is moved, no restart
//! comes. It goes on until nothing can happen any more, until a state comes again, until everything asked
//! is answered, or for two hours; where only the work at rest is asked for, for half an hour.

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;

use hallwright_analysis::repeats::RepeatWatch;

use super::ledger::spot;
use super::sections::Sections;
use hallwright_analysis::pulses::{PulseWatch, Pulses, parts_of_event};
use hallwright_analysis::standstill::Standstill;

/// For how long the copy goes on at most, in seconds.
const MOST_SECONDS: u64 = 7_200;
/// As long as that for the work at rest: halls that never come to rest are not waited for longer.
const MOST_SECONDS_FOR_WORK: u64 = 1_800;
/// What moves at all mostly does so within this many ticks.
const FIRST_STEP_TICKS: u64 = 64;
/// So often at least it is looked whether nothing can happen any more, in ticks.
const MOST_STEP_TICKS: u64 = 1024;

/// A run between two ticks, to go on from.
#[derive(Clone, Copy)]
pub(crate) struct Onward<'a> {
    /// The run.
    pub(crate) engine: &'a Engine<'a>,
    /// Its setup.
    pub(crate) setup: &'a Setup,
}

/// What is asked.
pub(crate) struct Asked<'a> {
    /// Whether the whole hall stirs.
    pub(crate) hall: bool,
    /// For each section, the signals and droppers that drive its parts, if it is asked whether it
    /// stirs.
    pub(crate) sections: Vec<Option<&'a [PartId]>>,
    /// Whether to wait for what the work settles at.
    pub(crate) work: bool,
}

/// What the copy did.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(crate) struct Foresight {
    /// The first that moved, or the first pulse.
    pub(crate) first: Option<(Tick, Vec<PartId>)>,
    /// For each section, whether anything moved at its parts, or a pulse was under way to them.
    pub(crate) stirred: Vec<bool>,
    /// Work units and ticks once nothing could happen any more; `None` if it did not come to that.
    pub(crate) work_at_rest: Option<(u64, u64)>,
}

impl Onward<'_> {
    /// Goes on until nothing moves any more, for what the work settles at.
    pub(crate) fn until_rest(
        self,
        pulses: &Pulses,
        standstill: &Standstill,
        sections: &Sections,
    ) -> Foresight {
        let asked = Asked {
            hall: false,
            sections: Vec::new(),
            work: true,
        };
        self.look(&asked, pulses, standstill, sections)
    }

    /// Goes on and says what happens.
    pub(crate) fn look(
        self,
        asked: &Asked<'_>,
        pulses: &Pulses,
        standstill: &Standstill,
        sections: &Sections,
    ) -> Foresight {
        let view = self.engine.view();
        let network = view.network();
        let start = view.tick();
        let done = self.setup.timeline.entries().iter();
        let done = done.filter(|(tick, _)| *tick < start).cloned().collect();
        let setup = Setup {
            timeline: Timeline::new(done),
            ..self.setup.clone()
        };
        let mut engine = Engine::branch(network, &setup, self.engine);
        let mut ahead = Ahead {
            pulses: PulseWatch::new(pulses, &engine.view()),
            sections,
            last: start,
            first: None,
            stirred: vec![false; asked.sections.len()],
            work_units: 0,
            work_ticks: 0,
        };
        let most_seconds = match asked.work {
            true => MOST_SECONDS_FOR_WORK,
            false => MOST_SECONDS,
        };
        let end = start + most_seconds * u64::from(network.rules().ticks_per_second);
        let mut repeats = RepeatWatch::new(start);
        let mut step_ticks = FIRST_STEP_TICKS;
        let mut is_still = false;
        while engine.tick() < end {
            is_still =
                engine.next_due().is_none() || standstill.is_certain(ahead.last, &engine.view());
            if is_still || ahead.is_answered(asked) {
                break;
            }
            // What has come again comes again for ever: there is nothing more to see.
            if let Some(repeat) = repeats.repeats() {
                is_still = ahead.last + repeat.period_ticks < engine.tick();
                break;
            }
            let until = (engine.tick() + step_ticks).min(end);
            engine.run_watched(until, &mut (&mut ahead, &mut repeats));
            step_ticks = (step_ticks * 2).min(MOST_STEP_TICKS);
        }
        let mut work_at_rest = None;
        if asked.work && is_still {
            (ahead.work_units, ahead.work_ticks) = (0, 0);
            engine.run_watched(engine.tick() + standstill.window_ticks(), &mut ahead);
            work_at_rest = Some((ahead.work_units, ahead.work_ticks));
        }
        ahead.found(asked, work_at_rest)
    }
}

/// Watches the copy.
struct Ahead<'s> {
    pulses: PulseWatch,
    sections: &'s Sections,
    /// The last tick in which anything moved, or at whose end a pulse was under way.
    last: Tick,
    first: Option<(Tick, Vec<PartId>)>,
    stirred: Vec<bool>,
    work_units: u64,
    work_ticks: u64,
}

impl Ahead<'_> {
    fn is_answered(&self, asked: &Asked<'_>) -> bool {
        let hall = !asked.hall || self.first.is_some();
        let mut sections = self.stirred.iter().zip(&asked.sections);
        hall && !asked.work
            && sections.all(|(stirred, drivers)| {
                drivers.is_none_or(|drivers| *stirred || self.pulses.any_seen(drivers))
            })
    }

    fn found(self, asked: &Asked<'_>, work_at_rest: Option<(u64, u64)>) -> Foresight {
        let sections = self.stirred.iter().zip(&asked.sections);
        let stirred = sections.map(|(stirred, drivers)| {
            *stirred || drivers.is_some_and(|drivers| self.pulses.any_seen(drivers))
        });
        Foresight {
            stirred: stirred.collect(),
            first: self.first,
            work_at_rest,
        }
    }
}

impl Observer for Ahead<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.pulses.heard(event);
        if !event.is_item_event() {
            return;
        }
        self.last = moment.tick;
        let (part, other) = parts_of_event(event);
        let parts = || std::iter::once(part).chain(other);
        if self.first.is_none() {
            self.first = Some((moment.tick, parts().collect()));
        }
        if self.stirred.is_empty() {
            return;
        }
        for part in parts().flat_map(|part| spot(view, part).parts()) {
            for section in self.sections.naming(part) {
                self.stirred[section] = true;
            }
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        self.pulses.ticks_passed(until, view);
        if let Some(pulse) = self.pulses.pending().first() {
            self.last = Tick(until.0 - 1);
            self.first.get_or_insert_with(|| (from, vec![*pulse]));
        }
        self.work_units += work_per_tick * (until - from);
        self.work_ticks += until - from;
    }
}
