//! Judges goals: each is one or more checks of a measured value against a bound.

mod retrieval;

use hallwright_core::declare::{Declarations, Goal, Mark};
use hallwright_core::tick::Tick;

use crate::findings::{ContentsFinding, Findings, LampFinding, Marks, OverflowReason, StopFinding};
use crate::units::{Rate, Share, listed};

/// A goal, judged.
#[derive(Clone, PartialEq, Debug)]
pub struct Verdict {
    /// What the goal is about: `misplaced`, `"main line" cleared`, …
    pub subject: String,
    /// Its checks. A goal without a single check cannot be judged, and counts as missed.
    pub checks: Vec<Check>,
    /// When it first went wrong, if that is known.
    pub went_wrong_at: Option<Tick>,
    /// What else there is to say, for instance why it could not be judged.
    pub remark: Option<String>,
}

impl Verdict {
    /// Whether the goal was met.
    #[must_use]
    pub fn is_met(&self) -> bool {
        !self.checks.is_empty() && self.checks.iter().all(Check::is_met)
    }
}

/// One measured value and its bound.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Check {
    /// What was measured.
    pub measured: Measured,
    /// The bound.
    pub bound: Bound,
    /// The stop that it belongs to, by its place among the stops of the run.
    pub stop: Option<usize>,
}

/// A measured value, exact.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Measured {
    /// Items.
    Items(u64),
    /// Sieves.
    Sieves(u64),
    /// Stacks.
    Stacks(u64),
    /// Ticks from a stop or restart; `None` for never.
    Ticks(Option<u64>),
    /// A moment; `None` if it never came.
    Moment(Option<Tick>),
    /// A throughput, the ticks a second that it is shown with, and whether it is one of boxes.
    Throughput(Rate, u32, bool),
    /// A share; of nothing, it counts as all.
    Share(Share),
    /// A mean: so many of something (work units, hoppers) over so many (ticks, blocks).
    Mean(u64, u64, MeanUnit),
}

/// What a mean is of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MeanUnit {
    /// Work units a tick.
    WorkPerTick,
    /// Hoppers a block.
    HoppersPerBlock,
}

/// A bound on what was measured, in the unit of that.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Bound {
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
}

impl Measured {
    /// The name of its unit, as programs read it.
    #[must_use]
    pub fn unit_name(self) -> &'static str {
        match self {
            Self::Items(_) => "items",
            Self::Sieves(_) => "sieves",
            Self::Stacks(_) => "stacks",
            Self::Ticks(_) => "ticks",
            Self::Moment(_) => "tick",
            Self::Throughput(_, _, false) => "items_per_second",
            Self::Throughput(_, _, true) => "boxes_per_second",
            Self::Share(_) => "share",
            Self::Mean(_, _, MeanUnit::WorkPerTick) => "work_units_per_tick",
            Self::Mean(_, _, MeanUnit::HoppersPerBlock) => "hoppers_per_block",
        }
    }

    /// The value as a number in its unit; `None` for what never came.
    #[must_use]
    pub fn value(self) -> Option<f64> {
        match self {
            Self::Items(count) | Self::Sieves(count) | Self::Stacks(count) => Some(count as f64),
            Self::Ticks(ticks) => ticks.map(|ticks| ticks as f64),
            Self::Moment(tick) => tick.map(|tick| tick.0 as f64),
            Self::Throughput(rate, ticks_per_second, _) => Some(rate.per_second(ticks_per_second)),
            Self::Share(share) => Some(share.value().unwrap_or(1.0)),
            Self::Mean(sum, count, _) => Some(crate::units::mean(sum, count)),
        }
    }
}

impl Check {
    /// Whether the bound holds. What never came holds no bound.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.measured.value().is_some_and(|value| match self.bound {
            Bound::AtLeast(least) => value >= least,
            Bound::AtMost(most) => value <= most,
        })
    }
}

