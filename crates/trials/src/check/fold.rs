//! One run of a check, and what all of them together come to.

use std::collections::BTreeSet;

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;

use super::causes::causes;
use super::record::Measured;
use super::trail::TrailWatch;
use crate::case::{Case, CaseRun};
use crate::cases::{OrdersTried, StopRange};
use crate::sweep::{self, StopRow, SweepFindings};
use hallwright_report::figures::{Amount, Quantity, Unit, When};
use hallwright_report::findings::{Findings, SiteFinding};
use hallwright_report::goals::{Asked, Bound, Check, Verdict, asked};
use hallwright_report::units::{count, decimal, time};
use hallwright_report::verdicts::{Ruling, asked_of_all};
use hallwright_words::goal_words;

/// What is kept of one run.
pub struct CaseResult {
    goals: Vec<GoalInCase>,
    stops: StopRow,
    ticks_per_second: u32,
    run_ticks: u64,
    site: Option<SiteFinding>,
    /// What it measured, if that was asked for.
    pub measured: Option<Measured>,
}

struct GoalInCase {
    verdict: Verdict,
    /// By how much the bound is exceeded, in the unit of the goal; negative if it holds, infinite
    /// if what was to come never came.
    excess: f64,
    /// By how much the bound is exceeded as a share of it, to compare goals of different units.
    relative_excess: f64,
    words: String,
    excess_words: String,
    causes: Vec<String>,
}

/// A goal over all runs, or what is judged though no goal asks it.
#[derive(Clone, PartialEq, Debug)]
pub struct GoalChecked {
    /// What it is about.
    pub subject: String,
    /// The line of the scenario in which it is declared, from 1; `None` for what no goal asks.
    pub line: Option<usize>,
    /// In how many runs it was judged.
    pub runs: u64,
    /// In how many of them it was missed.
    pub missed_runs: u64,
    /// The run in which it came off worst: missed by most, or met by least.
    pub worst: Worst,
}

impl GoalChecked {
    /// Whether it held in every run.
    #[must_use]
    pub fn is_ok(&self) -> bool {
        self.missed_runs == 0
    }

    /// How it came off in the worst run.
    #[must_use]
    pub fn ruling(&self) -> Ruling {
        self.worst.verdict.ruling
    }

    /// Whether no goal of the file asks it.
    #[must_use]
    pub fn is_judged_anyway(&self) -> bool {
        self.worst.verdict.is_judged_anyway()
    }

    /// Where it is asked: `line 41`, or `judged though no goal asks`.
    #[must_use]
    pub fn place_words(&self) -> String {
        match self.line {
            Some(line) => format!("line {line}"),
            None => JUDGED_ANYWAY.to_owned(),
        }
    }
}

/// What is said of a verdict that no goal of the file asks for.
pub const JUDGED_ANYWAY: &str = "judged though no goal asks";

/// A goal in the run in which it came off worst.
#[derive(Clone, PartialEq, Debug)]
pub struct Worst {
    /// The run.
    pub case: Case,
    /// The goal, judged.
    pub verdict: Verdict,
    /// What was measured against which bound, and when it went wrong.
    pub words: String,
    /// By how much it was missed; empty if it was met.
    pub excess_words: String,
    /// How bad that is: the excess as a share of the bound, infinite for what never came.
    pub severity: f64,
    /// Why, a line each, if it was missed.
    pub causes: Vec<String>,
    /// The part at which it shows first, and where that is declared; `None` where that was not looked for, or is no
    /// one part.
    pub part: Option<PartPlace>,
    /// The command that repeats the run.
    pub command: String,
}

/// Where a part is declared.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartPlace {
    /// The part.
    pub part: String,
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
}

/// A run that broke an invariant.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BrokenRun {
    /// The run.
    pub case: Case,
    /// What broke.
    pub message: String,
    /// The command that repeats the run.
    pub command: String,
}

/// What the runs of one scenario come to.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Fold {
    /// The goals, in the order of declaration, then what is judged anyway.
    pub goals: Vec<GoalChecked>,
    /// The runs that broke.
    pub broken: Vec<BrokenRun>,
    /// Ticks a second of the runs' world; 0 if every run broke.
    pub ticks_per_second: u32,
    /// The length of the first run that did not break, in ticks.
    pub run_ticks: u64,
    /// Whether it can be built where its layout says, which is the same in all runs; `None` if every run
    /// broke, or if it says of no part where it stands.
    pub site: Option<SiteFinding>,
    /// The worst of all stop ticks, if those of a range were tried and the scenario has a stop.
    pub sweep: Option<SweepFindings>,
    /// In how many orders it was run.
    pub orders: OrdersTried,
    /// At how many ticks the first stop was tried; 0 if there is none.
    pub stop_ticks: u64,
}

