//! Cases that are alike until they are stopped, made together: what comes before their stops is run once.
//!
//! Nothing of that shows in what is found, which is what each case by itself finds.

use std::ops::{ControlFlow, Range};
use std::time::{Duration, Instant};

use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, Wanted, are_alike, run_alike};

use crate::case::{Case, CaseRun};
use crate::machine::{Machine, Unmade, caught};

/// So many runs at most share their beginning: it is small then beside what each does by itself.
pub(crate) const MOST_SHARED: usize = 32;

/// A run that was made.
pub struct Made<'a> {
    /// Of which job, by its place.
    pub job: usize,
    /// What was run.
    pub run: &'a CaseRun<'a>,
    /// What it found.
    pub findings: Findings,
    /// How long it took; the first of a batch bears what they share.
    pub took: Duration,
}

impl Machine<'_> {
    /// Makes a run of every job: of one of these designs, by its place, a case. Each design is one scenario,
    /// loaded with one seed each.
    pub fn cases<R: Send>(
        &self,
        designs: &[Vec<RunInput<'_>>],
        jobs: &[(usize, Case)],
        wanted: Wanted,
        make: impl Fn(Made<'_>) -> R + Sync,
    ) -> Vec<Result<R, Unmade>> {
        let most = (jobs.len() / (2 * self.at_once())).clamp(1, MOST_SHARED);
        let results = self.batches(&batches(designs, jobs, most), |batch| {
            let cases = jobs[batch.clone()].iter();
            let runs: Vec<CaseRun<'_>> = cases
                .map(|(design, case)| case.of_any(&designs[*design]))
                .collect();
            let inputs: Vec<RunInput<'_>> = runs.iter().map(CaseRun::input).collect();
            let make_one = |place: usize, findings, took| {
                let made = make(Made {
                    job: batch.start + place,
                    run: &runs[place],
                    findings,
                    took,
                });
                self.made_one();
                made
            };
            self.together(&inputs, wanted, &make_one)
        });
        results.into_iter().flatten().collect()
    }

    /// Makes the runs of a batch. If one breaks, each is made by itself, so that the others are not lost.
    fn together<R>(
        &self,
        inputs: &[RunInput<'_>],
        wanted: Wanted,
        make: &impl Fn(usize, Findings, Duration) -> R,
    ) -> Vec<Result<R, Unmade>> {
        let said = match caught(|| self.all_of(inputs, wanted, make)) {
            Ok(made) => return made,
            Err(said) => said,
        };
        if inputs.len() == 1 {
            return vec![Err(Unmade::Broke(said))];
        }
        let alone = (0..inputs.len()).map(|place| {
            let make = |_, findings, took| make(place, findings, took);
            let made = caught(|| self.all_of(&inputs[place..=place], wanted, &make));
            made.unwrap_or_else(|said| vec![Err(Unmade::Broke(said))])
        });
        alone.flatten().collect()
    }

    /// Makes runs that are alike until they are stopped, and something of each, until it is cut short.
    fn all_of<R>(
        &self,
        inputs: &[RunInput<'_>],
        wanted: Wanted,
        make: &impl Fn(usize, Findings, Duration) -> R,
    ) -> Vec<Result<R, Unmade>> {
        let mut made = Vec::with_capacity(inputs.len());
        if !self.is_cut_short() {
            let mut begun = Instant::now();
            run_alike(inputs, wanted, &mut |findings| {
                made.push(Ok(make(made.len(), findings, begun.elapsed())));
                begun = Instant::now();
                match self.is_cut_short() {
                    true => ControlFlow::Break(()),
                    false => ControlFlow::Continue(()),
                }
            });
        }
        made.resize_with(inputs.len(), || Err(Unmade::CutShort));
        made
    }
}

/// Neighbours that are alike until they are stopped, by their places: so many at most in a batch, and in each the
/// first stops ascend.
pub(crate) fn batches(
    designs: &[Vec<RunInput<'_>>],
    jobs: &[(usize, Case)],
    most: usize,
) -> Vec<Range<usize>> {
    let mut batches: Vec<Range<usize>> = Vec::new();
    for (place, (design, case)) in jobs.iter().enumerate() {
        let belongs = |batch: &Range<usize>| {
            let (other_design, last) = &jobs[batch.end - 1];
            let in_order = last.stop_at.zip(case.stop_at);
            batch.len() < most
                && design == other_design
                && in_order.is_some_and(|(last, this)| last <= this)
                && are_alike(
                    &last.unstopped(&designs[*design]),
                    &case.unstopped(&designs[*design]),
                )
        };
        match batches.last_mut().filter(|batch| belongs(batch)) {
            Some(batch) => batch.end = place + 1,
            None => batches.push(place..place + 1),
        }
    }
    batches
}
