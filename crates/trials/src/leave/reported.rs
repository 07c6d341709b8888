//! What all leaves of a hall come to: from when on it is well, whether the lamp that says so is right, and
//! why what broke did.

use std::collections::BTreeMap;

use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Leave, Region};
use hallwright_report::RunInput;
use hallwright_report::verdicts::Question;

use super::crossings::{Crossing, crossings};
use super::why::{Change, changes, mended_by};
use super::{Breakage, LeaveFindings, Leaving, LeftAt, Pattern, When, leave, pair, patterns};
use crate::cases::StopRange;
use crate::machine::Machine;

/// What came of being asked what becomes of a hall that is left.
#[derive(Clone, PartialEq, Debug)]
pub enum LeaveAsked {
    /// No regions are declared: nobody knows what would fall asleep when.
    NoRegions,
    /// Its run ends, in this tick, before the first tick at which it was to be left.
    RunEnds(Tick),
    /// It was cut short before so many leaves, the first among them.
    CutShort(u64),
    /// What was found.
    Reported(Box<LeaveReported>),
}

impl LeaveAsked {
    /// What was found, if it was tried.
    #[must_use]
    pub fn report(&self) -> Option<&LeaveReported> {
        match self {
            Self::Reported(report) => Some(report),
            Self::NoRegions | Self::RunEnds(_) | Self::CutShort(_) => None,
        }
    }

    /// How many leaves were not made because they were cut short.
    #[must_use]
    pub fn unmade_leaves(&self) -> u64 {
        match self {
            Self::CutShort(leaves) => *leaves,
            Self::Reported(report) => report.unmade_leaves(),
            Self::NoRegions | Self::RunEnds(_) => 0,
        }
    }

    /// Whether nothing that was tried is as it should not be, and all was tried.
    #[must_use]
    pub fn is_ok(&self) -> bool {
        self.is_ok_so_far() && self.unmade_leaves() == 0
    }

    /// Whether nothing that was tried is as it should not be.
    #[must_use]
    pub fn is_ok_so_far(&self) -> bool {
        self.report().is_none_or(LeaveReported::is_ok_so_far)
    }

    /// Whether a run broke an invariant.
    #[must_use]
    pub fn is_broken(&self) -> bool {
        self.report().is_some_and(LeaveReported::is_broken)
    }
}

/// What leaving a hall at each tick of a range came to.
#[derive(Clone, PartialEq, Debug)]
pub struct LeaveReported {
    /// How it was left.
    pub leave: Leave,
    /// The regions, from near to far.
    pub regions: Vec<String>,
    /// At which ticks.
    pub range: StopRange,
    /// The tick in which the run ends, if ticks of the range that was asked for come later and were not
    /// tried.
    pub cut_at: Option<Tick>,
    /// The ways in which it was left at each tick.
    pub ways: Vec<Pattern>,
    /// What was found.
    pub found: LeaveFindings,
    /// What is to be said of the lamp.
    pub lamp: LampReport,
    /// The first tick tried at which something broke.
    pub first_broken: Option<BrokenLeave>,
    /// The last one, if it is another.
    pub last_broken: Option<BrokenLeave>,
    /// Ticks a second.
    pub ticks_per_second: u32,
}

/// Whether the lamp that says that the hall may be left is right.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LampReport {
    /// There is no lamp.
    None,
    /// There are these, and none is named.
    NoneNamed(Vec<String>),
    /// This one was looked at.
    Judged {
        /// Its name.
        name: String,
        /// The ticks tried at whose end it was on.
        on_at: Vec<Tick>,
        /// The ticks tried at which it was on and something broke all the same.
        false_at: Vec<Tick>,
        /// Whether it was on at none of the ticks tried at which, and after which, nothing broke, though
        /// there were some.
        stays_off: bool,
    },
}

/// What whoever asks has to say about a hall that is left.
#[derive(Clone, Copy)]
pub struct Wording<'a> {
    /// The command that leaves it at the end of a tick.
    pub command: &'a dyn Fn(Tick) -> String,
    /// Why it is with these questions as it is in a run, in sentences.
    pub explain: &'a dyn Fn(&RunInput<'_>, &[Question]) -> Vec<String>,
}

/// One tick at which something broke.
#[derive(Clone, PartialEq, Debug)]
pub struct BrokenLeave {
    /// The tick.
    pub tick: Tick,
    /// In how many ways it broke in which the nearest region fell asleep first, and how many these are.
    pub near_first: (usize, usize),
    /// The same of those in which the farthest did.
    pub far_first: (usize, usize),
    /// The plainest of the ways in which it broke.
    pub way: Pattern,
    /// What broke so.
    pub what: Vec<(When, Breakage)>,
    /// The regions of the parts that are named there.
    pub region_of: BTreeMap<String, String>,
    /// What was changed to find out why, each by itself.
    pub changed: Vec<Change>,
    /// What of it mends it.
    pub mended_by: Vec<Change>,
    /// What was not changed, because that was cut short.
    pub untried: Vec<Change>,
    /// What is lost, misplaced, stuck or refused in the run that was left, explained in sentences.
    pub explained: Vec<String>,
    /// What was still to cross between a region that slept and one that did not.
    pub crossings: Vec<Crossing>,
    /// The command that repeats it.
    pub command: String,
}

