//! Makes all runs, on all cores, and puts those of each scenario and variant together, in the order of
//! the cases.

use std::time::{Duration, Instant};

use anyhow::{Result, bail};
use hallwright_report::{RunInput, Wanted};
use hallwright_trials::check::{CaseResult, Fold, Measured, fold};
use hallwright_trials::leave::LeaveAsked;
use hallwright_trials::margin::{Margin, groups, margin};
use hallwright_trials::{Case, Unmade, cases};

use crate::flags::CheckFlags;
use crate::runs::{Leavable, LoadedScenario, base_of, interruptible, left};

/// What came of one scenario and variant.
pub(super) struct Executed {
    pub(super) runs: u64,
    /// How many were not made because the command was interrupted.
    pub(super) unmade_runs: u64,
    pub(super) fold: Fold,
    /// How long its runs took, all together.
    pub(super) took: Duration,
    /// What the first run measured, unless it broke.
    pub(super) measured: Option<Measured>,
    /// What becomes of it when it is left, if that was asked.
    pub(super) leave: Option<LeaveAsked>,
    /// How much slower what is taken at its word may be, if that was asked.
    pub(super) margin: Option<Margin>,
}

/// A run and what came of it.
type Made = (Case, Result<CaseResult, String>);

/// Makes every run of every scenario and variant.
///
/// # Errors
///
/// If a stop is to be moved and no scenario has one, or a hall is to be left and none has regions, or threads cannot be started.
pub(super) fn execute(subjects: &[LoadedScenario], flags: &CheckFlags) -> Result<Vec<Executed>> {
    let choice = flags.many.cases.choice();
    let mut stops = subjects
        .iter()
        .map(|subject| &subject.scenario().declarations.stops);
    if flags.many.cases.stop_sweep.is_some()
        && !subjects.is_empty()
        && stops.all(|stops| stops.is_empty())
    {
        bail!("`--stop-sweep` moves a stop, but no scenario declares one in `stops`");
    }
    let bases: Vec<Vec<RunInput<'_>>> = subjects.iter().map(LoadedScenario::bases).collect();
    // The first run of each is measured for its record.
    let (mut firsts, mut others) = (Vec::new(), Vec::new());
    for (subject, bases) in bases.iter().enumerate() {
        let mut cases = cases(bases, &choice)
            .into_iter()
            .map(|case| (subject, case));
        firsts.extend(cases.next());
        others.extend(cases);
    }
    let halls: Vec<Leavable<'_>> = subjects
        .iter()
        .map(|subject| leavable(subject, flags))
        .collect();
    let left = left(&halls, &flags.leaving, flags.many.cases.jobs)?;
    let runs = firsts.len() + others.len();
    let machine = interruptible(flags.many.cases.jobs, runs as u64, "runs")?;
    let measured = machine.runs(&firsts, |(subject, case)| {
        let begun = Instant::now();
        let result = CaseResult::measured(&case.of_any(&bases[*subject]));
        (result, begun.elapsed())
    });
    let mut results: Vec<Result<(CaseResult, Duration), Unmade>> = Vec::new();
    results.extend(measured);
    results.extend(machine.cases(&bases, &others, Wanted::Judgement, |made| {
        (CaseResult::of(made.run, &made.findings), made.took)
    }));
    let mut by_subject: Vec<Vec<Made>> = subjects.iter().map(|_| Vec::new()).collect();
    let mut took = vec![Duration::ZERO; subjects.len()];
    let mut unmade = vec![0; subjects.len()];
    for ((subject, case), result) in firsts.into_iter().chain(others).zip(results) {
        match result {
            Ok((result, of_run)) => {
                took[subject] += of_run;
                by_subject[subject].push((case, Ok(result)));
            }
            Err(Unmade::Broke(said)) => by_subject[subject].push((case, Err(said))),
            Err(Unmade::CutShort) => unmade[subject] += 1,
        }
    }
    let executed = subjects.iter().zip(by_subject).zip(left);
    let mut executed: Vec<Executed> = executed
        .zip(took.into_iter().zip(unmade))
        .map(|(((subject, runs), left), (took, unmade_runs))| Executed {
            leave: left,
            took,
            ..put_together(subject, runs, unmade_runs, flags)
        })
        .collect();
    let is_whole = executed.iter().all(|each| each.unmade_runs == 0);
    if flags.margin && is_whole {
        margins(&bases, &mut executed, flags)?;
    }
    Ok(executed)
}

/// Looks for the margins of every scenario and variant whose runs broke nothing.
fn margins(
    bases: &[Vec<RunInput<'_>>],
    executed: &mut [Executed],
    flags: &CheckFlags,
) -> Result<()> {
    let choice = flags.many.cases.choice();
    let each = bases.iter().filter_map(|bases| bases.first());
    let searches: usize = each.map(|base| groups(base.network).len()).sum();
    let machine = interruptible(flags.many.cases.jobs, searches as u64, "searches")?;
    for (bases, executed) in bases.iter().zip(executed) {
        let fold = &executed.fold;
        if fold.broken.is_empty() {
            let missed = fold.goals.iter().filter(|goal| !goal.is_ok());
            let missed = missed.map(|goal| goal.subject.clone()).collect();
            executed.margin = Some(margin(bases, &cases(bases, &choice), missed, &machine));
        }
    }
    Ok(())
}

/// A scenario with its own seed, to be left.
fn leavable<'a>(subject: &'a LoadedScenario, flags: &'a CheckFlags) -> Leavable<'a> {
    let command = |tick| subject.leave_command(&flags.leaving.at(tick));
    (base_of(subject.scenario()), Box::new(command))
}

fn put_together(
    subject: &LoadedScenario,
    mut runs: Vec<Made>,
    unmade_runs: u64,
    flags: &CheckFlags,
) -> Executed {
    let swept = flags.many.cases.stop_sweep;
    let mut fold = fold(&runs, &subject.goal_lines, swept, &|case| {
        subject.command(case)
    });
    if let Some(sweep) = &mut fold.sweep {
        sweep.unmade_runs = unmade_runs;
    }
    let first = runs
        .first_mut()
        .and_then(|(_, result)| result.as_mut().ok());
    let measured = first.and_then(|result| result.measured.take());
    Executed {
        runs: runs.len() as u64,
        unmade_runs,
        fold,
        took: Duration::ZERO,
        measured,
        leave: None,
        margin: None,
    }
}
