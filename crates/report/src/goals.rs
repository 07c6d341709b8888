//! Judges goals: each is a figure of the catalogue, or two, with bounds.

mod causes;
mod for_good;
mod remarks;

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Goal, Mark};

use crate::figures::{Name, Of, Quantity, Reading};
use crate::findings::{Marks, Measured, StopFinding};
use crate::verdicts::{Question, Ruling, asked_of_all};

pub(crate) use self::for_good::SoFar;

/// A goal, judged.
#[derive(Clone, PartialEq, Debug)]
pub struct Verdict {
    /// What is asked.
    pub question: Question,
    /// How it came off.
    pub ruling: Ruling,
    /// The goal of the file that asks it, by its place there; `None` for what is judged anyway.
    pub goal: Option<usize>,
    /// What the goal is about: `misplaced`, `"main line" cleared`, …
    pub subject: String,
    /// Its checks. A goal without a single check cannot be judged, and counts as missed.
    pub checks: Vec<Check>,
    /// When it first went wrong, if that is known.
    pub went_wrong_at: Option<Tick>,
    /// What else there is to say, for instance why it could not be judged.
    pub remark: Option<String>,
    /// Why it came off so, a phrase for each cause.
    pub why: Vec<String>,
}

impl Verdict {
    /// Whether the goal was met.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.ruling.is_ok()
    }

    /// Whether no goal of the file asks it.
    #[must_use]
    pub fn is_judged_anyway(&self) -> bool {
        self.goal.is_none()
    }
}

/// One measured value and its bound.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Check {
    /// What was measured.
    pub measured: Quantity,
    /// The bound.
    pub bound: Bound,
    /// The stop that it belongs to, by its place among the stops of the run.
    pub stop: Option<usize>,
}

/// A bound on what was measured, in the unit of that.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Bound {
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
}

impl Bound {
    /// Whether a value keeps it.
    #[must_use]
    pub fn is_met_by(self, value: f64) -> bool {
        match self {
            Self::AtLeast(least) => value >= least,
            Self::AtMost(most) => value <= most,
        }
    }

    /// Its number.
    #[must_use]
    pub fn number(self) -> f64 {
        match self {
            Self::AtLeast(number) | Self::AtMost(number) => number,
        }
    }
}

impl Check {
    /// Whether the bound is met. What never came meets no bound.
    #[must_use]
    pub fn is_met(&self) -> bool {
        let value = self.measured.value();
        value.is_some_and(|value| self.bound.is_met_by(value))
    }
}

/// What a goal asks for.
#[derive(Clone, PartialEq, Debug)]
pub struct Asked {
    /// The figure that it is about.
    pub figure: Name,
    /// Of what.
    pub of: Of,
    /// The bounds on it.
    pub bounds: Vec<Bound>,
    /// A second figure of the same, with the bounds on that.
    pub beside: Option<(Name, Vec<Bound>)>,
}

/// What a goal asks for. `place`: its place among the goals.
#[must_use]
#[expect(clippy::too_many_lines, reason = "one short arm for each goal")]
pub fn asked(place: usize, goal: &Goal) -> Asked {
    let whole = |figure, bound| simply(figure, Of::Whole, bound);
    match goal {
        Goal::MisplacedAtMost(most) => whole(Name::MISPLACED, at_most(*most)),
        Goal::PassedByAtMost(most) => whole(Name::PASSED_BY, at_most(*most)),
        Goal::SievesBrokenAtMost(most) => whole(Name::SIEVES_NOT_INTACT, at_most(*most)),
        Goal::LostAtMost(most) => whole(Name::LOST, at_most(*most)),
        Goal::RefusedAtMost(most) => whole(Name::REFUSED, at_most(*most)),
        Goal::StuckAtMost(most) => whole(Name::STUCK, at_most(*most)),
        Goal::BackedUpAtMost(most) => whole(Name::BACKED_UP, at_most(*most)),
        Goal::StopsNotSafeAtMost(most) => whole(Name::STOPS_NOT_SAFE, at_most(*most)),
        // Those that are named are left out of the count when it is judged.
        Goal::WithoutHome(_) => whole(Name::WITHOUT_HOME, at_most(0)),
        Goal::SharedHome(_) => whole(Name::SHARED_HOME, at_most(0)),
        Goal::InNoStoreAtMost(most) => whole(Name::IN_NO_STORE, at_most(*most)),
        Goal::GoingRoundAtMost(most) => whole(Name::STILL_GOING_ROUND, at_most(*most)),
        Goal::ThroughputAtLeast {
            flow,
            items_per_second,
            best,
        } => {
            let bound = Bound::AtLeast(*items_per_second);
            let figure = if *best {
                Name::THROUGHPUT
            } else {
                Name::WORST_THROUGHPUT
            };
            simply(figure, Of::Flow(*flow), bound)
        }
        Goal::RequestWithin {
            desk,
            ticks,
            with_stops,
        } => {
            let figure = if *with_stops {
                Name::SLOWEST_REQUEST
            } else {
                Name::SLOWEST_REQUEST_RUNNING
            };
            simply(figure, Of::Desk(*desk), at_most(*ticks))
        }
        Goal::PartStacksOutAtMost { gather, stacks } => {
            simply(Name::PART_STACKS_OUT, Of::Gather(*gather), at_most(*stacks))
        }
        Goal::LeftBehindAtMost(most) => whole(Name::LEFT_BEHIND, at_most(*most)),
        Goal::MarkWithin {
            mark,
            section,
            ticks,
        } => simply(Name::of_mark(*mark), Of::section(*section), at_most(*ticks)),
        Goal::LockCoverAtLeast { section, share } => {
            let of = Of::section(*section);
            simply(Name::LOCK_COVER, of, Bound::AtLeast(*share))
        }
        Goal::CallIdleAtMost { section, ticks } => {
            simply(Name::CALL_IDLE, Of::section(*section), at_most(*ticks))
        }
        Goal::WorkPerTickAtMost(most) => whole(Name::MEAN_WORK, Bound::AtMost(*most)),
        Goal::HoppersPerBlockAtMost(most) => whole(Name::HOPPERS_PER_BLOCK, Bound::AtMost(*most)),
        // Those that are named are not counted when it is measured.
        Goal::Crowded(_) => whole(Name::CROWDED, at_most(0)),
        Goal::Buildable(_) => whole(Name::SITE_PROBLEMS, at_most(0)),
        Goal::Contents {
            at_least, at_most, ..
        } => Asked {
            figure: Name::CONTENTS,
            of: Of::Contents(place),
            bounds: between(*at_least, *at_most),
            beside: None,
        },
        Goal::LampRise {
            lamp,
            not_before,
            not_after,
            at_least_items,
            at_most_items,
        } => Asked {
            figure: Name::FIRST_RISE,
            of: Of::Lamp(*lamp),
            bounds: between(not_before.map(|at| at.0), not_after.map(|at| at.0)),
            beside: Some((
                Name::FIRST_RISE_HOLDING,
                between(*at_least_items, *at_most_items),
            )),
        },
    }
}