impl CaseResult {
    /// What a check needs of a run.
    #[must_use]
    pub fn of(run: &CaseRun<'_>, found: &Findings) -> Self {
        result(run.input().declarations, found, None)
    }

    /// Makes a run and keeps what a check needs of it, and what it measured for a record.
    ///
    /// # Panics
    ///
    /// If an invariant broke: a bug of the engine.
    #[must_use]
    pub fn measured(run: &CaseRun<'_>) -> Self {
        let declarations = run.input().declarations;
        let mut trail = TrailWatch::default();
        let found = run.observed(&mut trail);
        let measured = Measured::of(&found, trail);
        result(declarations, &found, Some(measured))
    }
}

fn result(declarations: &Declarations, found: &Findings, measured: Option<Measured>) -> CaseResult {
    let goals = asked_of_all(declarations).into_iter();
    let goals = goals.zip(&found.verdicts).map(|((place, goal), verdict)| {
        let is_met = verdict.is_met();
        let worst = worst_check(verdict);
        let asked = asked(place.unwrap_or(usize::MAX), &goal);
        GoalInCase {
            excess: worst.map_or(f64::INFINITY, excess),
            relative_excess: worst.map_or(f64::INFINITY, relative_excess),
            words: goal_words(verdict, found),
            excess_words: worst.filter(|_| !is_met).map_or_else(String::new, |check| {
                let by = excess_words(check, found.ticks_per_second);
                format!("{by}{}", when_words(&asked, verdict, found))
            }),
            causes: if is_met {
                Vec::new()
            } else {
                causes(&goal, &asked, verdict, found)
            },
            verdict: verdict.clone(),
        }
    });
    CaseResult {
        goals: goals.collect(),
        stops: StopRow::of(found),
        ticks_per_second: found.ticks_per_second,
        run_ticks: found.run_ticks,
        site: found.site.clone(),
        measured,
    }
}

/// The check of a verdict that is missed by most; `None` if it has none.
pub(crate) fn worst_check(verdict: &Verdict) -> Option<&Check> {
    let checks = verdict.checks.iter().rev();
    checks.max_by(|a, b| relative_excess(a).total_cmp(&relative_excess(b)))
}

/// By how much a bound is exceeded; negative by how much it is kept.
fn excess(check: &Check) -> f64 {
    let value = check.measured.value();
    value.map_or(f64::INFINITY, |value| match check.bound {
        Bound::AtLeast(least) => least - value,
        Bound::AtMost(most) => value - most,
    })
}

/// By how much a bound is exceeded as a share of it, or of 1 where that is less; infinite for what
/// never came.
pub(crate) fn relative_excess(check: &Check) -> f64 {
    excess(check) / check.bound.number().abs().max(1.0)
}

/// By how much a check was missed, in words: `12 items too many`, `2.1 s (42 t) too late`.
fn excess_words(check: &Check, ticks_per_second: u32) -> String {
    let excess = excess(check);
    if excess.is_infinite() {
        return "it never came to it".to_owned();
    }
    let is_least = matches!(check.bound, Bound::AtLeast(_));
    let either = |too_little: &'static str, too_much: &'static str| {
        if is_least { too_little } else { too_much }
    };
    // Bounds on counts and ticks were whole numbers from the start.
    let whole = excess as u64;
    let Quantity { amount, unit } = check.measured;
    let (one, many) = unit.things();
    match amount {
        Amount::Count(_) => {
            let by = count(whole, one, many);
            format!("{by} {}", either("too few", "too many"))
        }
        Amount::Ticks(_) | Amount::Moment(_) => {
            let by = time(whole, ticks_per_second);
            format!("{by} {}", either("too early", "too late"))
        }
        Amount::Span(_) => {
            let by = time(whole, ticks_per_second);
            format!("{by} {}", either("too short", "too long"))
        }
        Amount::Rate(..) => format!(
            "{} {} {}",
            decimal(excess, 4),
            unit.words(),
            either("too little", "too much")
        ),
        Amount::Share(_) => format!(
            "{} percentage points {}",
            decimal(excess * 100.0, 2),
            either("too little", "too much")
        ),
        Amount::Mean { .. } => {
            let by = format!("{} {}", decimal(excess, 2), unit.words());
            match unit {
                Unit::HoppersPerBlock => format!("{by} {}", either("too few", "too many")),
                _ => format!("{by} {}", either("too little", "too much")),
            }
        }
    }
}

