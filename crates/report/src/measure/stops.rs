//! Stops: when, after each of them, the sections are cleared, safe to close and quiet.
//!
//! *Cleared* is the first tick from whose end on the lines hold nothing until the watch of the stop ends:
//! at the restart, the next stop or the end of the run. It must have held by then for a period of the
//! slowest clock and a cooldown at least, unless it is known that nothing moves any more: what happens to
//! hold between two pulses is no mark. Nor is it one if the line filled again and again since the stop,
//! and no more time has passed since the last time than between that one and the one before: what happens
//! to be empty between two deliveries is not cleared.
//!
//! *Safe to close* asks what the hall does by itself ([`Rest`]). What the operator does is no part of
//! that, but what follows from it is: after a delivery that makes something move the mark begins anew,
//! and it does not come while the next such delivery is to be expected.

use std::cell::OnceCell;
use std::rc::Rc;

use hallwright_core::asks::Holding;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Section, Stop};
use serde::{Deserialize, Serialize};

use super::Now;
use super::foresight::{Asked, Foresight, Look, Onward};
use super::ledger::{Move, distinct};
use super::quiet::QuietWatch;
use super::rest::{Rest, RestWatch};
use super::resume::ResumeWatch;
use super::returns::ReturnMeasure;
use super::sections::{SectionState, Sections, is_operators, parts_of};
use crate::findings::{
    Leftovers, LooseLeft, Marks, MovesLater, PartCount, SectionStop, StopFinding,
};
use hallwright_analysis::certainty::longest_beat_ticks;
use hallwright_analysis::pulses::{Pulses, drivers};
use hallwright_analysis::since::Since;
use hallwright_analysis::standstill::Standstill;

/// What begins or ends at a tick, before anything happens in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Boundary {
    StopBegins,
    StopEnds,
    ResumeBegins,
    ResumeEnds,
}

/// Watches every stop of a run.
pub(crate) struct StopMeasure {
    declared: Vec<Section>,
    /// What is still to come, the earliest last.
    boundaries: Vec<(Tick, Boundary)>,
    run_end: Tick,
    /// For how long a condition must have held at the end of the watch.
    patience_ticks: u64,
    pulses: Pulses,
    standstill: Rc<Standstill>,
    /// For each section, what drives its parts. Worked out once it is asked for.
    drivers: OnceCell<Vec<Vec<PartId>>>,
    so_far: SoFar,
}

/// What was watched so far.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct SoFar {
    /// The last item event that was not the operator's own doing.
    last_own_event: Option<Tick>,
    returns: ReturnMeasure,
    watched: Option<StopWatch>,
    resuming: Option<ResumeWatch>,
    found: Vec<StopFinding>,
}

/// A stop that is being watched.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct StopWatch {
    at: Tick,
    backlog_items: Vec<u64>,
    rest: RestWatch,
}

impl StopMeasure {
    pub(crate) fn new(
        declared: &Declarations,
        run_end: Tick,
        standstill: Rc<Standstill>,
        view: &View<'_>,
    ) -> Self {
        Self {
            declared: declared.sections.clone(),
            boundaries: boundaries(&declared.stops, run_end),
            run_end,
            patience_ticks: longest_beat_ticks(view.network()),
            pulses: Pulses::new(view.network()),
            standstill,
            drivers: OnceCell::new(),
            so_far: SoFar {
                last_own_event: None,
                returns: ReturnMeasure::new(&declared.sections, view.network().part_count()),
                watched: None,
                resuming: None,
                found: Vec::new(),
            },
        }
    }

    pub(crate) fn kept(&self) -> SoFar {
        self.so_far.clone()
    }

    pub(crate) fn put_back(&mut self, so_far: SoFar) {
        self.so_far = so_far;
    }

    /// Begins before a tick: what begins or ends earlier has done so.
    pub(crate) fn begin_before(&mut self, tick: Tick) {
        self.boundaries.retain(|(at, _)| *at >= tick);
    }

    pub(crate) fn event(
        &mut self,
        tick: Tick,
        event: &Event,
        moved: Option<&Move>,
        now: &Now<'_, '_>,
    ) {
        if event.is_item_event() && !is_operators(event) {
            self.so_far.last_own_event = Some(tick);
        }
        if let Some(watch) = &mut self.so_far.watched {
            watch.rest.heard(event);
            self.so_far.returns.event(event, now.sections);
        }
        if let (Some(resuming), Some(moved)) = (&mut self.so_far.resuming, moved) {
            resuming.moved(tick, moved, now);
        }
    }

    /// An item moved within the line or queue of a section, or outside all, and into no store.
    #[inline]
    pub(crate) fn moved_within(&mut self, tick: Tick, event: &Event) {
        self.so_far.last_own_event = Some(tick);
        self.heard(event);
    }

    /// Something happened: a pulse may have begun.
    #[inline]
    pub(crate) fn heard(&mut self, event: &Event) {
        if let Some(watch) = &mut self.so_far.watched {
            watch.rest.heard(event);
        }
    }

