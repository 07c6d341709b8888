//! What happens when the builder walks away: the regions of the hall fall asleep one after another, and
//! the world is opened again in other orders, some regions late (tick rules, section 9).
//!
//! For each tick of a range the hall is left at its end in many ways ([`patterns`]). Each such run is set
//! beside its twin, which was not left, and whatever is worse or other in it is [broken](Breakage). What
//! all of it comes to, and why what broke did, is [reported](LeaveReported).

mod broken;
mod crossings;
mod left;
mod pattern;
mod reported;
mod snapshot;
mod why;

use std::collections::HashSet;

use hallwright_core::engine::Engine;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Region;
use hallwright_report::{RunInput, run, setup_for};

use crate::cases::StopRange;
use crate::machine::{Machine, Unmade};

pub use broken::{Breakage, Ended, When, broken, unlike};
pub use crossings::{Crosses, Crossing};
pub use left::{Leaving, Prepared, left_off, pair, undisturbed_off};
pub use pattern::{MOST_PATTERNS, Pattern, patterns};
pub use reported::{
    BrokenLeave, LampReport, LeaveAsked, LeaveReported, Wording, leaves, report, within_run,
};
pub use snapshot::Snapshot;
pub use why::Change;

/// A way in which a hall was left, and what broke.
#[derive(Clone, PartialEq, Debug)]
pub struct BrokenWay {
    /// How it was left.
    pub way: Pattern,
    /// The lamps that were on when the builder went, by their place in the declarations. In other orders
    /// before the leave, other ones may be.
    pub lamps_on: Vec<usize>,
    /// What broke, in the order in which it was found.
    pub what: Vec<(When, Breakage)>,
}

/// What came of leaving at one tick.
#[derive(Clone, PartialEq, Debug)]
pub struct LeftAt {
    /// The builder went at the end of this tick.
    pub tick: Tick,
    /// The lamps that were on then in the run's own orders, by their place in the declarations.
    pub lamps_on: Vec<usize>,
    /// In how many ways the hall was left.
    pub patterns: usize,
    /// The ways in which it was to be left as well, and was not because that was cut short, by their places.
    pub unmade: Vec<usize>,
    /// The ways in which something broke.
    pub broken: Vec<BrokenWay>,
    /// The runs that broke an invariant, each with what it said: bugs.
    pub failed: Vec<(Pattern, String)>,
}

impl LeftAt {
    /// Whether nothing broke, whichever way it was left.
    #[must_use]
    pub fn is_well(&self) -> bool {
        self.broken.is_empty() && self.failed.is_empty()
    }
}

/// What came of leaving at each tick of a range, in the order of the ticks.
#[derive(Clone, PartialEq, Debug)]
pub struct LeaveFindings {
    /// The parts that are in no region: they never slept, and what they do while all else sleeps is more
    /// than a world does. What was found is known of the rest only.
    pub in_no_region: Vec<String>,
    /// Each tick that was tried.
    pub ticks: Vec<LeftAt>,
}

impl LeaveFindings {
    /// How many leaves were not made because they were cut short.
    #[must_use]
    pub fn unmade(&self) -> usize {
        self.ticks.iter().map(|left| left.unmade.len()).sum()
    }

    /// The first tick tried from which on nothing broke in any run; `None` if something broke at the last, or
    /// not all leaves were made.
    #[must_use]
    pub fn well_from(&self) -> Option<Tick> {
        if self.unmade() > 0 {
            return None;
        }
        let last_bad = self.ticks.iter().rposition(|left| !left.is_well());
        let first_good = last_bad.map_or(0, |bad| bad + 1);
        self.ticks.get(first_good).map(|left| left.tick)
    }

    /// The last tick tried at which something broke.
    #[must_use]
    pub fn last_broken(&self) -> Option<&LeftAt> {
        self.ticks.iter().rev().find(|left| !left.is_well())
    }

    /// The ticks tried at which a lamp was on and something broke all the same: its light was false.
    #[must_use]
    pub fn false_lights(&self, lamp: usize) -> Vec<Tick> {
        let ticks = self.ticks.iter();
        let is_false = |way: &BrokenWay| way.lamps_on.contains(&lamp);
        let false_ones = ticks.filter(|left| left.broken.iter().any(is_false));
        false_ones.map(|left| left.tick).collect()
    }
}

