//! Makes all runs, on all cores, and puts those of each scenario and variant together, in the order of
//! the cases.

use anyhow::Result;
use hallwright_trials::check::{
    Case, CaseResult, Choice, Fold, Measured, Stops, cases, fold, run_case,
};

use crate::flags::CheckFlags;
use crate::runs::{Subject, spread};

/// What came of one scenario and variant.
pub(super) struct Executed {
    pub(super) runs: u64,
    pub(super) fold: Fold,
    /// What the first run measured, unless it broke.
    pub(super) measured: Option<Measured>,
}

/// Makes every run of every scenario and variant.
pub(super) fn execute(subjects: &[Subject], flags: &CheckFlags) -> Result<Vec<Executed>> {
    let choice = Choice {
        shuffles: flags.shuffles,
        stops: Stops::Spread,
    };
    let inputs: Vec<_> = subjects.iter().map(Subject::inputs).collect();
    let mut jobs: Vec<(usize, Case, bool)> = Vec::new();
    for (subject, inputs) in inputs.iter().enumerate() {
        let cases = cases(inputs, &choice).into_iter().enumerate();
        jobs.extend(cases.map(|(place, case)| (subject, case, place == 0)));
    }
    let results = spread(flags.jobs, &jobs, |(subject, case, is_first)| {
        run_case(&inputs[*subject], case, *is_first)
    })?;
    let mut by_subject: Vec<Vec<(Case, Result<CaseResult, String>)>> =
        subjects.iter().map(|_| Vec::new()).collect();
    for ((subject, case, _), result) in jobs.into_iter().zip(results) {
        by_subject[subject].push((case, result));
    }
    let executed = subjects.iter().zip(by_subject);
    Ok(executed
        .map(|(subject, runs)| put_together(subject, runs))
        .collect())
}

fn put_together(subject: &Subject, mut runs: Vec<(Case, Result<CaseResult, String>)>) -> Executed {
    let fold = fold(&runs, &subject.goal_lines, &|case| subject.command(case));
    let first = runs
        .first_mut()
        .and_then(|(_, result)| result.as_mut().ok());
    let measured = first.and_then(|result| result.measured.take());
    Executed {
        runs: runs.len() as u64,
        fold,
        measured,
    }
}
