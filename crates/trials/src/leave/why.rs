//! Why something broke: what it takes for it not to.
//!
//! The leave is tried again with one thing changed at a time. What mends it is the cause, or one of them.

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Region;
use hallwright_report::RunInput;

use super::{Leaving, Pattern, left_once};
use crate::machine::{Machine, Unmade};

/// One thing in which a leave is changed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Change {
    /// The region at this place stays awake.
    Awake(usize),
    /// The farthest region falls asleep first in place of the nearest, or the other way round.
    OtherEndFirst,
    /// No region is late.
    NoneLate,
    /// The world is opened again in the orders in which it ran.
    SameOrders,
    /// The hall had run in its own orders before.
    OwnOrdersBefore,
    /// The hall is not switched on before it was to be in any case.
    NotAtOnce,
}

impl Change {
    /// The leave with this change, of so many regions; `None` if that is the same leave.
    fn of(self, way: &Pattern, own: &hallwright_core::order::Orders) -> Option<Pattern> {
        let mut changed = way.clone();
        match self {
            Self::Awake(place) => drop(changed.late_ticks.remove(place)),
            Self::OtherEndFirst => changed.near_first = !way.near_first,
            Self::NoneLate => changed.late_ticks.fill(0),
            Self::SameOrders => changed.orders = way.before.clone().unwrap_or_else(|| own.clone()),
            Self::OwnOrdersBefore => changed.before = None,
            Self::NotAtOnce => changed.at_once = false,
        }
        (changed != *way).then_some(changed)
    }
}

/// How many changes there are for so many regions.
pub(super) fn changes(regions: usize) -> usize {
    every_change(regions).count()
}

fn every_change(regions: usize) -> impl Iterator<Item = Change> {
    let awake = (0..regions).map(Change::Awake);
    awake.chain([
        Change::OtherEndFirst,
        Change::NoneLate,
        Change::SameOrders,
        Change::OwnOrdersBefore,
        Change::NotAtOnce,
    ])
}

/// What came of changing a leave by one thing at a time.
pub(super) struct Changed {
    /// The changes that were tried: each makes another leave.
    pub(super) tried: Vec<Change>,
    /// Those of them with which nothing breaks.
    pub(super) mend: Vec<Change>,
    /// Those that were not tried because that was cut short.
    pub(super) untried: Vec<Change>,
}

/// Tries each change that makes another leave of this one.
pub(super) fn mended_by(
    base: &RunInput<'_>,
    regions: &[Region],
    leaving: Leaving,
    way: &Pattern,
    tick: Tick,
    machine: &Machine<'_>,
) -> Changed {
    // With one region, that it stays awake is no leave, and no end of it is the other.
    let is_told = |change: &Change| {
        regions.len() > 1 || !matches!(change, Change::Awake(_) | Change::OtherEndFirst)
    };
    let changes: Vec<(Change, Pattern)> = every_change(regions.len())
        .filter(is_told)
        .filter_map(|change| Some((change, change.of(way, &base.orders)?)))
        .collect();
    machine.pass((self::changes(regions.len()) - changes.len()) as u64);
    let results = machine.runs(&changes, |(change, changed)| {
        let asleep: Vec<Region> = regions
            .iter()
            .enumerate()
            .filter(|(place, _)| *change != Change::Awake(*place))
            .map(|(_, region)| region.clone())
            .collect();
        left_once(base, &asleep, leaving, changed, tick)
    });
    let mut changed = Changed {
        tried: Vec::new(),
        mend: Vec::new(),
        untried: Vec::new(),
    };
    for ((change, _), left) in changes.into_iter().zip(results) {
        if left == Err(Unmade::CutShort) {
            changed.untried.push(change);
            continue;
        }
        changed.tried.push(change);
        if left.is_ok_and(|left| left.what.is_empty()) {
            changed.mend.push(change);
        }
    }
    changed
}