    /// The ticks from `from` to before `until` are over; in all but the first nothing happened.
    pub(crate) fn ticks_passed(&mut self, from: Tick, until: Tick, now: &Now<'_, '_>) {
        if let Some(watch) = &mut self.so_far.watched {
            watch.rest.ticks_passed(from, until, now.view);
        }
        if let Some(resuming) = &mut self.so_far.resuming {
            resuming.end_tick(from, now);
        }
    }

    /// The next tick before which something begins or ends: the run pauses there.
    pub(crate) fn next_boundary(&self) -> Option<Tick> {
        self.boundaries.last().map(|(at, _)| *at)
    }

    /// The stops whose watch is over.
    pub(crate) fn found(&self) -> &[StopFinding] {
        &self.so_far.found
    }

    /// The run pauses before a tick: what begins or ends there does so.
    pub(crate) fn pause(&mut self, onward: Onward<'_>, quiet: &QuietWatch, now: &Now<'_, '_>) {
        let tick = now.view.tick();
        while let Some((at, boundary)) = self.boundaries.pop_if(|(at, _)| *at <= tick) {
            self.pass(at, boundary, onward, quiet, now);
        }
    }

    /// To look at a copy that goes on from the end of the run until nothing moves any more: work units and
    /// ticks of the hall at rest.
    pub(crate) fn look_at_rest<'a>(
        &'a self,
        engine: &Engine<'_>,
        sections: &'a Sections,
    ) -> Look<'a> {
        let asked = Asked {
            hall: false,
            sections: Vec::new(),
            work: true,
        };
        Look::new(engine, asked, &self.pulses, &self.standstill, sections)
    }

    /// The run is over: the stops, and what is left at the end.
    pub(crate) fn finish(
        self,
        is_over: bool,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) -> (Vec<StopFinding>, Leftovers) {
        let left = self.leftovers(self.run_end, is_over, quiet, now);
        (self.so_far.found, left)
    }

    fn pass(
        &mut self,
        at: Tick,
        boundary: Boundary,
        onward: Onward<'_>,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) {
        match boundary {
            Boundary::StopBegins => {
                let states = now.sections.states().iter();
                self.so_far.returns.reset();
                self.so_far.watched = Some(StopWatch {
                    at,
                    backlog_items: states.map(SectionState::backlog_items).collect(),
                    rest: RestWatch::new(&self.pulses, &self.standstill, now.view),
                });
            }
            Boundary::StopEnds => {
                if let Some(watch) = self.so_far.watched.take() {
                    let is_over = at == self.run_end && onward.engine.next_due().is_none();
                    let rest = Rest {
                        at: watch.at,
                        until: at,
                        is_over,
                        last_own_event: self.so_far.last_own_event,
                        declared: &self.declared,
                        drivers: self.drivers(now.view.network()),
                        pulses: &self.pulses,
                        standstill: &self.standstill,
                        watch: &watch.rest,
                        quiet,
                        now,
                    };
                    let finding = self.stop_finding(&watch, &rest, onward);
                    self.so_far.found.push(finding);
                }
            }
            Boundary::ResumeBegins => self.so_far.resuming = Some(ResumeWatch::new(at, now)),
            Boundary::ResumeEnds => {
                if let (Some(resuming), Some(stop)) =
                    (self.so_far.resuming.take(), self.so_far.found.last_mut())
                {
                    stop.resume = Some(resuming.finish(now));
                }
            }
        }
    }

    fn drivers(&self, network: &Network) -> &[Vec<PartId>] {
        self.drivers.get_or_init(|| {
            let sections = self.declared.iter();
            let drivers = sections.map(|section| drivers(&parts_of(section), network));
            drivers.collect()
        })
    }

    fn stop_finding(
        &self,
        watch: &StopWatch,
        rest: &Rest<'_, '_>,
        onward: Onward<'_>,
    ) -> StopFinding {
        let (until, now, quiet) = (rest.until, rest.now, rest.quiet);
        let states = now.sections.states();
        let returned = self.so_far.returns.found();
        let found = rest.found(onward);
        let patience = |is_still: bool| if is_still { 0 } else { self.patience_ticks };
        let mut all_cleared = Since::start(true);
        let mut sections = Vec::new();
        for (index, section) in self.declared.iter().enumerate() {
            let is_still = found.is_still || found.sections[index].is_some();
            let cleared = rest.cleared(&states[index]);
            all_cleared = all_cleared.and(cleared);
            let cleared = cleared.at_least(patience(is_still), until);
            let span = (watch.at, until);
            sections.push(SectionStop {
                name: section.name.clone(),
                marks: Marks {
                    cleared_ticks: cleared.ticks_after(watch.at),
                    safe_to_close_ticks: found.sections[index],
                    quiet: quiet.section_mark(index, section, span, found.is_still, now),
                },
                backlog_at_stop_items: watch.backlog_items[index],
                returned: returned[index],
            });
        }
        let all_cleared = all_cleared.at_least(patience(found.is_still), until);
        let mut left = self.leftovers(until, rest.is_over, quiet, now);
        left.moves_later = moves_later(&found.foresight, until, now);
        StopFinding {
            at: watch.at,
            watched_until: until,
            all: Marks {
                cleared_ticks: all_cleared.ticks_after(watch.at),
                safe_to_close_ticks: found.all,
                quiet: quiet.mark(watch.at, until, found.is_still, now),
            },
            sections,
            left,
            resume: None,
        }
    }

    /// What stands in the way of the marks now.
    fn leftovers(
        &self,
        until: Tick,
        is_over: bool,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) -> Leftovers {
        let network = now.view.network();
        let name = |part: PartId| network.name(part).to_owned();
        let counted = |parts: Vec<PartId>| -> Vec<PartCount> {
            let rows = parts.into_iter().map(|part| PartCount {
                part: name(part),
                items: now.ledger.held(part),
            });
            rows.filter(|row| row.items > 0).collect()
        };
        let union = |list: fn(&Section) -> &Vec<PartId>| -> Vec<PartId> {
            let all: Vec<PartId> = self.declared.iter().flat_map(list).copied().collect();
            distinct(&all, now.view)
        };
        let mut lines = union(|section| &section.line);
        // Loose stacks and selectors have lists of their own.
        lines.retain(|part| match network.part(*part).holding() {
            Holding::Loose | Holding::Queue => false,
            Holding::Slots | Holding::Box | Holding::Docked | Holding::Nothing => true,
        });
        let mut unlocked = union(|section| &section.locked);
        unlocked.retain(|part| !now.view.is_locked(*part));
        let loose = now.view.loose_stacks().map(|stack| LooseLeft {
            kind: network.kind(stack.item.kind).name.clone(),
            items: stack.count.into(),
            mouth: name(stack.mouth),
            lost_at: stack.lost_at,
        });
        let moving = if is_over {
            Vec::new()
        } else {
            quiet.still_moving(until)
        };
        Leftovers {
            holding: counted(lines),
            unlocked: unlocked.into_iter().map(name).collect(),
            pulses: self
                .pulses
                .pending(now.view)
                .into_iter()
                .map(name)
                .collect(),
            loose: loose.collect(),
            in_selectors: counted(self.standstill.in_selectors(now.view).collect()),
            aboard: counted(self.standstill.aboard(now.view).collect()),
            to_be_lifted: counted(self.standstill.counting(now.view).collect()),
            still_moving: moving.into_iter().map(name).collect(),
            moves_later: None,
        }
    }
}