fn simply(figure: Name, of: Of, bound: Bound) -> Asked {
    Asked {
        figure,
        of,
        bounds: vec![bound],
        beside: None,
    }
}

fn at_most(most: u64) -> Bound {
    Bound::AtMost(most as f64)
}

fn between(least: Option<u64>, most: Option<u64>) -> Vec<Bound> {
    let least = least.map(|least| Bound::AtLeast(least as f64));
    least.into_iter().chain(most.map(at_most)).collect()
}

/// The bound that the goals set on a figure, the first if there are several.
#[must_use]
pub fn bound_on(declared: &Declarations, figure: Name, of: &Of) -> Option<Bound> {
    let goals = declared.goals.iter().enumerate();
    let mut asked = goals.map(|(place, goal)| asked(place, goal));
    let found = asked.find(|asked| asked.figure == figure && asked.of == *of)?;
    found.bounds.first().copied()
}

/// Judges everything that is asked of a run, the goals of the file first.
#[must_use]
pub fn judge(declared: &Declarations, found: &Measured) -> Vec<Verdict> {
    let all = asked_of_all(declared).into_iter();
    all.map(|(place, goal)| {
        // Only goals about contents are found by their place, and these are all in the file.
        let asked = as_it_can_be_judged(asked(place.unwrap_or(usize::MAX), &goal), found);
        let mut verdict = judge_one((place, Question::of(&goal)), &asked, found);
        remarks::add(&mut verdict, &goal, &asked, declared, found);
        causes::allow_named(&mut verdict, &goal, &found.kind_names, found);
        causes::count_stops(&mut verdict, &goal, declared, found);
        let on_the_way = found.going_on.on_the_way.goods_and_boxes();
        verdict.ruling = Ruling::of(&verdict, asked.figure, on_the_way);
        causes::add(&mut verdict, &goal, declared, found);
        verdict
    })
    .collect()
}

/// Where goods never waited long enough for a worst window, a flow may have taken all that came as it
/// came; then its best one must do, as far as it shows anything.
fn as_it_can_be_judged(mut asked: Asked, found: &Measured) -> Asked {
    if let Of::Flow(flow) = asked.of
        && asked.figure == Name::WORST_THROUGHPUT
        && found.flows[flow].worst.is_none()
    {
        asked.figure = Name::THROUGHPUT;
    }
    asked
}

/// Holds what was measured against the bounds. The ruling comes when all checks are there.
fn judge_one(
    (goal, question): (Option<usize>, Question),
    asked: &Asked,
    found: &Measured,
) -> Verdict {
    let Asked { figure, of, .. } = asked;
    let mut verdict = Verdict {
        question,
        ruling: Ruling::NotKnown,
        goal,
        why: Vec::new(),
        subject: figure.subject(found, of),
        checks: Vec::new(),
        went_wrong_at: None,
        remark: figure.why_not(found, of),
    };
    if verdict.remark.is_some() {
        return verdict;
    }
    let readings = figure.readings(found, of);
    if readings.is_empty() {
        verdict.remark = Some(figure.why_nothing().to_owned());
        return verdict;
    }
    verdict.checks = checks(&readings, &asked.bounds);
    if let Some((beside, bounds)) = &asked.beside {
        let readings = beside.readings(found, of);
        verdict.checks.extend(checks(&readings, bounds));
    }
    if !verdict.checks.iter().all(Check::is_met) {
        verdict.went_wrong_at = figure.first_at(found);
    }
    verdict
}

fn checks(readings: &[Reading], bounds: &[Bound]) -> Vec<Check> {
    let each = readings.iter().flat_map(|reading| {
        bounds.iter().map(|bound| Check {
            measured: reading.quantity,
            bound: *bound,
            stop: reading.stop,
        })
    });
    each.collect()
}

/// The name of a mark, as the vocabulary has it.
#[must_use]
pub fn mark_words(mark: Mark) -> &'static str {
    Name::of_mark(mark).words()
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
