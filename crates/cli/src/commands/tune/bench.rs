//! Makes the runs of a search: those that are known are looked up, the others are made and kept.

use std::ops::Range;
use std::path::Path;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use hallwright_report::Wanted;
use hallwright_scenario::load;
use hallwright_trials::tune::{Bench, RunFigures, run_key};
use hallwright_trials::{Case, Machine, Unmade};

use super::cache::Cache;
use super::plan::{Planned, Sketch, input_digest};
use crate::runs::{LoadedScenario, load_scenario};

/// What came of a run, or why nothing did.
type Run = Result<RunFigures, Unmade>;

/// Makes runs of designs.
pub(super) struct Hall<'a> {
    scenario: &'a Path,
    planned: &'a [Planned],
    further_seeds: u64,
    cache: &'a Cache,
    machine: &'a Machine<'static>,
    made: AtomicU64,
    has_changed: AtomicBool,
}

/// A design that is loaded as soon as a run of it must be made.
pub(super) struct Ready<'a> {
    planned: &'a Planned,
    subject: OnceLock<Option<LoadedScenario>>,
}

impl<'a> Hall<'a> {
    pub(super) fn new(
        scenario: &'a Path,
        planned: &'a [Planned],
        further_seeds: u64,
        cache: &'a Cache,
        machine: &'a Machine<'static>,
    ) -> Self {
        Self {
            scenario,
            planned,
            further_seeds,
            cache,
            machine,
            made: AtomicU64::new(0),
            has_changed: AtomicBool::new(false),
        }
    }

    /// How many runs were made and not looked up.
    pub(super) fn made(&self) -> u64 {
        self.made.load(Ordering::Relaxed)
    }

    /// Whether the scenario's files changed since the designs were worked out.
    pub(super) fn has_changed(&self) -> bool {
        self.has_changed.load(Ordering::Relaxed)
    }

    /// Makes some runs of a design and keeps what came of them.
    fn make(&self, subject: &LoadedScenario, sketch: &Sketch, runs: &[usize]) -> Vec<Run> {
        let case = |run: &usize| (0, sketch.cases[*run].clone());
        let jobs: Vec<(usize, Case)> = runs.iter().map(case).collect();
        let bases = [subject.bases()];
        self.machine
            .cases(&bases, &jobs, Wanted::Judgement, |made| {
                let figures = RunFigures::of(&made.findings);
                self.made.fetch_add(1, Ordering::Relaxed);
                self.cache
                    .put(run_key(sketch.digest, &jobs[made.job].1), &figures);
                figures
            })
    }

    /// Loads a design; `None` if its files are no longer what they were.
    fn loaded(&self, ready: &Ready<'_>, sketch: &Sketch) -> Option<LoadedScenario> {
        let options = &ready.planned.options;
        let loaded = load(self.scenario, options);
        let subject = load_scenario(self.scenario, loaded, options, self.further_seeds).ok()?;
        (input_digest(subject.scenario()) == sketch.digest).then_some(subject)
    }
}

impl<'a> Bench for Hall<'a> {
    type Ready = Ready<'a>;

    fn open(&self, design: usize) -> Ready<'a> {
        Ready {
            planned: &self.planned[design],
            subject: OnceLock::new(),
        }
    }

    fn runs(&self, ready: &Ready<'a>, runs: Range<usize>) -> Vec<Run> {
        let Ok(sketch) = &ready.planned.sketch else {
            return Vec::new();
        };
        let known = |run: usize| self.cache.get(run_key(sketch.digest, &sketch.cases[run]));
        let mut results: Vec<Option<Run>> = runs.clone().map(|run| known(run).map(Ok)).collect();
        let rest = runs.zip(&results).filter(|(_, known)| known.is_none());
        let rest: Vec<usize> = rest.map(|(run, _)| run).collect();
        self.machine.pass((results.len() - rest.len()) as u64);
        if !rest.is_empty() && self.machine.is_cut_short() {
            // Reading a design takes its time, too.
            let unmade = || Some(Err(Unmade::CutShort));
            let unknown = results.iter_mut().filter(|known| known.is_none());
            unknown.for_each(|result| *result = unmade());
        } else if !rest.is_empty() {
            let subject = ready.subject.get_or_init(|| self.loaded(ready, sketch));
            let made = match subject {
                Some(subject) => self.make(subject, sketch, &rest),
                None => {
                    self.has_changed.store(true, Ordering::Relaxed);
                    let said = "the scenario's files changed".to_owned();
                    vec![Err(Unmade::Broke(said)); rest.len()]
                }
            };
            let unknown = results.iter_mut().filter(|known| known.is_none());
            for (result, made) in unknown.zip(made) {
                *result = Some(made);
            }
        }
        results.into_iter().flatten().collect()
    }

    fn skipped(&self, runs: usize) {
        self.machine.pass(runs as u64);
    }
}