impl BrokenLeave {
    /// In how many ways it broke, and in how many the hall was left.
    #[must_use]
    pub fn ways(&self) -> (usize, usize) {
        (
            self.near_first.0 + self.far_first.0,
            self.near_first.1 + self.far_first.1,
        )
    }
}

impl LeaveReported {
    /// Whether nothing broke at the last tick tried, the lamp was right, and all of the hall slept: what is
    /// known of a part of it is not known of the hall. If it was cut short, that is said of what was tried.
    #[must_use]
    pub fn is_ok_so_far(&self) -> bool {
        self.found.ticks.last().is_none_or(LeftAt::is_well)
            && self.found.in_no_region.is_empty()
            && self.false_lights().is_empty()
            && !self.is_broken()
    }

    /// Whether a run broke an invariant.
    #[must_use]
    pub fn is_broken(&self) -> bool {
        self.failed().next().is_some()
    }

    /// The runs that broke an invariant.
    pub fn failed(&self) -> impl Iterator<Item = (Tick, &str)> {
        let ticks = self.found.ticks.iter();
        ticks.flat_map(|left| {
            let failed = left.failed.iter();
            failed.map(|(_, message)| (left.tick, message.as_str()))
        })
    }

    /// The ticks tried at which the lamp was on and something broke.
    #[must_use]
    pub fn false_lights(&self) -> &[Tick] {
        match &self.lamp {
            LampReport::Judged { false_at, .. } => false_at,
            LampReport::None | LampReport::NoneNamed(_) => &[],
        }
    }

    /// How often the hall was left.
    #[must_use]
    pub fn leaves(&self) -> u64 {
        let each = self.found.ticks.iter().map(|left| left.patterns);
        each.sum::<usize>() as u64
    }

    /// How many leaves were not made because they were cut short, those among them that find out why.
    #[must_use]
    pub fn unmade_leaves(&self) -> u64 {
        let reported = self.reported_broken().map(|broken| broken.untried.len());
        (self.found.unmade() + reported.sum::<usize>()) as u64
    }

    /// The ticks at which something broke that are reported, the last one first.
    pub fn reported_broken(&self) -> impl Iterator<Item = &BrokenLeave> {
        self.last_broken.iter().chain(&self.first_broken)
    }
}

/// The ticks of a range that come before the run ends; `None` if none does.
#[must_use]
pub fn within_run(range: StopRange, run_ticks: u64) -> Option<StopRange> {
    let last = run_ticks.checked_sub(1).map(Tick)?;
    (range.from <= last).then_some(StopRange {
        to: range.to.min(last),
        ..range
    })
}

/// How often a hall is left at the ticks of a range in at most so many ways, to find what breaks and why.
#[must_use]
pub fn leaves(base: &RunInput<'_>, range: StopRange, most_ways: usize) -> u64 {
    let regions = base.declarations.regions.len();
    let Some(range) = within_run(range, base.run_ticks).filter(|_| regions > 0) else {
        return 0;
    };
    let ways = most_ways.min(super::MOST_PATTERNS);
    (range.ticks().len() * ways + 2 * changes(regions)) as u64
}

/// Leaves a hall at each tick of a range, in at most so many ways, until the machine is cut short, and says what
/// came of it.
#[must_use]
pub fn report(
    base: &RunInput<'_>,
    range: StopRange,
    most_ways: usize,
    machine: &Machine<'_>,
    wording: Wording<'_>,
) -> LeaveAsked {
    let declared = base.declarations;
    if declared.regions.is_empty() {
        return LeaveAsked::NoRegions;
    }
    let Some(tried) = within_run(range, base.run_ticks) else {
        return LeaveAsked::RunEnds(Tick(base.run_ticks));
    };
    let mut ways = patterns(base.seed, declared.regions.len(), declared.leave.late_ticks);
    ways.truncate(most_ways);
    if machine.is_cut_short() {
        return LeaveAsked::CutShort((tried.ticks().len() * ways.len()) as u64);
    }
    let leaving = Leaving::from(&declared.leave);
    let found = leave(base, &declared.regions, leaving, &ways, tried, machine);
    let mut broken = found.ticks.iter().filter(|left| !left.broken.is_empty());
    let first = broken.next();
    let last = broken.next_back();
    let reporting = Reporting {
        base,
        leaving,
        ways: &ways,
        machine,
        wording,
    };
    let [first_broken, last_broken] =
        [first, last].map(|left| left.and_then(|left| reporting.broken_leave(left)));
    LeaveAsked::Reported(Box::new(LeaveReported {
        lamp: lamp_report(declared, &found),
        leave: declared.leave.clone(),
        regions: declared
            .regions
            .iter()
            .map(|region| region.name.clone())
            .collect(),
        range: tried,
        cut_at: (tried != range).then_some(Tick(base.run_ticks)),
        found,
        first_broken,
        last_broken,
        ticks_per_second: base.network.rules().ticks_per_second,
        ways,
    }))
}