/// Leaves the hall at each tick of a range in all these ways.
#[must_use]
pub fn leave(
    base: &RunInput<'_>,
    regions: &[Region],
    leaving: Leaving,
    ways: &[Pattern],
    range: StopRange,
    machine: &Machine<'_>,
) -> LeaveFindings {
    let ticks = range.ticks();
    let jobs: Vec<(Tick, &Pattern)> = ticks
        .iter()
        .flat_map(|tick| ways.iter().map(|way| (*tick, way)))
        .collect();
    let lamps_on = lamps_on(base, &ticks);
    let results = machine.runs(&jobs, |(tick, way)| {
        left_once(base, regions, leaving, way, *tick)
    });
    let results = results.chunks(ways.len().max(1));
    let each = ticks.iter().zip(lamps_on).zip(results);
    let in_regions: HashSet<PartId> = regions
        .iter()
        .flat_map(|region| &region.parts)
        .copied()
        .collect();
    let in_no_region = base
        .network
        .part_ids()
        .filter(|part| !in_regions.contains(part));
    LeaveFindings {
        in_no_region: in_no_region
            .map(|part| base.network.name(part).to_owned())
            .collect(),
        ticks: each
            .map(|((tick, lamps_on), results)| left_at(*tick, lamps_on, ways, results))
            .collect(),
    }
}

fn left_at(
    tick: Tick,
    lamps_on: Vec<usize>,
    ways: &[Pattern],
    results: &[Result<BrokenWay, Unmade>],
) -> LeftAt {
    let mut left = LeftAt {
        tick,
        lamps_on,
        patterns: 0,
        unmade: Vec::new(),
        broken: Vec::new(),
        failed: Vec::new(),
    };
    for (place, (way, result)) in ways.iter().zip(results).enumerate() {
        match result {
            Ok(broken) if broken.what.is_empty() => {}
            Ok(broken) => left.broken.push(broken.clone()),
            Err(Unmade::Broke(message)) => left.failed.push((way.clone(), message.clone())),
            Err(Unmade::CutShort) => left.unmade.push(place),
        }
    }
    left.patterns = ways.len() - left.unmade.len();
    left
}

/// Leaves the hall at the end of one tick in one way.
fn left_once(
    base: &RunInput<'_>,
    regions: &[Region],
    leaving: Leaving,
    way: &Pattern,
    tick: Tick,
) -> BrokenWay {
    let base = &way.before(base);
    let left = left_off(base, regions, leaving, way, tick);
    let off = left.zip(undisturbed_off(base, tick)).map(|(left, twin)| {
        let [left, twin] = [left, twin].map(|off| Snapshot::at_rest(&off.input()));
        unlike(base.network, &left, &twin)
    });
    let [left, twin] = pair(base, regions, leaving, way, tick);
    let on = broken(base.network, &ended(&left), &ended(&twin));
    let off = off.into_iter().flatten().map(|what| (When::AtRest, what));
    BrokenWay {
        way: way.clone(),
        lamps_on: lamps_on(base, &[tick]).remove(0),
        what: off
            .chain(on.into_iter().map(|what| (When::SwitchedOn, what)))
            .collect(),
    }
}

fn ended(prepared: &Prepared<'_>) -> Ended {
    let input = prepared.input();
    Ended {
        findings: run(&input, &mut |_| {}),
        quiet: Snapshot::once_quiet(&input),
    }
}

/// For each of these ticks, the lamps that are on at its end, while nobody has left.
fn lamps_on(base: &RunInput<'_>, ticks: &[Tick]) -> Vec<Vec<usize>> {
    let setup = setup_for(base);
    let mut engine = Engine::new(base.network, &setup);
    let lamps = &base.declarations.lamps;
    let each = ticks.iter().map(|tick| {
        engine.run_unwatched(*tick + 1);
        let view = engine.view();
        let on = lamps
            .iter()
            .enumerate()
            .filter(|(_, lamp)| view.level(lamp.signal) > 0);
        on.map(|(place, _)| place).collect()
    });
    each.collect()
}
