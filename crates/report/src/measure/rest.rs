//! Safe to close: since when a hall, or a section, does nothing any more by itself.
//!
//! The mark is the first tick from whose end on no item moves without a new input, the lines hold
//! nothing, no pulse is under way but those of clocks and of what only clocks drive, and no box stands
//! where it will be lifted. What is loose, inside a selector or aboard a shuttle would move again, or be
//! lost. Whether it moves again after the watch is not guessed: where the watch was too short to be
//! certain, a copy goes on without input. A section is asked about its own parts, and about the pulses
//! that drive them.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::Now;
use super::foresight::{Asked, Foresight, Onward};
use super::quiet::QuietWatch;
use super::sections::{SectionState, parts_of};
use hallwright_analysis::pulses::{PulseWatch, Pulses};
use hallwright_analysis::since::Since;
use hallwright_analysis::standstill::{Standstill, is_counting};

/// Watches, during a stop, what is no item event.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct RestWatch {
    pulses: PulseWatch,
    /// The benches that a signal has lift, and since when none of their boxes was to be: when the
    /// signal goes off in time nothing has moved.
    benches: Vec<(PartId, Since)>,
}

impl RestWatch {
    /// Begins between two ticks.
    pub(crate) fn new(pulses: &Pulses, standstill: &Standstill, view: &View<'_>) -> Self {
        let benches = standstill.lifted_by_signal(view.network()).into_iter();
        Self {
            pulses: PulseWatch::new(pulses, view),
            benches: benches
                .map(|part| (part, Since::start(!is_counting(part, view))))
                .collect(),
        }
    }

    /// Something happened.
    pub(crate) fn heard(&mut self, event: &Event) {
        self.pulses.heard(event);
    }

    /// The ticks before `until` are over; since the last look, something happened in the first at most.
    pub(crate) fn ticks_passed(&mut self, from: Tick, until: Tick, view: &View<'_>) {
        self.pulses.ticks_passed(until, view);
        for (part, none) in &mut self.benches {
            none.update(!is_counting(*part, view), from);
        }
    }

    /// Since when no box has been to be lifted from any bench, or from those among some parts.
    fn benches_since(&self, parts: Option<&[PartId]>) -> Since {
        let benches = self.benches.iter();
        let own = benches.filter(|(part, _)| parts.is_none_or(|parts| parts.contains(part)));
        own.fold(Since::start(true), |all, (_, since)| all.and(*since))
    }
}

/// What is asked at the end of a watch.
pub(crate) struct Rest<'a, 'v> {
    /// The stop.
    pub(crate) at: Tick,
    /// The first tick after the watch.
    pub(crate) until: Tick,
    /// Whether nothing is due any more.
    pub(crate) is_over: bool,
    /// The last item event that was not the operator's own doing.
    pub(crate) last_own_event: Option<Tick>,
    pub(crate) declared: &'a [Section],
    /// For each section, the signals and droppers that drive its parts.
    pub(crate) drivers: &'a [Vec<PartId>],
    pub(crate) pulses: &'a Pulses,
    pub(crate) standstill: &'a Standstill,
    pub(crate) watch: &'a RestWatch,
    pub(crate) quiet: &'a QuietWatch,
    pub(crate) now: &'a Now<'a, 'v>,
}

/// When it was safe to close.
pub(crate) struct Safe {
    /// Ticks from the stop until the whole hall was; `None` for never.
    pub(crate) all: Option<u64>,
    /// Of each section.
    pub(crate) sections: Vec<Option<u64>>,
    /// Whether it is known that nothing in the whole hall moves any more by itself, and no delivery is
    /// to be expected.
    pub(crate) is_still: bool,
    /// What the hall did after the watch, where that was looked at.
    pub(crate) foresight: Foresight,
}

