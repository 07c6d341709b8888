//! Makes runs, many at once. What comes of them does not depend on how many at once: each is made from
//! its job alone, and the results have the order of the jobs.

use std::num::NonZeroUsize;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;

use rayon::prelude::*;

/// Reported how many runs are over.
type Reported<'p> = Box<dyn FnMut(Over) + Send + 'p>;

/// How many runs are over.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Over {
    /// So many were made.
    pub made: u64,
    /// So many need not be made, which takes no time.
    pub passed: u64,
}

/// Why nothing came of a run.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Unmade {
    /// It broke an invariant, which is a bug: what was said.
    Broke(String),
    /// The search was cut short before.
    CutShort,
}

/// Makes runs on several cores.
pub struct Machine<'p> {
    threads: rayon::ThreadPool,
    is_cut_short: fn() -> bool,
    over: Mutex<(Over, Reported<'p>)>,
}

impl<'p> Machine<'p> {
    /// A machine for so many runs at once; `None`: as many as there are cores. `reported` is reported how many
    /// runs are over, again and again.
    ///
    /// # Errors
    ///
    /// If the threads cannot be started.
    pub fn new(
        at_once: Option<NonZeroUsize>,
        reported: impl FnMut(Over) + Send + 'p,
    ) -> Result<Self, rayon::ThreadPoolBuildError> {
        let threads = at_once.map_or(0, NonZeroUsize::get);
        Ok(Self {
            threads: rayon::ThreadPoolBuilder::new()
                .num_threads(threads)
                .build()?,
            is_cut_short: || false,
            over: Mutex::new((Over::default(), Box::new(reported))),
        })
    }

    /// The same, but makes no further runs once this says so.
    #[must_use]
    pub fn cut_short_by(self, is_cut_short: fn() -> bool) -> Self {
        Self {
            is_cut_short,
            ..self
        }
    }

    /// Whether no further runs are made.
    pub fn is_cut_short(&self) -> bool {
        (self.is_cut_short)()
    }

    /// Makes a run of every job, until it is cut short. Where one panics, which it does when an invariant breaks,
    /// its result is what the panic said.
    pub fn runs<J: Sync, R: Send>(
        &self,
        jobs: &[J],
        make: impl Fn(&J) -> R + Sync,
    ) -> Vec<Result<R, Unmade>> {
        self.threads.install(|| {
            let results = jobs.par_iter().map(|job| {
                if self.is_cut_short() {
                    return Err(Unmade::CutShort);
                }
                let result = caught(|| make(job)).map_err(Unmade::Broke);
                self.made_one();
                result
            });
            results.collect()
        })
    }

    /// Makes all runs of every batch, which reports what came of each. A panic is the caller's.
    pub(crate) fn batches<R: Send>(
        &self,
        batches: &[Range<usize>],
        make: impl Fn(&Range<usize>) -> Vec<R> + Sync + Send,
    ) -> Vec<Vec<R>> {
        self.threads
            .install(|| batches.par_iter().map(make).collect())
    }

    /// How many runs it makes at once.
    pub(crate) fn at_once(&self) -> usize {
        self.threads.current_num_threads()
    }

    /// Makes something of every job that is no run. A panic is the caller's.
    pub fn each<J: Sync, R: Send>(&self, jobs: &[J], make: impl Fn(&J) -> R + Sync) -> Vec<R> {
        self.threads.install(|| {
            let results = jobs.par_iter().map(|job| {
                let result = make(job);
                self.made_one();
                result
            });
            results.collect()
        })
    }

    /// Does something that makes runs of several kinds, itself on the machine's cores.
    pub fn within<R: Send>(&self, work: impl FnOnce() -> R + Send) -> R {
        self.threads.install(work)
    }

    /// Does two things at once, as far as there are cores.
    pub fn both<A: Send, B: Send>(
        &self,
        one: impl FnOnce() -> A + Send,
        other: impl FnOnce() -> B + Send,
    ) -> (A, B) {
        self.threads.install(|| rayon::join(one, other))
    }

    /// Counts so many runs as over that need not be made.
    pub fn pass(&self, runs: u64) {
        self.count(|over| over.passed += runs);
    }

    /// Counts a run that was made.
    pub(crate) fn made_one(&self) {
        self.count(|over| over.made += 1);
    }

    fn count(&self, add: impl FnOnce(&mut Over)) {
        // A reporter that panicked reports nothing more; the runs go on.
        if let Ok(mut over) = self.over.lock() {
            let (count, reported) = &mut *over;
            add(count);
            reported(*count);
        }
    }
}

/// What comes of something that may panic, or what the panic said.
pub(crate) fn caught<T>(run: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(run)).map_err(|panic| {
        let said = panic.downcast_ref::<String>().map(String::as_str);
        let said = said.or_else(|| panic.downcast_ref::<&str>().copied());
        said.unwrap_or("a panic without words").to_owned()
    })
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU64, Ordering};

    use super::*;

    #[test]
    fn results_have_the_order_of_the_jobs() {
        let jobs: Vec<u64> = (0..100).collect();
        let doubled: Vec<Result<u64, Unmade>> = jobs.iter().map(|job| Ok(job * 2)).collect();
        for at_once in [None, NonZeroUsize::new(1), NonZeroUsize::new(3)] {
            let mut over = Over::default();
            let machine = Machine::new(at_once, |runs| over = runs).expect("threads start");
            assert_eq!(machine.runs(&jobs, |job| job * 2), doubled);
            machine.pass(5);
            drop(machine);
            let (made, passed) = (100, 5);
            assert_eq!(over, Over { made, passed });
        }
    }

    #[test]
    fn a_run_that_panics_leaves_the_others_alone() {
        let machine = Machine::new(None, |_| {}).expect("threads start");
        let results = machine.runs(&[1, 2, 3], |job| {
            assert!(*job != 2, "{job} items are nowhere");
            *job
        });
        let said = Unmade::Broke("2 items are nowhere".to_owned());
        assert_eq!(results, [Ok(1), Err(said), Ok(3)]);
    }

    #[test]
    fn nothing_is_begun_once_it_is_cut_short() {
        static MADE: AtomicU64 = AtomicU64::new(0);
        let machine = Machine::new(NonZeroUsize::new(1), |_| {}).expect("threads start");
        let machine = machine.cut_short_by(|| MADE.load(Ordering::SeqCst) == 2);
        let results = machine.runs(&[1, 2, 3, 4], |_| MADE.fetch_add(1, Ordering::SeqCst));
        let unmade = Err(Unmade::CutShort);
        assert_eq!(results, [Ok(0), Ok(1), unmade.clone(), unmade]);
    }
}
