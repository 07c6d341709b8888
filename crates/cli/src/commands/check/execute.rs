//! Makes all runs, on all cores. What comes of it does not depend on how many there are: each run is
//! made from its case alone, and all are put together in the order of the cases.

use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use anyhow::{Context, Result};
use hallwright_report::check::{Case, CaseResult, Choice, Fold, Measured, cases, fold, run_case};
use rayon::prelude::*;

use super::load::Subject;
use crate::flags::CheckFlags;
use crate::progress::Progress;

/// What came of one scenario and variant.
pub(super) struct Executed {
    pub(super) runs: u64,
    pub(super) fold: Fold,
    /// What the first run measured, unless it broke.
    pub(super) measured: Option<Measured>,
}

/// Makes every run of every scenario and variant.
pub(super) fn execute(subjects: &[Subject], flags: &CheckFlags) -> Result<Vec<Executed>> {
    let threads = flags.jobs.map_or(0, NonZeroUsize::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.context("the runs cannot be spread over the cores")?;
    let choice = Choice {
        shuffles: flags.shuffles,
    };
    let inputs: Vec<_> = subjects.iter().map(Subject::inputs).collect();
    let mut jobs: Vec<(usize, Case, bool)> = Vec::new();
    for (subject, inputs) in inputs.iter().enumerate() {
        let cases = cases(inputs, choice).into_iter().enumerate();
        jobs.extend(cases.map(|(place, case)| (subject, case, place == 0)));
    }
    let progress = Mutex::new(Progress::new(jobs.len() as u64, "runs"));
    let done = AtomicU64::new(0);
    let results: Vec<Result<CaseResult, String>> = pool.install(|| {
        let runs = jobs.par_iter().map(|(subject, case, is_first)| {
            let result = run_case(&inputs[*subject], case, *is_first);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            if let Ok(mut progress) = progress.lock() {
                progress.at(done);
            }
            result
        });
        runs.collect()
    });
    drop(progress);
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
