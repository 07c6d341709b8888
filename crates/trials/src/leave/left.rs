//! A run that the builder leaves, and its twin that is not left.
//!
//! The builder goes away at the end of a tick. The regions fall asleep one after another; when the last
//! has, the world is closed, and nothing happens until it is opened again: so that is the next thing that
//! happens, in other orders, some regions late. When all are there, the hall is switched on again. What the
//! scenario had to come while nobody was there does not come, in the twin either: whoever is away sends no
//! boats. The twin is switched on in the same tick and in the same orders, and nothing in it ever slept.
//!
//! A hall that is stopped is looked at before it is switched on, too: once it has come to rest it is to be
//! as if nobody had left. Here the twin is just that, in its own orders: a hall that was never opened again.

use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Leave, Region, Stop};
use hallwright_report::RunInput;

use super::pattern::Pattern;

/// How the world is left, whatever the tick.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Leaving {
    /// How long after one region the next falls asleep, in ticks.
    pub apart_ticks: u64,
    /// How long after the last late region is there the hall is switched on again, in ticks.
    pub pause_ticks: u64,
}

impl From<&Leave> for Leaving {
    fn from(leave: &Leave) -> Self {
        Self {
            apart_ticks: leave.apart_ticks,
            pause_ticks: leave.pause_ticks,
        }
    }
}

/// What a run that is left, or its twin, is made of.
pub struct Prepared<'a> {
    input: RunInput<'a>,
    timeline: Timeline,
    declarations: Declarations,
}

impl Prepared<'_> {
    /// What is run.
    #[must_use]
    pub fn input(&self) -> RunInput<'_> {
        RunInput {
            timeline: &self.timeline,
            declarations: &self.declarations,
            ..self.input.clone()
        }
    }
}

/// The ticks of a leave.
struct Ticks {
    /// In which each region, from near to far, falls asleep.
    asleep_at: Vec<Tick>,
    /// In which the world is opened again.
    opened_at: Tick,
    /// In which the hall is switched on again.
    switched_on_at: Tick,
}

impl Ticks {
    fn of(leaving: Leaving, pattern: &Pattern, at: Tick, restart_at: Option<Tick>) -> Self {
        let regions = pattern.late_ticks.len();
        let asleep_at: Vec<Tick> = (0..regions)
            .map(|region| {
                let turn = match pattern.near_first {
                    true => region,
                    false => regions - 1 - region,
                };
                at + 1 + leaving.apart_ticks * turn as u64
            })
            .collect();
        let last = asleep_at.iter().max().copied().unwrap_or(at + 1);
        let opened_at = last + leaving.apart_ticks.max(1);
        let late = pattern.late_ticks.iter().max().copied().unwrap_or(0);
        let all_there_at = opened_at + late + leaving.pause_ticks.max(1);
        Self {
            asleep_at,
            opened_at,
            switched_on_at: match restart_at {
                Some(restart) if !pattern.at_once => restart.max(all_there_at),
                _ => all_there_at,
            },
        }
    }
}

/// From when to when each region sleeps, the first tick of it and the one in which it is awake again, in
/// the order of the regions.
pub(super) fn asleep(leaving: Leaving, pattern: &Pattern, at: Tick) -> Vec<(Tick, Tick)> {
    let ticks = Ticks::of(leaving, pattern, at, None);
    let each = ticks.asleep_at.iter().zip(&pattern.late_ticks);
    each.map(|(asleep_at, late)| (*asleep_at, ticks.opened_at + *late))
        .collect()
}

/// A run of this scenario that is left at the end of this tick in this way, and its twin.
#[must_use]
pub fn pair<'a>(
    base: &RunInput<'a>,
    regions: &[Region],
    leaving: Leaving,
    pattern: &Pattern,
    at: Tick,
) -> [Prepared<'a>; 2] {
    let declared = base.declarations;
    let restart = pending(declared, at).and_then(restart_at);
    let ticks = Ticks::of(leaving, pattern, at, restart);
    let is_away = |tick: Tick| at < tick && tick < ticks.switched_on_at;
    let moved = moved(declared, at, &ticks);
    let kept = base.timeline.entries().iter();
    let kept: Vec<(Tick, Action)> = kept.filter(|(tick, _)| !is_away(*tick)).cloned().collect();
    let mut left = kept.clone();
    left.extend(away(regions, pattern, &ticks));
    let mut twin = kept;
    twin.push(reopen(pattern, ticks.switched_on_at));
    let longer_ticks = restart.map_or(ticks.switched_on_at - at, |restart| {
        ticks.switched_on_at.0.saturating_sub(restart.0)
    });
    [left, twin].map(|entries| Prepared {
        input: RunInput {
            run_ticks: base.run_ticks.saturating_add(longer_ticks),
            ..base.clone()
        },
        timeline: Timeline::new(entries),
        declarations: moved.clone(),
    })
}

