//! What a shorter time would save: the run is made again with one time cut.

#![deny(clippy::wildcard_enum_match_arm)]

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_declared::declarations::Mark;
use rayon::prelude::*;

use super::condition::Cause;
use super::explanation::{Beyond, Shorter};
use super::stop::Asked;
use super::walk::Step;
use hallwright_report::findings::{Findings, Marks};
use hallwright_report::{RunInput, run};

/// Ticks from a stop to one of its marks.
pub(super) fn mark_ticks(marks: &Marks, mark: Mark) -> Option<u64> {
    match mark {
        Mark::Cleared => marks.cleared_ticks,
        Mark::SafeToClose => marks.safe_to_close_ticks,
        Mark::Quiet | Mark::Resumed => marks.quiet.ticks,
    }
}

/// Tries the longest waits that have a time of their own.
pub(super) fn shorter(
    input: &RunInput<'_>,
    steps: &[Step],
    asked: Asked,
    ticks: u64,
) -> Vec<Shorter> {
    // Parts alike are cut together: of several lines that are built alike, each would decide when
    // another is made faster.
    let mut sums: BTreeMap<(String, Cause), (u64, PartId)> = BTreeMap::new();
    for step in steps {
        let own = own_time(input.network.part(step.part), step.cause);
        if own.is_some() && step.until > step.from {
            let name = without_numbers(input.network.name(step.part));
            let sum = sums.entry((name, step.cause)).or_insert((0, step.part));
            sum.0 += step.until - step.from;
        }
    }
    let mut waits: Vec<((String, Cause), (u64, PartId))> = sums.into_iter().collect();
    waits.sort_by_key(|(_, (ticks, _))| std::cmp::Reverse(*ticks));
    waits.truncate(asked.most_tried);
    waits
        .par_iter()
        .filter_map(|((_, cause), (_, part))| {
            let trial = Trial {
                input,
                parts: alike(input.network, *part, *cause),
                cause: *cause,
                asked,
                ticks,
            };
            trial.shorter()
        })
        .collect()
}

/// A name with `*` for the numbers in brackets.
fn without_numbers(name: &str) -> String {
    let mut shown = String::new();
    let mut is_inside = false;
    for letter in name.chars() {
        if letter == ']' {
            is_inside = false;
        }
        if !is_inside {
            shown.push(letter);
        }
        if letter == '[' {
            is_inside = true;
            shown.push('*');
        }
    }
    shown
}

/// The parts whose names differ from that of a part in their numbers alone and that have a time of
/// the same length for the same cause; the part itself first.
fn alike(network: &Network, part: PartId, cause: Cause) -> Vec<PartId> {
    let name = without_numbers(network.name(part));
    let own = own_time(network.part(part), cause);
    let others = network.parts().filter(|(other, definition)| {
        *other != part
            && own_time(definition, cause) == own
            && without_numbers(network.name(*other)) == name
    });
    std::iter::once(part)
        .chain(others.map(|(other, _)| other))
        .collect()
}

/// One time that is tried out.
struct Trial<'a> {
    input: &'a RunInput<'a>,
    /// The part, and all that are alike.
    parts: Vec<PartId>,
    cause: Cause,
    asked: Asked,
    /// Ticks from the stop to the mark as it is.
    ticks: u64,
}