/// What the hall does by itself after the watch of a stop.
fn moves_later(foresight: &Foresight, until: Tick, now: &Now<'_, '_>) -> Option<MovesLater> {
    let (at, parts) = foresight.first.as_ref()?;
    let network = now.view.network();
    let names = parts.iter().map(|part| network.name(*part).to_owned());
    Some(MovesLater {
        after_ticks: *at - until,
        parts: names.collect(),
    })
}

/// What begins and ends when, the earliest last. Stops that the run does not reach are left out.
fn boundaries(stops: &[Stop], run_end: Tick) -> Vec<(Tick, Boundary)> {
    let mut boundaries = Vec::new();
    for (index, stop) in stops.iter().enumerate() {
        if stop.at >= run_end {
            break;
        }
        let next = stops
            .get(index + 1)
            .map_or(run_end, |next| next.at.min(run_end));
        let restart = stop
            .restart
            .as_ref()
            .map(|restart| stop.at + restart.after_ticks);
        boundaries.push((stop.at, Boundary::StopBegins));
        match restart {
            Some(restart) if restart < next => {
                boundaries.push((restart, Boundary::StopEnds));
                boundaries.push((restart, Boundary::ResumeBegins));
                boundaries.push((next, Boundary::ResumeEnds));
            }
            _ => boundaries.push((next, Boundary::StopEnds)),
        }
    }
    boundaries.reverse();
    boundaries
}

#[cfg(test)]
mod tests {
    use hallwright_declared::declarations::Restart;

    use super::*;

    fn stop(at: u64, restart_after_ticks: Option<u64>) -> Stop {
        Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart: restart_after_ticks.map(|after_ticks| Restart {
                after_ticks,
                actions: Vec::new(),
            }),
        }
    }

    #[test]
    fn a_stop_is_watched_until_the_restart_the_next_stop_or_the_end() {
        let stops = [
            stop(10, Some(20)),
            stop(50, Some(100)),
            stop(100, None),
            stop(900, None),
        ];
        let mut found = boundaries(&stops, Tick(500));
        found.reverse();
        assert_eq!(
            found,
            [
                (Tick(10), Boundary::StopBegins),
                (Tick(30), Boundary::StopEnds),
                (Tick(30), Boundary::ResumeBegins),
                (Tick(50), Boundary::ResumeEnds),
                (Tick(50), Boundary::StopBegins),
                (Tick(100), Boundary::StopEnds),
                (Tick(100), Boundary::StopBegins),
                (Tick(500), Boundary::StopEnds),
            ]
        );
    }
}