/// Judges every goal, in the order of declaration.
#[must_use]
pub fn judge(declared: &Declarations, findings: &Findings) -> Vec<Verdict> {
    let goals = declared.goals.iter().enumerate();
    goals
        .map(|(index, goal)| {
            without_stores(goal, findings)
                .or_else(|| retrieval::verdict(goal, findings))
                .unwrap_or_else(|| judge_one(index, goal, declared, findings))
        })
        .collect()
}

/// A goal about stores where none is declared: it is missed, for nothing was looked at.
fn without_stores(goal: &Goal, found: &Findings) -> Option<Verdict> {
    let subject = match goal {
        Goal::MisplacedAtMost(_) => "misplaced",
        Goal::PassedByAtMost(_) => "passed by",
        Goal::InNoStoreAtMost(_) => "in no store",
        _ => return None,
    };
    let why = "no store is declared";
    found
        .stores
        .is_empty()
        .then(|| unjudged(subject.to_owned(), why))
}

fn judge_one(index: usize, goal: &Goal, declared: &Declarations, found: &Findings) -> Verdict {
    match goal {
        Goal::MisplacedAtMost(most) => {
            let stores = found
                .stores
                .iter()
                .filter(|store| !store.misplaced.is_empty());
            let first = stores.filter_map(|store| store.first_misplaced_at).min();
            let measured = Measured::Items(found.misplaced_items());
            simple("misplaced", measured, at_most(*most), first)
        }
        Goal::PassedByAtMost(most) => {
            let measured = Measured::Items(found.overflow.items(OverflowReason::PassedBy));
            let first = found.overflow.first_passed_by_at;
            simple("passed by", measured, at_most(*most), first)
        }
        Goal::SievesIntact => {
            let broken = found.sieves.iter().filter(|sieve| !sieve.is_intact());
            let first = broken.clone().filter_map(|sieve| sieve.broken_since).min();
            let measured = Measured::Sieves(broken.count() as u64);
            simple("sieves not intact", measured, at_most(0), first)
        }
        Goal::LostAtMost(most) => {
            let first = found.loss.rows.first().map(|row| row.at);
            simple(
                "lost",
                Measured::Items(found.loss.items),
                at_most(*most),
                first,
            )
        }
        Goal::ThroughputAtLeast {
            flow,
            items_per_second,
        } => {
            let flow = &found.flows[*flow];
            let (rate, tps) = (flow.steadiest, found.ticks_per_second);
            let measured = Measured::Throughput(rate, tps, flow.counts_boxes);
            let subject = format!("throughput of \"{}\"", flow.name);
            simple(&subject, measured, Bound::AtLeast(*items_per_second), None)
        }
        Goal::MarkWithin {
            mark,
            section,
            ticks,
        } => mark_verdict(*mark, *section, *ticks, declared, found),
        Goal::LockCoverAtLeast { section, share } => cover_verdict(*section, *share, found),
        Goal::WorkPerTickAtMost(most) => {
            let cost = &found.cost;
            let unit = MeanUnit::WorkPerTick;
            let measured = Measured::Mean(cost.work_units, cost.work_ticks, unit);
            simple("mean work", measured, Bound::AtMost(*most), None)
        }
        Goal::HoppersPerBlockAtMost(most) => hoppers_verdict(*most, found),
        Goal::Contents {
            at_least, at_most, ..
        } => contents_verdict(index, (*at_least, *at_most), found),
        Goal::LampRise { lamp, .. } => lamp_verdict(goal, &found.lamps[*lamp]),
        Goal::InNoStoreAtMost(_)
        | Goal::GoingRoundAtMost(_)
        | Goal::RequestWithin { .. }
        | Goal::PartStacksOutAtMost { .. }
        | Goal::LeftBehindAtMost(_) => unjudged(String::new(), "judged elsewhere"),
    }
}

fn contents_verdict(
    index: usize,
    (at_least, most): (Option<u64>, Option<u64>),
    found: &Findings,
) -> Verdict {
    let Some(contents) = &found.contents[index] else {
        return unjudged("contents".to_owned(), "they were not counted");
    };
    let bounds = [at_least.map(least), most.map(at_most)];
    let measured = Measured::Items(contents.items);
    several(contents_words(contents), measured, bounds)
}

