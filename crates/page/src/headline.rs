//! What the page opens with: what went wrong first, where and why; or that all is well.
//!
//! The verdicts are those of the report, the causes those of an explanation.

use hallwright_declared::declarations::Goal;
use hallwright_explain::{Trouble, TroubleCause, shown};
use hallwright_report::RunInput;
use hallwright_report::findings::Findings;
use hallwright_report::goals::Verdict;
use hallwright_report::units::{count, grouped};
use hallwright_report::verdicts::Ruling;
use hallwright_words::goal_words;
use serde::Serialize;

use super::summary::state;

/// So many sentences say why.
const WHY: usize = 3;
/// So many more verdicts are named that are not as they should be.
const NAMED: usize = 3;
/// A hall of more parts has the causes of its verdicts alone: following every item of it takes too long.
const MOST_EXPLAINED: usize = 30_000;

/// The headline of one run.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Headline {
    /// How it came off, as of a card.
    pub(super) state: &'static str,
    /// The same in a word or two.
    pub(super) ruling: &'static str,
    /// What it is about.
    pub(super) what: String,
    /// The part at which it shows.
    pub(super) part: Option<String>,
    /// The tick in which it shows first.
    pub(super) tick: Option<u64>,
    /// Why, a sentence each.
    pub(super) why: Vec<String>,
    /// Which other verdicts are not as they should be, in words; empty for none.
    pub(super) more: String,
}

/// The headline of a run with these findings.
pub(super) fn headline(input: &RunInput<'_>, found: &Findings) -> Headline {
    let is_bad = |verdict: &&Verdict| !verdict.is_met();
    // Of equals, the first of the list.
    let worst = found
        .verdicts
        .iter()
        .rev()
        .max_by_key(|verdict| verdict.ruling);
    let Some(worst) = worst.filter(is_bad) else {
        return well(found);
    };
    let troubles = match input.network.part_count() {
        0..=MOST_EXPLAINED => shown(input, found),
        _ => Vec::new(),
    };
    let cause = first(&troubles, worst.ruling);
    let is_of = |trouble: &Trouble| {
        let mut verdicts = found.verdicts.iter();
        verdicts.find(|verdict| goal_words(verdict, found) == trouble.verdict)
    };
    let verdict = cause.and_then(|(trouble, _)| is_of(trouble));
    let verdict = verdict.unwrap_or(worst);
    let mut headline = match cause {
        Some((_, cause)) => of_cause(verdict, cause, found),
        None => of_verdict(input, worst, found),
    };
    // The state is seen at the end of a tick of the run.
    let last = found.run_ticks.saturating_sub(1);
    headline.tick = headline.tick.map(|tick| tick.min(last));
    let others = found.verdicts.iter().filter(is_bad);
    let others = others.filter(|other| !std::ptr::eq(*other, verdict));
    headline.more = more(
        &others
            .map(|other| other.subject.as_str())
            .collect::<Vec<_>>(),
    );
    headline
}

/// What else is not as it should be, in words; empty for nothing.
fn more(subjects: &[&str]) -> String {
    if subjects.is_empty() {
        return String::new();
    }
    let (named, others) = subjects.split_at(subjects.len().min(NAMED));
    let named = named.join(", ");
    match others.len() as u64 {
        0 => format!("Not as it should be, either: {named}"),
        others => format!(
            "Not as it should be, either: {named} and {} more",
            grouped(others)
        ),
    }
}

/// The cause that shows first, of the troubles that came off like this; one with a part before others.
fn first(troubles: &[Trouble], ruling: Ruling) -> Option<(&Trouble, &TroubleCause)> {
    let alike = troubles.iter().filter(|trouble| trouble.ruling == ruling);
    let causes = alike.flat_map(|trouble| trouble.causes.iter().map(move |cause| (trouble, cause)));
    causes.min_by_key(|(_, cause)| (cause.part.is_none(), cause.at.map_or(u64::MAX, |at| at.0)))
}

fn of_cause(verdict: &Verdict, cause: &TroubleCause, found: &Findings) -> Headline {
    let at = cause.at.or(verdict.went_wrong_at);
    Headline {
        state: state(verdict.ruling),
        ruling: verdict.ruling.words(),
        what: match cause.what.first() {
            // What it is about is said once.
            Some(what) if what.contains(&verdict.subject) => what.clone(),
            Some(what) => format!("{}: {what}", verdict.subject),
            None => goal_words(verdict, found),
        },
        part: cause.part.clone(),
        tick: at.map(|at| at.0),
        why: cause.why.iter().take(WHY).cloned().collect(),
        more: String::new(),
    }
}

/// Of a verdict that has no explanation: what was measured, and what the report says to it.
fn of_verdict(input: &RunInput<'_>, verdict: &Verdict, found: &Findings) -> Headline {
    let goal = verdict
        .goal
        .and_then(|goal| input.declarations.goals.get(goal));
    let part = match goal {
        Some(Goal::Contents { parts, .. }) => parts.first(),
        _ => None,
    };
    Headline {
        state: state(verdict.ruling),
        ruling: verdict.ruling.words(),
        what: goal_words(verdict, found),
        part: part.map(|part| input.network.name(*part).to_owned()),
        tick: verdict.went_wrong_at.map(|at| at.0),
        why: verdict.why.iter().take(WHY).cloned().collect(),
        more: String::new(),
    }
}

/// Nothing is missed, and everything is known.
fn well(found: &Findings) -> Headline {
    let of = |ruling: Ruling| {
        let verdicts = found.verdicts.iter();
        verdicts
            .filter(move |verdict| verdict.ruling == ruling)
            .count() as u64
    };
    let (allowed, open) = (of(Ruling::Allowed), of(Ruling::NotFinished));
    let all = found.verdicts.len();
    let mut why = Vec::new();
    if allowed > 0 {
        why.push(format!(
            "{} allowed by a goal of the file",
            count(allowed, "answer is", "answers are")
        ));
    }
    if open > 0 {
        why.push(format!(
            "{} not finished: goods are still on their way",
            count(open, "answer is", "answers are")
        ));
    }
    Headline {
        state: "good",
        ruling: "ok",
        what: format!(
            "All is well: {} of {all} answers are as they should be",
            of(Ruling::Ok)
        ),
        part: None,
        tick: None,
        why,
        more: String::new(),
    }
}
