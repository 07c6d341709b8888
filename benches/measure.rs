//! Measures cases with criterion, and remembers which were measured.

use std::cell::OnceCell;
use std::path::PathBuf;
use std::time::{Duration, SystemTime};

use criterion::{BatchSize, Criterion, SamplingMode};

use crate::case::{Case, Runner};
use crate::figures::{Figure, Figures, estimate};

/// Measures every case that the command line does not leave out.
pub(crate) struct Measure {
    criterion: Criterion,
    began: SystemTime,
    figures: Figures,
}

impl Measure {
    /// With the options of the command line.
    pub(crate) fn from_arguments() -> Self {
        let criterion = Criterion::default()
            .sample_size(10)
            .warm_up_time(Duration::from_millis(500))
            .measurement_time(Duration::from_secs(4))
            .configure_from_args();
        Self {
            criterion,
            began: SystemTime::now(),
            figures: Figures::default(),
        }
    }

    /// What was measured. Nothing if the cases were only tried out or listed.
    pub(crate) fn finish(self) -> Figures {
        self.criterion.final_summary();
        self.figures
    }
}

impl Runner for Measure {
    fn case<C: Case>(&mut self, id: &str, make: impl FnOnce() -> C) {
        let (group, name) = id.split_once('/').expect("a case has a group");
        let made = OnceCell::new();
        let mut make = Some(make);
        let mut group = self.criterion.benchmark_group(group);
        group.sampling_mode(SamplingMode::Flat);
        group.bench_function(name, |bencher| {
            let case = made.get_or_init(|| make.take().expect("a case is made once")());
            bencher.iter_batched_ref(
                || case.prepare(),
                |input| case.run(input),
                BatchSize::PerIteration,
            );
        });
        group.finish();
        let Some(case) = made.get() else { return };
        let Some(run) = estimate(&folder(), id, self.began) else {
            return;
        };
        let figure = Figure {
            run,
            amount: case.amount(),
            unit: case.unit(),
            ticks: case.ticks(),
            memory: case.memory(),
        };
        self.figures.add(id, figure);
    }
}

/// The folder that criterion writes its figures to.
fn folder() -> PathBuf {
    if let Some(folder) = std::env::var_os("CRITERION_HOME") {
        return folder.into();
    }
    let program = std::env::current_exe().unwrap_or_default();
    let folders = program.ancestors().map(|folder| folder.join("criterion"));
    let mut folders = folders.filter(|folder| folder.is_dir());
    folders.next().unwrap_or_default()
}