fn at_most(most: u64) -> Bound {
    Bound::AtMost(most as f64)
}

fn least(least: u64) -> Bound {
    Bound::AtLeast(least as f64)
}

/// A goal with one bound. `first`: when it first went wrong, if it did.
fn simple(subject: &str, measured: Measured, bound: Bound, first: Option<Tick>) -> Verdict {
    let check = Check {
        measured,
        bound,
        stop: None,
    };
    Verdict {
        subject: subject.to_owned(),
        checks: vec![check],
        went_wrong_at: first.filter(|_| !check.is_met()),
        remark: None,
    }
}

/// A goal with several bounds on one value.
fn several(
    subject: String,
    measured: Measured,
    bounds: impl IntoIterator<Item = Option<Bound>>,
) -> Verdict {
    let bounds = bounds.into_iter().flatten();
    let checks = bounds.map(|bound| Check {
        measured,
        bound,
        stop: None,
    });
    Verdict {
        subject,
        checks: checks.collect(),
        went_wrong_at: None,
        remark: None,
    }
}

/// What cannot be judged.
fn unjudged(subject: String, why: &str) -> Verdict {
    Verdict {
        subject,
        checks: Vec::new(),
        went_wrong_at: None,
        remark: Some(why.to_owned()),
    }
}

/// `barley in barley chest`, `all in this, that … and 2 more`.
fn contents_words(contents: &ContentsFinding) -> String {
    let kinds = match contents.kinds.as_slice() {
        [] => "all".to_owned(),
        kinds => listed(kinds, 3),
    };
    format!("{kinds} in {}", listed(&contents.parts, 3))
}

/// A section that never was idle says nothing of its locks: the goal is not met by it.
fn cover_verdict(section: Option<usize>, share: f64, found: &Findings) -> Verdict {
    let (subject, cover, judged) = match section {
        Some(place) => {
            let section = &found.sections[place];
            let subject = format!("\"{}\" lock cover", section.name);
            (subject, section.lock_cover, &found.sections[place..=place])
        }
        None => {
            let subject = "lock cover".to_owned();
            (subject, found.cost.lock_cover, found.sections.as_slice())
        }
    };
    let never_idle: Vec<&str> = judged
        .iter()
        .filter(|section| section.was_never_idle)
        .map(|section| section.name.as_str())
        .collect();
    if let Some(first) = never_idle.first() {
        let others = match never_idle.len() - 1 {
            0 => String::new(),
            others => format!(", nor that of {others} other sections"),
        };
        let why = format!("the call of \"{first}\" was never off{others}");
        return unjudged(subject, &why);
    }
    if cover.whole == 0 {
        return unjudged(subject, "no section has hoppers to be locked");
    }
    simple(
        &subject,
        Measured::Share(cover),
        Bound::AtLeast(share),
        None,
    )
}

fn hoppers_verdict(most: f64, found: &Findings) -> Verdict {
    let Some(blocks) = found.cost.width_blocks.filter(|blocks| *blocks > 0) else {
        return unjudged("hoppers per block".to_owned(), "no width is declared");
    };
    let unit = MeanUnit::HoppersPerBlock;
    let measured = Measured::Mean(found.cost.hoppers, blocks.into(), unit);
    simple("hoppers per block", measured, Bound::AtMost(most), None)
}

/// The name of a mark, as the vocabulary has it.
#[must_use]
pub fn mark_words(mark: Mark) -> &'static str {
    match mark {
        Mark::Cleared => "cleared",
        Mark::SafeToClose => "safe to close",
        Mark::Quiet => "quiet",
        Mark::Resumed => "resumed",
    }
}

