//! Makes the runs of a search: those that are known are looked up, the others are made and kept.

use std::ops::Range;
use std::path::Path;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use hallwright_scenario::load;
use hallwright_trials::Machine;
use hallwright_trials::tune::{Bench, RunFigures, run_key};

use super::cache::Cache;
use super::plan::{Planned, Sketch, input_digest};
use crate::runs::{LoadedScenario, load_scenario};

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

    fn run(&self, ready: &Ready<'_>, sketch: &Sketch, run: usize) -> Result<RunFigures, String> {
        let case = &sketch.cases[run];
        let key = run_key(sketch.digest, case);
        if let Some(figures) = self.cache.get(key) {
            return Ok(figures);
        }
        let subject = ready.subject.get_or_init(|| self.loaded(ready, sketch));
        let Some(subject) = subject else {
            self.has_changed.store(true, Ordering::Relaxed);
            return Err("the scenario's files changed".to_owned());
        };
        let figures = RunFigures::of(&subject.run(case).findings());
        self.made.fetch_add(1, Ordering::Relaxed);
        self.cache.put(key, &figures);
        Ok(figures)
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

    fn runs(&self, ready: &Ready<'a>, runs: Range<usize>) -> Vec<Result<RunFigures, String>> {
        let Ok(sketch) = &ready.planned.sketch else {
            return Vec::new();
        };
        let runs: Vec<usize> = runs.collect();
        let results = self
            .machine
            .runs(&runs, |run| self.run(ready, sketch, *run))
            .into_iter();
        results.map(Result::flatten).collect()
    }

    fn skipped(&self, runs: usize) {
        self.machine.pass(runs as u64);
    }
}