fn lamp_report(declared: &Declarations, found: &LeaveFindings) -> LampReport {
    let lamp = match (declared.leave.lamp, declared.lamps.as_slice()) {
        (_, []) => return LampReport::None,
        (Some(named), _) => named,
        (None, [_]) => 0,
        (None, several) => {
            let names = several.iter().map(|lamp| lamp.name.clone());
            return LampReport::NoneNamed(names.collect());
        }
    };
    let on = found
        .ticks
        .iter()
        .filter(|left| left.lamps_on.contains(&lamp));
    let on_at: Vec<Tick> = on.map(|left| left.tick).collect();
    let well_from = found.well_from();
    LampReport::Judged {
        name: declared.lamps[lamp].name.clone(),
        false_at: found.false_lights(lamp),
        stays_off: well_from.is_some_and(|well| on_at.iter().all(|tick| *tick < well)),
        on_at,
    }
}

/// What it takes to report one tick.
struct Reporting<'a, 'p> {
    base: &'a RunInput<'a>,
    leaving: Leaving,
    ways: &'a [Pattern],
    machine: &'a Machine<'p>,
    wording: Wording<'a>,
}

impl Reporting<'_, '_> {
    fn broken_leave(&self, left: &LeftAt) -> Option<BrokenLeave> {
        let regions = &self.base.declarations.regions;
        let broken = left.broken.iter();
        let plainest = broken.min_by_key(|broken| oddities(&broken.way, &self.base.orders))?;
        let (way, tick) = (&plainest.way, left.tick);
        let of = |near_first: bool| {
            let is_so = |way: &&Pattern| way.near_first == near_first;
            let broken = left.broken.iter().map(|broken| &broken.way);
            let ways = self.ways.iter().enumerate();
            let made = ways.filter(|(place, _)| !left.unmade.contains(place));
            (
                broken.filter(is_so).count(),
                made.map(|(_, way)| way).filter(is_so).count(),
            )
        };
        let changed = mended_by(self.base, regions, self.leaving, way, tick, self.machine);
        let is_whole = changed.untried.is_empty();
        Some(BrokenLeave {
            tick,
            near_first: of(true),
            far_first: of(false),
            way: way.clone(),
            what: plainest.what.clone(),
            region_of: regions_named(self.base.network, regions, &plainest.what),
            changed: changed.tried,
            mended_by: changed.mend,
            untried: changed.untried,
            explained: match is_whole {
                true => self.explained(way, tick, &plainest.what),
                false => Vec::new(),
            },
            crossings: match is_whole {
                true => crossings(self.base, regions, self.leaving, way, tick),
                false => Vec::new(),
            },
            command: (self.wording.command)(tick),
        })
    }

    /// Why what broke is as it is, where a run is asked about it anyway.
    fn explained(&self, way: &Pattern, tick: Tick, what: &[(When, Breakage)]) -> Vec<String> {
        let questions: Vec<Question> = what
            .iter()
            .flat_map(|(_, breakage)| questions(breakage))
            .copied()
            .collect();
        if questions.is_empty() {
            return Vec::new();
        }
        let base = way.before(self.base);
        let regions = &base.declarations.regions;
        let [left, _] = pair(&base, regions, self.leaving, way, tick);
        (self.wording.explain)(&left.input(), &questions)
    }
}

/// What is asked of every run about something that broke.
fn questions(breakage: &Breakage) -> &'static [Question] {
    match breakage {
        Breakage::Lost { .. } => &[Question::Lost],
        Breakage::Misplaced { .. } => &[Question::Misplaced],
        Breakage::Stuck { .. } => &[Question::Stuck, Question::BackedUp],
        Breakage::Refused { .. } => &[Question::Refused],
        Breakage::Signal { .. } | Breakage::Inventory { .. } => &[],
    }
}

/// In how many things a way is odder than the plainest.
fn oddities(way: &Pattern, own: &Orders) -> usize {
    let late = way.late_ticks.iter().filter(|late| **late > 0).count();
    late + usize::from(way.before.is_some()) * 2 + usize::from(way.orders != *own)
}

/// The region of each part that is named.
fn regions_named(
    network: &Network,
    regions: &[Region],
    what: &[(When, Breakage)],
) -> BTreeMap<String, String> {
    let names = what.iter().filter_map(|(_, breakage)| breakage.at());
    let each = names.filter_map(|name| {
        let part = network.find(name)?;
        let mut regions = regions.iter();
        let region = regions.find(|region| region.parts.contains(&part))?;
        Some((name.to_owned(), region.name.clone()))
    });
    each.collect()
}