/// A run that is left at the end of this tick, up to where all of it is there again, and is not switched
/// on. `None` if the hall is not stopped at that tick.
#[must_use]
pub fn left_off<'a>(
    base: &RunInput<'a>,
    regions: &[Region],
    leaving: Leaving,
    pattern: &Pattern,
    at: Tick,
) -> Option<Prepared<'a>> {
    let mut off = undisturbed_off(base, at)?;
    let ticks = Ticks::of(leaving, pattern, at, None);
    let entries = off.timeline.entries().iter().cloned();
    off.timeline = Timeline::new(entries.chain(away(regions, pattern, &ticks)).collect());
    off.input.run_ticks = ticks.switched_on_at.0;
    Some(off)
}

/// A run up to the end of this tick, in which the hall was stopped and nobody switches it on. `None` if it
/// is not stopped at that tick.
#[must_use]
pub fn undisturbed_off<'a>(base: &RunInput<'a>, at: Tick) -> Option<Prepared<'a>> {
    pending(base.declarations, at)?;
    let mut declarations = base.declarations.clone();
    declarations.stops.retain(|stop| stop.at <= at);
    for stop in &mut declarations.stops {
        if restart_at(stop).is_none_or(|restart| restart > at) {
            stop.restart = None;
        }
    }
    let entries = base.timeline.entries().iter();
    let until = entries.take_while(|(tick, _)| *tick <= at).cloned();
    Some(Prepared {
        timeline: Timeline::new(until.collect()),
        input: RunInput {
            run_ticks: at.0 + 1,
            ..base.clone()
        },
        declarations,
    })
}

/// The stop that is not over at the end of this tick.
fn pending(declared: &Declarations, at: Tick) -> Option<&Stop> {
    let last = declared.stops.iter().rfind(|stop| stop.at <= at)?;
    restart_at(last)
        .is_none_or(|restart| restart > at)
        .then_some(last)
}

/// When the hall is started again after this stop, as declared.
fn restart_at(stop: &Stop) -> Option<Tick> {
    let restart = stop.restart.as_ref()?;
    Some(stop.at + restart.after_ticks)
}

/// What happens to the world while its builder is away.
fn away<'a>(
    regions: &'a [Region],
    pattern: &'a Pattern,
    ticks: &'a Ticks,
) -> impl Iterator<Item = (Tick, Action)> + 'a {
    let asleep = regions.iter().zip(&ticks.asleep_at);
    let asleep = asleep.map(|(region, at)| (*at, sleep(region, ticks.opened_at - *at)));
    let late = regions.iter().zip(&pattern.late_ticks);
    let late = late.filter(|(_, late_ticks)| **late_ticks > 0);
    let late = late.map(|(region, late_ticks)| (ticks.opened_at, sleep(region, *late_ticks)));
    asleep
        .chain(std::iter::once(reopen(pattern, ticks.opened_at)))
        .chain(late)
}

fn reopen(pattern: &Pattern, at: Tick) -> (Tick, Action) {
    let orders = pattern.orders.clone();
    (at, Action::Reopen { orders })
}

/// The stops with the restart under way moved to when the hall is switched on again. Stops that were to
/// come while nobody was there do not come.
fn moved(declared: &Declarations, at: Tick, ticks: &Ticks) -> Declarations {
    let mut moved = declared.clone();
    moved
        .stops
        .retain(|stop| stop.at <= at || stop.at >= ticks.switched_on_at);
    for stop in &mut moved.stops {
        if let Some(restart) = &mut stop.restart {
            let restart_at = stop.at + restart.after_ticks;
            if stop.at <= at && restart_at > at {
                restart.after_ticks = ticks.switched_on_at - stop.at;
            }
        }
    }
    moved
}

fn sleep(region: &Region, ticks: u64) -> Action {
    Action::Sleep {
        parts: region.parts.clone(),
        sleep_ticks: u32::try_from(ticks).unwrap_or(u32::MAX),
    }
}
