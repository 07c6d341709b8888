//! Verdicts on cards: in which one each is reported, and how.

use hallwright_declared::declarations::{Declarations, Goal};
use hallwright_report::figures::Amount;
use hallwright_report::findings::Findings;
use hallwright_report::goals::{Bound, Check, Verdict};
use hallwright_report::units::{decimal, grouped, seconds};
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_words::{goal_words, quantity_words};

use super::{Line, said};

/// How many causes of a verdict a card reports.
const CAUSES: usize = 1;

/// The card on which a verdict is reported.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Topic {
    Sorted,
    KeptUp,
    Stopped,
    Lost,
    Refused,
    Cost,
    /// Whatever no other card asks.
    Else,
}

impl Topic {
    fn of(verdict: &Verdict, declared: &Declarations) -> Self {
        match verdict.question {
            Question::Misplaced
            | Question::PassedBy
            | Question::Sieves
            | Question::Stuck
            | Question::BackedUp
            | Question::WithoutHome
            | Question::SharedHome => Self::Sorted,
            Question::Lost => Self::Lost,
            Question::Refused => Self::Refused,
            Question::SafeToClose => Self::Stopped,
            Question::Crowded | Question::Buildable => Self::Cost,
            Question::Other => {
                let goal = verdict.goal.and_then(|goal| declared.goals.get(goal));
                goal.map_or(Self::Else, Self::of_goal)
            }
        }
    }

    fn of_goal(goal: &Goal) -> Self {
        match goal {
            Goal::InNoStoreAtMost(_) | Goal::GoingRoundAtMost(_) => Self::Sorted,
            Goal::ThroughputAtLeast { .. } => Self::KeptUp,
            Goal::MarkWithin { .. } => Self::Stopped,
            Goal::LockCoverAtLeast { .. }
            | Goal::CallIdleAtMost { .. }
            | Goal::WorkPerTickAtMost(_)
            | Goal::HoppersPerBlockAtMost(_) => Self::Cost,
            _ => Self::Else,
        }
    }

    /// The verdicts that are reported on this card.
    pub(super) fn verdicts<'f>(
        self,
        declared: &'f Declarations,
        found: &'f Findings,
    ) -> impl Iterator<Item = &'f Verdict> + Clone {
        let all = found.verdicts.iter();
        all.filter(move |verdict| Self::of(verdict, declared) == self)
    }
}

/// How something came off, as the page's style knows it.
pub(in super::super) fn state(ruling: Ruling) -> &'static str {
    match ruling {
        Ruling::Ok => "good",
        Ruling::Allowed => "allowed",
        Ruling::NotFinished => "open",
        Ruling::NotKnown => "unknown",
        Ruling::Missed => "bad",
    }
}

/// Whether there is more to say of a verdict than that all is as it should be.
pub(super) fn is_worth_reporting(verdict: &Verdict) -> bool {
    !verdict.is_judged_anyway() || verdict.ruling != Ruling::Ok
}

/// The worst of some rulings.
pub(super) fn worst<'v>(verdicts: impl Iterator<Item = &'v Verdict>) -> Option<Ruling> {
    verdicts.map(|verdict| verdict.ruling).max()
}

/// A verdict: what was measured against which bound, and why it is not as it should be.
pub(super) fn lines(verdict: &Verdict, found: &Findings) -> Vec<Line> {
    let mut lines = vec![line(verdict, found)];
    lines.extend(causes(verdict));
    lines
}

/// Why a verdict is not as it should be. Whoever allowed it knows why, and the map is to be seen below.
pub(super) fn causes(verdict: &Verdict) -> impl Iterator<Item = Line> {
    let is_reported = !matches!(verdict.ruling, Ruling::Ok | Ruling::Allowed);
    let why = verdict.why.iter().filter(move |_| is_reported).take(CAUSES);
    let more = verdict.why.len().saturating_sub(CAUSES);
    let more = (is_reported && more > 0).then(|| {
        let subject = &verdict.subject;
        said(&format!("… and {more} more {subject}"))
    });
    why.map(|why| said(why)).chain(more)
}

fn line(verdict: &Verdict, found: &Findings) -> Line {
    let missed = verdict.checks.iter().find(|check| !check.is_met());
    match missed.or(verdict.checks.first()) {
        Some(check) => of_check(verdict, check, verdict.ruling, found),
        None => Line {
            state: state(verdict.ruling),
            ..said(&goal_words(verdict, found))
        },
    }
}

/// A check of a verdict, which came off like this.
pub(super) fn of_check(verdict: &Verdict, check: &Check, ruling: Ruling, found: &Findings) -> Line {
    // What no goal asks has no bound that anyone set.
    let same = verdict.checks.iter().filter(|other| {
        !verdict.is_judged_anyway() && other.measured == check.measured && other.stop == check.stop
    });
    let bounds: Vec<String> = same
        .map(|check| bound_words(check, found.ticks_per_second))
        .collect();
    Line {
        label: verdict.subject.clone(),
        figure: quantity_words(check.measured, found.ticks_per_second),
        bound: bounds.join(", "),
        state: state(ruling),
    }
}

/// A bound without its unit, times in seconds: `≤ 30.0 s`.
pub(super) fn bound_words(check: &Check, ticks_per_second: u32) -> String {
    let number = check.bound.number();
    // Bounds on counts and ticks were whole numbers from the start.
    let whole = number as u64;
    let number = match check.measured.amount {
        Amount::Count(_) => grouped(whole),
        Amount::Ticks(_) | Amount::Span(_) | Amount::Moment(_) => seconds(whole, ticks_per_second),
        Amount::Rate(..) | Amount::Mean { .. } => decimal(number, 2),
        Amount::Share(_) => format!("{:.1} %", number * 100.0),
    };
    match check.bound {
        Bound::AtLeast(_) => format!("≥ {number}"),
        Bound::AtMost(_) => format!("≤ {number}"),
    }
}
