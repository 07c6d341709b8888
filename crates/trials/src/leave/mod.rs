//! What happens when the builder walks away: the regions of the hall fall asleep one after another, and
//! the world is opened again in other orders, some regions late (tick rules, section 9).
//!
//! For each tick of a range the hall is left at its end in many ways ([`patterns`]). Each such run is set
//! beside its twin, which was not left, and whatever is worse or other in it is [broken](Breakage).

mod broken;
mod left;
mod pattern;
mod snapshot;

use std::collections::BTreeMap;

use hallwright_core::declare::Region;
use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, run, setup_for};

use crate::cases::StopRange;
use crate::machine::Machine;

pub use broken::{Breakage, Ended, When, broken, unlike};
pub use left::{Leaving, Prepared, left_off, pair, undisturbed_off};
pub use pattern::{MOST_PATTERNS, Pattern, patterns};
pub use snapshot::Snapshot;

/// What came of leaving at one tick.
#[derive(Clone, PartialEq, Debug)]
pub struct LeftAt {
    /// The builder went at the end of this tick.
    pub tick: Tick,
    /// The lamps that were on then, by their place in the declarations.
    pub lamps_on: Vec<usize>,
    /// In how many ways the hall was left.
    pub patterns: usize,
    /// The ways in which something broke, and what.
    pub broken: Vec<(Pattern, Vec<(When, Breakage)>)>,
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
    /// Each tick that was tried.
    pub ticks: Vec<LeftAt>,
}

impl LeaveFindings {
    /// The first tick tried from which on nothing broke in any run; `None` if something broke at the last.
    #[must_use]
    pub fn well_from(&self) -> Option<Tick> {
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
        let false_ones = ticks.filter(|left| !left.is_well() && left.lamps_on.contains(&lamp));
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
    // Nobody has left these: they are the same, whichever way the hall is left.
    let at_rest = machine.runs(&ticks, |tick| {
        undisturbed_off(base, *tick).map(|off| Snapshot::at_rest(&off.input()))
    });
    let at_rest: BTreeMap<Tick, _> = ticks.iter().copied().zip(at_rest).collect();
    let results = machine.runs(&jobs, |(tick, way)| {
        let twin = match &at_rest[tick] {
            Ok(twin) => twin.as_ref(),
            Err(message) => panic!("{message}"),
        };
        let left = left_off(base, regions, leaving, way, *tick);
        let off = left
            .zip(twin)
            .map(|(left, twin)| unlike(base.network, &Snapshot::at_rest(&left.input()), twin));
        let [left, twin] = pair(base, regions, leaving, way, *tick);
        let on = broken(base.network, &ended(&left), &ended(&twin));
        let off = off.into_iter().flatten().map(|what| (When::AtRest, what));
        off.chain(on.into_iter().map(|what| (When::SwitchedOn, what)))
            .collect()
    });
    let lamps_on = lamps_on(base, &ticks);
    let results = results.chunks(ways.len().max(1));
    let each = ticks.iter().zip(lamps_on).zip(results);
    LeaveFindings {
        ticks: each
            .map(|((tick, lamps_on), results)| left_at(*tick, lamps_on, ways, results))
            .collect(),
    }
}

fn left_at(
    tick: Tick,
    lamps_on: Vec<usize>,
    ways: &[Pattern],
    results: &[Result<Vec<(When, Breakage)>, String>],
) -> LeftAt {
    let mut left = LeftAt {
        tick,
        lamps_on,
        patterns: ways.len(),
        broken: Vec::new(),
        failed: Vec::new(),
    };
    for (way, result) in ways.iter().zip(results) {
        match result {
            Ok(broken) if broken.is_empty() => {}
            Ok(broken) => left.broken.push((way.clone(), broken.clone())),
            Err(message) => left.failed.push((way.clone(), message.clone())),
        }
    }
    left
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
        engine.run_until(*tick + 1, &mut ());
        let view = engine.view();
        let on = lamps
            .iter()
            .enumerate()
            .filter(|(_, lamp)| view.level(lamp.signal) > 0);
        on.map(|(place, _)| place).collect()
    });
    each.collect()
}