/// When a miss without a moment of its own was measured.
fn when_words(asked: &Asked, verdict: &Verdict, found: &Findings) -> String {
    let end = time(found.run_ticks, found.ticks_per_second);
    if verdict.went_wrong_at.is_some() {
        return String::new();
    }
    match asked.figure.when() {
        When::Before => String::new(),
        When::AtTheEnd => format!(" at the end of the run, at {end}"),
        When::Throughout => format!(" over the whole run of {end}"),
    }
}

/// Puts the runs of one scenario together, in the order of its cases. `lines`: where its goals are
/// declared. `swept`: the range of its stop ticks, if it was swept. `command`: what repeats a run.
#[must_use]
pub fn fold(
    runs: &[(Case, Result<CaseResult, String>)],
    lines: &[usize],
    swept: Option<StopRange>,
    command: &dyn Fn(&Case) -> String,
) -> Fold {
    let stop_ticks: BTreeSet<Tick> = runs.iter().filter_map(|(case, _)| case.stop_at).collect();
    let mut fold = Fold {
        orders: OrdersTried::of(runs.iter().map(|(case, _)| &case.orders)),
        stop_ticks: stop_ticks.len() as u64,
        ..Fold::default()
    };
    let mut whole = Vec::new();
    for (case, result) in runs {
        match result {
            Ok(result) => whole.push((case, result)),
            Err(message) => fold.broken.push(BrokenRun {
                case: case.clone(),
                message: message.clone(),
                command: command(case),
            }),
        }
    }
    let Some((_, first)) = whole.first() else {
        return fold;
    };
    fold.ticks_per_second = first.ticks_per_second;
    fold.run_ticks = first.run_ticks;
    fold.site.clone_from(&first.site);
    let rows: Vec<(&Case, &StopRow)> = whole
        .iter()
        .filter(|(case, _)| case.stop_at.is_some())
        .map(|(case, result)| (*case, &result.stops))
        .collect();
    fold.sweep = swept.and_then(|range| sweep::fold(range, &rows));
    for place in 0..first.goals.len() {
        let goals = whole
            .iter()
            .map(|(case, result)| (*case, &result.goals[place]));
        // Of equals the first, which is nearest to the scenario as it stands.
        let worst = goals.clone().rev().max_by(|(_, a), (_, b)| {
            let missed = |goal: &GoalInCase| !goal.verdict.is_met();
            missed(a)
                .cmp(&missed(b))
                .then(a.excess.total_cmp(&b.excess))
                .then(a.verdict.ruling.cmp(&b.verdict.ruling))
        });
        let Some((case, goal)) = worst else { continue };
        let missed = goals.filter(|(_, goal)| !goal.verdict.is_met());
        fold.goals.push(GoalChecked {
            subject: goal.verdict.subject.clone(),
            line: goal.verdict.goal.and_then(|goal| lines.get(goal).copied()),
            runs: whole.len() as u64,
            missed_runs: missed.count() as u64,
            worst: Worst {
                case: case.clone(),
                verdict: goal.verdict.clone(),
                words: goal.words.clone(),
                excess_words: goal.excess_words.clone(),
                severity: goal.relative_excess,
                causes: goal.causes.clone(),
                part: None,
                command: command(case),
            },
        });
    }
    fold
}

#[cfg(test)]
mod tests {
    use hallwright_report::verdicts::Question;

    use super::*;

    fn case(seed: u64) -> Case {
        Case::as_declared(seed)
    }

    /// A run in which so many items were misplaced where `most` may be.
    fn run(misplaced: u64, most: u64) -> CaseResult {
        let check = Check {
            measured: Quantity {
                amount: Amount::Count(misplaced),
                unit: Unit::Items,
            },
            bound: Bound::AtMost(most as f64),
            stop: None,
        };
        let verdict = Verdict {
            question: Question::Misplaced,
            ruling: if check.is_met() {
                Ruling::Allowed
            } else {
                Ruling::Missed
            },
            goal: Some(0),
            why: Vec::new(),
            subject: "misplaced".to_owned(),
            checks: vec![check],
            went_wrong_at: None,
            remark: None,
        };
        let goal = GoalInCase {
            excess: excess(&check),
            relative_excess: relative_excess(&check),
            words: String::new(),
            excess_words: excess_words(&check, 20),
            causes: Vec::new(),
            verdict,
        };
        CaseResult {
            goals: vec![goal],
            stops: StopRow::default(),
            ticks_per_second: 20,
            run_ticks: 100,
            site: None,
            measured: None,
        }
    }

