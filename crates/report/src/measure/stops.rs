//! Stops: when, after each of them, the sections are cleared, safe to close and quiet.
//!
//! A mark is the first tick from whose end on its condition holds until the watch of the stop ends:
//! at the restart, the next stop or the end of the run. It must have held by then for a period of the
//! slowest clock and a cooldown at least, unless nothing is due any more: what happens to hold between
//! two pulses is no mark. Nor is it one if the line filled again and again since the stop, and no more
//! time has passed since the last time than between that one and the one before: what happens to be
//! empty between two deliveries is not cleared.

use hallwright_core::asks::Holding;
use hallwright_core::declare::{Section, Stop};
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;

use super::Now;
use super::ledger::{Move, distinct};
use super::pulses::Pulses;
use super::quiet::QuietWatch;
use super::resume::ResumeWatch;
use super::returns::ReturnMeasure;
use super::sections::SectionState;
use super::since::Since;
use crate::findings::{Leftovers, LooseLeft, Marks, PartCount, SectionStop, StopFinding};
use hallwright_analysis::certainty::longest_beat_ticks;

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
    /// Since when no pulse has been under way. Looked at only while a stop is watched.
    no_pulse: Since,
    nothing_loose: Since,
    returns: ReturnMeasure,
    watched: Option<StopWatch>,
    resuming: Option<ResumeWatch>,
    found: Vec<StopFinding>,
}

/// A stop that is being watched.
struct StopWatch {
    at: Tick,
    backlog_items: Vec<u64>,
}

impl StopMeasure {
    pub(crate) fn new(
        sections: &[Section],
        stops: &[Stop],
        run_end: Tick,
        view: &View<'_>,
    ) -> Self {
        Self {
            declared: sections.to_vec(),
            boundaries: boundaries(stops, run_end),
            run_end,
            patience_ticks: longest_beat_ticks(view.network()),
            pulses: Pulses::new(view.network()),
            no_pulse: Since::default(),
            nothing_loose: Since::start(true),
            returns: ReturnMeasure::new(sections, view.network().part_count()),
            watched: None,
            resuming: None,
            found: Vec::new(),
        }
    }

    pub(crate) fn event(
        &mut self,
        tick: Tick,
        event: &Event,
        moved: Option<&Move>,
        now: &Now<'_, '_>,
    ) {
        if self.watched.is_some() {
            self.pulses.heard(event);
            self.returns.event(event, now.sections);
        }
        if let (Some(resuming), Some(moved)) = (&mut self.resuming, moved) {
            resuming.moved(tick, moved, now);
        }
    }

    /// The ticks from `from` to before `until` are over; in all but the first nothing happened.
    pub(crate) fn ticks_passed(
        &mut self,
        from: Tick,
        until: Tick,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) {
        self.nothing_loose
            .update(now.ledger.loose_items() == 0, from);
        if self.watched.is_some() {
            self.look_for_pulses(from, now);
        }
        if let Some(resuming) = &mut self.resuming {
            resuming.end_tick(from, now);
        }
        while let Some((at, boundary)) = self.boundaries.last().copied() {
            // What ends with the run is looked at when it is known whether anything is still due.
            if at > until || at >= self.run_end {
                break;
            }
            self.boundaries.pop();
            self.pass(at, boundary, false, quiet, now);
            if boundary == Boundary::StopBegins && at < until {
                self.look_for_pulses(from, now);
            }
        }
    }

    /// The run is over: the stops, and what is left at the end.
    pub(crate) fn finish(
        mut self,
        is_over: bool,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) -> (Vec<StopFinding>, Leftovers) {
        while let Some((at, boundary)) = self.boundaries.pop() {
            self.pass(at, boundary, is_over, quiet, now);
        }
        let left = self.leftovers(self.run_end, is_over, quiet, now);
        (self.found, left)
    }

    /// Looks whether a pulse is under way, unless no section could be safe to close anyway.
    fn look_for_pulses(&mut self, at: Tick, now: &Now<'_, '_>) {
        let states = now.sections.states();
        let matters = states.is_empty()
            || states
                .iter()
                .any(|state| state.cleared.holds() && state.locked.holds());
        let none = match (matters, self.no_pulse.holds()) {
            (true, true) => !self.pulses.any_begun(now.view),
            (true, false) => !self.pulses.any_pending(now.view),
            (false, _) => {
                self.pulses.forget();
                false
            }
        };
        self.no_pulse.update(none, at);
    }

    fn pass(
        &mut self,
        at: Tick,
        boundary: Boundary,
        is_over: bool,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) {
        match boundary {
            Boundary::StopBegins => {
                let states = now.sections.states().iter();
                self.returns.reset();
                self.no_pulse = Since::default();
                self.watched = Some(StopWatch {
                    at,
                    backlog_items: states.map(SectionState::backlog_items).collect(),
                });
            }
            Boundary::StopEnds => {
                if let Some(watch) = self.watched.take() {
                    let finding = self.stop_finding(&watch, at, is_over, quiet, now);
                    self.found.push(finding);
                }
            }
            Boundary::ResumeBegins => self.resuming = Some(ResumeWatch::new(at, now)),
            Boundary::ResumeEnds => {
                if let (Some(resuming), Some(stop)) = (self.resuming.take(), self.found.last_mut())
                {
                    stop.resume = Some(resuming.finish(now));
                }
            }
        }
    }

    fn stop_finding(
        &self,
        watch: &StopWatch,
        until: Tick,
        is_over: bool,
        quiet: &QuietWatch,
        now: &Now<'_, '_>,
    ) -> StopFinding {
        let states = now.sections.states();
        let returned = self.returns.found();
        let patience_ticks = if is_over { 0 } else { self.patience_ticks };
        let ticks = |since: Since| since.at_least(patience_ticks, until).ticks_after(watch.at);
        let mut all_cleared = Since::start(true);
        let mut all_locked = Since::start(true);
        let mut sections = Vec::new();
        for (index, section) in self.declared.iter().enumerate() {
            let state = &states[index];
            let span = (watch.at, until);
            // Between two deliveries nothing is cleared for good.
            let cleared = match !is_over && state.fills_again(watch.at, until) {
                true => Since::default(),
                false => state.cleared,
            };
            all_cleared = all_cleared.and(cleared);
            all_locked = all_locked.and(state.locked);
            let safe = cleared.and(state.locked).and(self.no_pulse);
            sections.push(SectionStop {
                name: section.name.clone(),
                marks: Marks {
                    cleared_ticks: ticks(cleared),
                    safe_to_close_ticks: ticks(safe),
                    quiet: quiet.section_mark(index, section, span, is_over, now),
                },
                backlog_at_stop_items: watch.backlog_items[index],
                returned: returned[index],
            });
        }
        let safe = all_cleared
            .and(all_locked)
            .and(self.no_pulse)
            .and(self.nothing_loose);
        StopFinding {
            at: watch.at,
            watched_until: until,
            all: Marks {
                cleared_ticks: ticks(all_cleared),
                safe_to_close_ticks: ticks(safe),
                quiet: quiet.mark(watch.at, until, is_over, now),
            },
            sections,
            left: self.leftovers(until, is_over, quiet, now),
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
            in_selectors: counted(quiet.holding_selectors(now)),
            aboard: counted(quiet.aboard(now)),
            still_moving: moving.into_iter().map(name).collect(),
        }
    }
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
    use hallwright_core::declare::Restart;

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
