//! Spreads runs over the cores. What comes of them does not depend on how many cores there are: each
//! is made from its job alone, and the results have the order of the jobs.

use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use anyhow::{Context, Result};
use rayon::prelude::*;

use crate::progress::Progress;

/// Makes something of every job, so many at once (`None`: as many as there are cores), and shows how
/// many are done.
pub(crate) fn spread<J: Sync, R: Send>(
    at_once: Option<NonZeroUsize>,
    jobs: &[J],
    make: impl Fn(&J) -> R + Sync,
) -> Result<Vec<R>> {
    let pool = pool(at_once, jobs.len() as u64)?;
    let progress = Mutex::new(Progress::new(jobs.len() as u64, "runs"));
    let done = AtomicU64::new(0);
    Ok(pool.install(|| {
        let results = jobs.par_iter().map(|job| {
            let result = make(job);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            if let Ok(mut progress) = progress.lock() {
                progress.at(done);
            }
            result
        });
        results.collect()
    }))
}

/// Threads for so many runs at once, but no more than there are runs; `None`: as many as there are
/// cores.
pub(crate) fn pool(at_once: Option<NonZeroUsize>, runs: u64) -> Result<rayon::ThreadPool> {
    let runs = usize::try_from(runs).unwrap_or(usize::MAX).max(1);
    // 0 lets the library count the cores.
    let threads = at_once.map_or(0, |at_once| at_once.get().min(runs));
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    pool.context("the runs cannot be spread over the cores")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_no_more_threads_than_runs() {
        let threads = |at_once: usize, runs| {
            let pool = pool(NonZeroUsize::new(at_once), runs).expect("threads start");
            pool.current_num_threads()
        };
        assert_eq!(threads(1_000_000, 3), 3);
        assert_eq!(threads(2, 3), 2);
        assert_eq!(threads(7, 0), 1);
    }

    #[test]
    fn results_have_the_order_of_the_jobs() {
        let jobs: Vec<u64> = (0..100).collect();
        let doubled: Vec<u64> = jobs.iter().map(|job| job * 2).collect();
        for at_once in [None, NonZeroUsize::new(1), NonZeroUsize::new(3)] {
            let results = spread(at_once, &jobs, |job| job * 2).expect("threads start");
            assert_eq!(results, doubled);
        }
    }
}
