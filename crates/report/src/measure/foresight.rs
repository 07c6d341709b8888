//! Foresight: what a hall does by itself from some tick on.
//!
//! A copy of the run goes on without any further input: nothing arrives, no lever is moved, no restart
//! comes. It goes on until nothing can happen any more, until a state comes again, until everything asked
//! is answered, or for two hours; where only the work at rest is asked for, for half an hour. At the end of a
//! run that copy is the one that shows what does not get home, unless the hall is switched on for that.

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
    /// Goes on and says what happens.
    pub(crate) fn look(
        self,
        asked: Asked<'_>,
        pulses: &Pulses,
        standstill: &Standstill,
        sections: &Sections,
    ) -> Foresight {
        Look::new(self.engine, asked, pulses, standstill, sections).seen(self)
    }

    /// What is done in a copy: nothing any more.
    fn setup_alone(self) -> Setup {
        let start = self.engine.tick();
        let done = self.setup.timeline.entries().iter();
        let done = done.filter(|(tick, _)| *tick < start).cloned().collect();
        Setup {
            timeline: Timeline::new(done),
            ..self.setup.clone()
        }
    }
}

/// Looks at a copy that goes on. Who asks something else of such a copy may share it.
pub(crate) struct Look<'a> {
    asked: Asked<'a>,
    standstill: &'a Standstill,
    ahead: Ahead<'a>,
    /// Before this tick it looks at the copy; `None` once everything is seen.
    next: Option<Tick>,
    step_ticks: u64,
    /// Until then at most.
    end: Tick,
    /// Whether nothing can happen any more, and what the work settles at is being seen.
    is_at_rest: bool,
    work_at_rest: Option<(u64, u64)>,
}

impl<'a> Look<'a> {
    /// Begins where a run is.
    pub(crate) fn new(
        engine: &Engine<'_>,
        asked: Asked<'a>,
        pulses: &Pulses,
        standstill: &'a Standstill,
        sections: &'a Sections,
    ) -> Self {
        let view = engine.view();
        let start = view.tick();
        let most_seconds = match asked.work {
            true => MOST_SECONDS_FOR_WORK,
            false => MOST_SECONDS,
        };
        Self {
            ahead: Ahead {
                pulses: PulseWatch::new(pulses, &view),
                sections,
                last: start,
                first: None,
                stirred: vec![false; asked.sections.len()],
                work_units: 0,
                work_ticks: 0,
            },
            asked,
            standstill,
            next: Some(start),
            step_ticks: FIRST_STEP_TICKS,
            end: start + most_seconds * u64::from(view.network().rules().ticks_per_second),
            is_at_rest: false,
            work_at_rest: None,
        }
    }

    /// Goes on with a copy until a tick.
    pub(crate) fn go_on(&mut self, copy: &mut Engine<'_>, repeats: &mut RepeatWatch, until: Tick) {
        while copy.tick() < until {
            self.pause(copy, repeats);
            match self.next {
                Some(next) => self.run(copy, repeats, next.min(until)),
                None => copy.run_until(until, repeats),
            }
        }
    }

    /// Goes on with a copy until everything is seen.
    pub(crate) fn finish(&mut self, copy: &mut Engine<'_>, repeats: &mut RepeatWatch) {
        self.pause(copy, repeats);
        while let Some(next) = self.next {
            self.run(copy, repeats, next);
            self.pause(copy, repeats);
        }
    }

    fn run(&mut self, copy: &mut Engine<'_>, repeats: &mut RepeatWatch, until: Tick) {
        copy.run_watched(until, &mut (&mut self.ahead, repeats));
    }

    /// The copy pauses: looks at it if it is time to.
    fn pause(&mut self, copy: &Engine<'_>, repeats: &RepeatWatch) {
        if self.next != Some(copy.tick()) {
            return;
        }
        if self.is_at_rest {
            self.work_at_rest = Some((self.ahead.work_units, self.ahead.work_ticks));
            self.next = None;
        } else {
            self.next = self.next_look(copy, repeats);
        }
    }

    /// When to look again, if there is more to see.
    fn next_look(&mut self, copy: &Engine<'_>, repeats: &RepeatWatch) -> Option<Tick> {
        let (now, last) = (copy.tick(), self.ahead.last);
        if now >= self.end {
            return None;
        }
        let is_still = copy.next_due().is_none() || self.standstill.is_certain(last, &copy.view());
        let repeat = repeats.repeats();
        if !is_still && !self.ahead.is_answered(&self.asked) && repeat.is_none() {
            let step_ticks = self.step_ticks;
            self.step_ticks = (step_ticks * 2).min(MOST_STEP_TICKS);
            return Some((now + step_ticks).min(self.end));
        }
        // What has come again comes again for ever: there is nothing more to see.
        let moves_no_more = |period_ticks| last + period_ticks < now;
        self.is_at_rest = self.asked.work
            && (is_still || repeat.is_some_and(|repeat| moves_no_more(repeat.period_ticks)));
        (self.ahead.work_units, self.ahead.work_ticks) = (0, 0);
        self.is_at_rest
            .then(|| now + self.standstill.window_ticks())
    }

    /// Whether everything is seen.
    pub(crate) fn is_over(&self) -> bool {
        self.next.is_none()
    }

    /// What the copy did. If none went on before, one goes on from where the look began.
    pub(crate) fn seen(mut self, from: Onward<'_>) -> Foresight {
        if !self.is_over() {
            let view = from.engine.view();
            let setup = from.setup_alone();
            let mut copy = Engine::branch(view.network(), &setup, from.engine);
            self.finish(&mut copy, &mut RepeatWatch::new(view.tick()));
        }
        self.ahead.found(&self.asked, self.work_at_rest)
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