    #[test]
    fn a_goal_holds_only_if_it_holds_in_all_runs_and_the_worst_is_named() {
        let runs = [
            (case(1), Ok(run(3, 5))),
            (case(2), Ok(run(9, 5))),
            (case(3), Ok(run(12, 5))),
            (case(4), Ok(run(12, 5))),
        ];
        let fold = fold(&runs, &[7], None, &|case| format!("seed {}", case.seed));
        let goal = &fold.goals[0];
        assert_eq!((goal.runs, goal.missed_runs, goal.line), (4, 3, Some(7)));
        assert_eq!(goal.worst.command, "seed 3");
        assert_eq!(goal.worst.excess_words, "7 items too many");
    }

    #[test]
    fn of_runs_that_are_equally_near_to_the_bound_the_one_not_as_it_should_be_is_reported() {
        // Nothing is stuck in either, but in the second something is still on its way.
        let mut second = run(0, 0);
        second.goals[0].verdict.ruling = Ruling::NotFinished;
        let mut first = run(0, 0);
        first.goals[0].verdict.ruling = Ruling::Ok;
        let runs = [(case(1), Ok(first)), (case(2), Ok(second))];
        let fold = fold(&runs, &[7], None, &|_| String::new());
        assert!(fold.goals[0].is_ok());
        assert_eq!(fold.goals[0].ruling(), Ruling::NotFinished);
    }

    #[test]
    fn what_no_goal_asks_has_no_line() {
        let mut only = run(3, 0);
        only.goals[0].verdict.goal = None;
        let fold = fold(&[(case(1), Ok(only))], &[7], None, &|_| String::new());
        let goal = &fold.goals[0];
        assert_eq!((goal.line, goal.missed_runs), (None, 1));
        assert_eq!(goal.place_words(), "judged though no goal asks");
    }

    #[test]
    fn a_run_that_panics_is_kept_as_broken() {
        let broken = Err("7 items are nowhere".to_owned());
        let runs = [(case(1), Ok(run(0, 0))), (case(2), broken)];
        let fold = fold(&runs, &[], None, &|_| String::new());
        assert_eq!(fold.broken.len(), 1);
        assert_eq!(fold.broken[0].message, "7 items are nowhere");
        assert_eq!(fold.broken[0].case.seed, 2);
        assert_eq!(fold.goals[0].runs, 1);
    }

    #[test]
    fn an_excess_is_a_share_of_its_bound_but_never_of_less_than_one() {
        let share = |measured, bound| {
            relative_excess(&Check {
                measured: Quantity {
                    amount: Amount::Count(measured),
                    unit: Unit::Items,
                },
                bound,
                stop: None,
            })
        };
        // 3 more than 12 is a quarter; 3 more than none is three times one.
        assert_eq!(share(15, Bound::AtMost(12.0)), 0.25);
        assert_eq!(share(3, Bound::AtMost(0.0)), 3.0);
        assert_eq!(share(0, Bound::AtMost(0.0)), 0.0);
        // 9 of 12 are a quarter too few, 14 a sixth more than enough.
        assert_eq!(share(9, Bound::AtLeast(12.0)), 0.25);
        assert_eq!(share(14, Bound::AtLeast(12.0)), -2.0 / 12.0);
    }

    #[test]
    fn what_never_came_is_worse_than_any_figure() {
        let ticks = |ticks| Quantity {
            amount: Amount::Ticks(ticks),
            unit: Unit::Ticks,
        };
        let never = Check {
            measured: ticks(None),
            bound: Bound::AtMost(200.0),
            stop: None,
        };
        assert!(relative_excess(&never).is_infinite());
        assert_eq!(excess_words(&never, 20), "it never came to it");
        let late = Check {
            measured: ticks(Some(252)),
            ..never
        };
        assert_eq!(excess_words(&late, 20), "2.6 s (52 t) too late");
    }
}