impl Trial<'_> {
    /// The most ticks that can be cut so that the mark comes sooner by as many.
    fn shorter(&self) -> Option<Shorter> {
        let first = *self.parts.first()?;
        let definition = self.input.network.part(first);
        let (own_ticks, least_ticks) = own_time(definition, self.cause)?;
        let most = own_ticks - least_ticks;
        let all = self.ticks_after_cut(most)?;
        let mut slack_ticks = if all == Some(self.ticks.saturating_sub(most)) {
            most
        } else {
            0
        };
        // A cut that wins all of its ticks is possible up to some length, and not beyond it.
        let mut too_many = most;
        while slack_ticks + 1 < too_many {
            let middle = slack_ticks + (too_many - slack_ticks) / 2;
            if self.ticks_after_cut(middle)? == Some(self.ticks.saturating_sub(middle)) {
                slack_ticks = middle;
            } else {
                too_many = middle;
            }
        }
        let beyond = if slack_ticks == most {
            Beyond::NoShorter
        } else if self.ticks_after_cut(slack_ticks + 1)?.is_none() {
            Beyond::NeverReached
        } else {
            Beyond::AnotherWay
        };
        Some(Shorter {
            part: match self.parts.len() {
                1 => self.input.network.name(first).to_owned(),
                _ => without_numbers(self.input.network.name(first)),
            },
            parts: self.parts.len() as u64,
            cause: self.cause,
            own_ticks,
            slack_ticks,
            beyond,
            most_ticks: all.map(|all| self.ticks.saturating_sub(all)),
        })
    }

    /// Ticks from the stop to the mark with so many ticks cut off; the inner `None` for never.
    fn ticks_after_cut(&self, cut_ticks: u64) -> Option<Option<u64>> {
        let network = self.input.network;
        let network = network.changed(|part, definition| {
            let is_cut = self.parts.contains(&part);
            let cut_ticks = if is_cut { cut_ticks } else { 0 };
            with_time_cut(definition, self.cause, cut_ticks)
        });
        let network = network.ok()?;
        let cut = RunInput {
            network: &network,
            ..self.input.clone()
        };
        let findings: Findings = run(&cut, &mut |_| {});
        let found = findings.stops.get(self.asked.stop)?;
        Some(mark_ticks(self.asked.marks(found)?, self.asked.mark))
    }
}

/// The field of a part that makes others wait for this cause, and the least that it can be.
fn time_of(part: &mut Part, cause: Cause) -> Option<(&mut u32, u32)> {
    match part {
        Part::Stream(stream) => (cause == Cause::Stream).then_some((&mut stream.transit_ticks, 1)),
        Part::Bench(bench) => (cause == Cause::Bench).then_some((&mut bench.after_ticks, 0)),
        Part::Selector(selector) => {
            (cause == Cause::Selector).then_some((&mut selector.latency_ticks, 0))
        }
        // The longest decides most.
        Part::Shuttle(shuttle) => {
            let stops = shuttle.stops.iter_mut();
            if cause == Cause::Dwell {
                let longest = stops.max_by_key(|stop| stop.dwell_ticks)?;
                Some((&mut longest.dwell_ticks, 0))
            } else if cause == Cause::ShuttleWay {
                let longest = stops.max_by_key(|stop| stop.travel_ticks)?;
                Some((&mut longest.travel_ticks, 1))
            } else {
                None
            }
        }
        Part::Signal(signal) => time_of_signal(signal, cause),
        // These have no time of their own.
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth | Part::Dock => None,
    }
}

fn time_of_signal(signal: &mut Signal, cause: Cause) -> Option<(&mut u32, u32)> {
    match signal {
        Signal::Hold { hold_ticks, .. } | Signal::Button { hold_ticks } => {
            let is_held = cause == Cause::Hold || cause == Cause::LampMargin;
            is_held.then_some((hold_ticks, 1))
        }
        Signal::Repeater { delay_ticks, .. } | Signal::DelayLine { delay_ticks, .. } => {
            (cause == Cause::SignalDelay).then_some((delay_ticks, 1))
        }
        Signal::Lever { .. } | Signal::Wire { .. } | Signal::Comparator { .. } => None,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Latch { .. } => None,
        Signal::Toggle { .. } | Signal::AllOf { .. } | Signal::NoneOf { .. } => None,
        // A clock's time is none to wait for.
        Signal::Clock { .. } => None,
    }
}

/// A part's own time for this cause, and the least that it can be, in ticks.
fn own_time(part: &Part, cause: Cause) -> Option<(u64, u64)> {
    let mut part = part.clone();
    let (time, least) = time_of(&mut part, cause)?;
    (*time > least).then_some(((*time).into(), least.into()))
}

/// The part with so many ticks less.
fn with_time_cut(part: &Part, cause: Cause, cut_ticks: u64) -> Part {
    let mut part = part.clone();
    if cut_ticks > 0
        && let Some((time, least)) = time_of(&mut part, cause)
    {
        let cut = u32::try_from(cut_ticks).unwrap_or(u32::MAX);
        *time = time.saturating_sub(cut).max(least);
    }
    part
}