impl Rest<'_, '_> {
    /// Finds when it was safe to close, going on from the end of the watch where that is needed.
    pub(crate) fn found(&self, onward: Onward<'_>) -> Safe {
        let states = self.now.sections.states();
        let drivers = self.drivers;
        // As far as can be seen now.
        let all = self.whole();
        let each = (0..states.len()).map(|index| self.section(index, &drivers[index]));
        let each: Vec<Since> = each.collect();
        let is_proven = self.is_over || self.is_certain();
        let asks = |since: &Since| since.is_so() && !is_proven;
        let asked = Asked {
            hall: asks(&all),
            sections: each
                .iter()
                .zip(drivers)
                .map(|(since, drivers)| asks(since).then_some(drivers.as_slice()))
                .collect(),
            work: false,
        };
        let asks_all = asked.hall;
        let is_asked = asks_all || asked.sections.iter().any(Option::is_some);
        let foresight = if is_asked {
            onward.look(asked, self.pulses, self.standstill, self.now.sections)
        } else {
            Foresight::default()
        };
        let ticks = |since: Since, stirs: bool| match stirs {
            true => None,
            false => since.ticks_after(self.at),
        };
        let hall_stirs = foresight.first.is_some();
        let stands_still = is_proven || (asks_all && !hall_stirs);
        let is_arriving = self.quiet.is_arriving(self.at, self.until);
        let sections = each.iter().enumerate().map(|(index, since)| {
            let stirs = foresight.stirred.get(index).copied();
            ticks(*since, stirs.unwrap_or(false))
        });
        Safe {
            all: ticks(all, hall_stirs),
            sections: sections.collect(),
            is_still: self.is_over || (stands_still && !is_arriving),
            foresight,
        }
    }

    /// Since when a section's line holds nothing: between two deliveries it is not cleared for good.
    pub(crate) fn cleared(&self, state: &SectionState) -> Since {
        match !self.is_over && state.fills_again(self.at, self.until) {
            true => Since::default(),
            false => state.cleared,
        }
    }

    /// Whether the watch was long enough for it to be certain that nothing more comes.
    fn is_certain(&self) -> bool {
        if self.quiet.is_spellbound(self.until) {
            return false;
        }
        let none = self.watch.pulses.none_since(None).ticks_after(Tick(0));
        let Some(no_pulse) = none else { return false };
        let lasts = [
            Some(self.at),
            Some(Tick(no_pulse)),
            self.last_own_event,
            self.quiet.last_input(self.until),
        ];
        let last = lasts.into_iter().flatten().max().unwrap_or(self.at);
        self.standstill.is_certain(last, self.now.view)
    }

    /// Since when the whole hall has been at rest, as far as can be seen now.
    fn whole(&self) -> Since {
        let view = self.now.view;
        if !self.standstill.is_at_rest(view) || self.expects_more(self.last_own_event) {
            return Since::default();
        }
        let states = self.now.sections.states().iter();
        let cleared = states.map(|state| self.cleared(state));
        cleared
            .fold(Since::start(true), Since::and)
            .and(self.watch.pulses.none_since(None))
            .and(self.watch.benches_since(None))
            .and(Since::from_last(self.last_own_event))
    }

    /// Since when a section has been at rest, as far as can be seen now.
    fn section(&self, index: usize, drivers: &[PartId]) -> Since {
        let (now, view) = (self.now, self.now.view);
        let state = &now.sections.states()[index];
        let parts = parts_of(&self.declared[index]);
        let is_own = |part: PartId| parts.contains(&part);
        let mut loose = now.ledger.loose();
        let moves = loose.any(|record| now.sections.names(record.spot, index))
            || self.standstill.in_selectors(view).any(is_own)
            || self.standstill.aboard(view).any(is_own)
            || self.standstill.counting(view).any(is_own)
            || self.expects_more(state.last_own_event);
        if moves {
            return Since::default();
        }
        self.cleared(state)
            .and(self.watch.pulses.none_since(Some(drivers)))
            .and(self.watch.benches_since(Some(&parts)))
            .and(Since::from_last(state.last_own_event))
    }

    fn expects_more(&self, last_move: Option<Tick>) -> bool {
        !self.is_over && self.quiet.expects_more(self.at, self.until, last_move)
    }
}
