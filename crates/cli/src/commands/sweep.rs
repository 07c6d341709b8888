//! The sweep of `hallwright run`: its run again, with the stop at every tick of a range.

use anyhow::{Result, bail};
use hallwright_report::RunInput;
use hallwright_scenario::Scenario;
use hallwright_trials::orders;
use hallwright_trials::sweep::{SweepFindings, sweep};

use crate::flags::RunFlags;
use crate::runs::{base_of, interruptible, load_seeds, print_problems};

/// What a sweep came to.
#[derive(Default)]
pub(super) struct Swept {
    /// What it found; `None` if there was none, or every run broke.
    pub(super) found: Option<SweepFindings>,
    /// Whether a run broke. It was reported on standard error.
    pub(super) is_broken: bool,
    /// Whether it was interrupted.
    pub(super) is_cut_short: bool,
}

/// Whether the flags of a sweep make sense together.
///
/// # Errors
///
/// If they do not: which, and what to do.
pub(super) fn check_cases(flags: &RunFlags) -> Result<()> {
    let cases = &flags.cases;
    if cases.stop_sweep.is_none() {
        for (flag, is_given) in [
            ("--seeds", cases.seeds > 0),
            ("--shuffles", cases.shuffles.is_some()),
            ("--jobs", cases.jobs.is_some()),
        ] {
            // Leaves are many runs, too.
            let is_used = flag == "--jobs" && flags.leaving.leave_at.is_some();
            if is_given && !is_used {
                bail!(
                    "`{flag}` needs `--stop-sweep`: otherwise `run` makes one run; `check` makes many"
                );
            }
        }
    } else if flags.run.stop_at.is_some() {
        bail!("`--stop-at` and `--stop-sweep` both say where to stop: leave one out");
    } else if cases.shuffles.is_some() {
        for (flag, order) in [
            ("--order", &flags.run.order),
            ("--signal-order", &flags.run.signal_order),
        ] {
            if order.is_some() {
                bail!("`{flag}` and `--shuffles` both say in which order to run: leave one out");
            }
        }
    }
    Ok(())
}

/// Makes the runs of a sweep, if there is one. `None`: the scenario cannot be used with another seed,
/// which was reported.
///
/// # Errors
///
/// If there is no stop to move.
pub(super) fn swept(flags: &RunFlags, scenario: &Scenario) -> Result<Option<Swept>> {
    let cases = &flags.cases;
    let Some(range) = cases.stop_sweep else {
        return Ok(Some(Swept::default()));
    };
    if scenario.declarations.stops.is_empty() {
        bail!("`--stop-sweep` moves a stop, but the scenario declares none in `stops`");
    }
    let options = flags.run.load_options(scenario.variant.as_deref());
    let loaded = load_seeds(&flags.run.scenario, scenario.clone(), &options, cases.seeds);
    let seeds = match loaded {
        Ok(seeds) => seeds,
        Err(loaded) => {
            print_problems(&loaded);
            return Ok(None);
        }
    };
    let bases: Vec<RunInput<'_>> = seeds.iter().map(base_of).collect();
    let orders = cases
        .shuffles
        .map_or_else(|| vec![flags.run.orders()], orders);
    let runs = range.ticks().len() * orders.len() * bases.len();
    let machine = interruptible(cases.jobs, runs as u64, "runs")?;
    let swept = sweep(&bases, orders, range, &machine);
    drop(machine);
    let ticks_per_second = scenario.network.rules().ticks_per_second;
    for (case, message) in &swept.broken {
        let case = case.words(ticks_per_second);
        wrong!("error: an invariant broke: {message}; with {case}; a bug in hallwright");
    }
    if swept.found.is_none() && swept.unmade_runs > 0 {
        note!("note: interrupted before any run of the sweep was made");
    }
    Ok(Some(Swept {
        found: swept.found,
        is_broken: !swept.broken.is_empty(),
        is_cut_short: swept.unmade_runs > 0,
    }))
}