fn mark_verdict(
    mark: Mark,
    section: Option<usize>,
    ticks: u64,
    declared: &Declarations,
    found: &Findings,
) -> Verdict {
    let words = mark_words(mark);
    let subject = match section {
        Some(section) => format!("\"{}\" {words}", found.sections[section].name),
        None => words.to_owned(),
    };
    if found.sections.is_empty() && mark != Mark::Quiet {
        return unjudged(subject, "no section is declared");
    }
    let mut verdict = unjudged(subject, "no stop was reached");
    if mark == Mark::Resumed {
        verdict.remark = Some("no restart was reached".to_owned());
    }
    let restart_of = |index: usize| declared.stops[index].restart.is_some();
    for (index, stop) in found.stops.iter().enumerate() {
        let Some(measured) = mark_of(stop, mark, section) else {
            // A restart that the run never came to is a resume that never was.
            if restart_of(index) {
                verdict.remark = Some("a restart was not reached".to_owned());
            }
            continue;
        };
        verdict.checks.push(Check {
            measured: Measured::Ticks(measured),
            bound: at_most(ticks),
            stop: Some(index),
        });
    }
    if !verdict.checks.is_empty() {
        verdict.remark = (mark == Mark::Quiet && !all_known(found, section))
            .then(|| "the run was too short to be certain".to_owned());
    }
    let missed = verdict.checks.iter().find(|check| !check.is_met());
    verdict.went_wrong_at = missed.and_then(|check| check.stop).map(|index| {
        let stop = &found.stops[index];
        let start = match (&stop.resume, mark) {
            (Some(resume), Mark::Resumed) => resume.at,
            _ => stop.at,
        };
        // The first tick in which it was too late.
        start + ticks + 1
    });
    verdict
}

fn all_known(found: &Findings, section: Option<usize>) -> bool {
    let mut stops = found.stops.iter();
    stops.all(|stop| marks_of(stop, section).quiet.is_known)
}

/// The marks of one section, or of all.
fn marks_of(stop: &StopFinding, section: Option<usize>) -> &Marks {
    section.map_or(&stop.all, |section| &stop.sections[section].marks)
}

/// The ticks of a mark after one stop; the outer `None` for a resume without a restart, the inner
/// for never.
#[must_use]
pub fn mark_of(stop: &StopFinding, mark: Mark, section: Option<usize>) -> Option<Option<u64>> {
    let marks = marks_of(stop, section);
    match mark {
        Mark::Cleared => Some(marks.cleared_ticks),
        Mark::SafeToClose => Some(marks.safe_to_close_ticks),
        Mark::Quiet => Some(marks.quiet.ticks),
        Mark::Resumed => stop.resume.as_ref().map(|resume| match section {
            Some(section) => resume.sections[section],
            None => resume.resumed_ticks,
        }),
    }
}

fn lamp_verdict(goal: &Goal, lamp: &LampFinding) -> Verdict {
    let Goal::LampRise {
        not_before,
        not_after,
        at_least_items,
        at_most_items,
        ..
    } = goal
    else {
        return unjudged(lamp.name.clone(), "not about a lamp");
    };
    let subject = format!("first rise of \"{}\"", lamp.name);
    let moment = Measured::Moment(lamp.first_rise.map(|rise| rise.at));
    let bounds = [
        not_before.map(|tick| Bound::AtLeast(tick.0 as f64)),
        not_after.map(|tick| Bound::AtMost(tick.0 as f64)),
    ];
    let mut verdict = several(subject, moment, bounds);
    match lamp.first_rise {
        Some(rise) => {
            let items = Measured::Items(rise.watched_items);
            let bounds = [at_least_items.map(least), at_most_items.map(at_most)];
            verdict
                .checks
                .extend(several(String::new(), items, bounds).checks);
            // A goal without a bound asks no more than that the lamp rises.
            if verdict.checks.is_empty() {
                verdict
                    .checks
                    .extend(several(String::new(), moment, [Some(least(0))]).checks);
            }
            verdict.went_wrong_at = (!verdict.is_met()).then_some(rise.at);
        }
        None => {
            // Whatever the bounds are, the lamp was to rise.
            verdict.checks = several(String::new(), moment, bounds).checks;
            verdict.remark = Some("it never rose".to_owned());
            // The first tick in which it was too late.
            verdict.went_wrong_at = not_after.map(|tick| tick + 1);
        }
    }
    verdict
}
