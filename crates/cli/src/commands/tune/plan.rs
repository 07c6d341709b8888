//! What is to be tried: every design of values, each with its runs.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use hallwright_report::RunInput;
use hallwright_report::units::{count, grouped};
use hallwright_scenario::{LoadOptions, Loaded, ParameterRange, Scenario, load};
use hallwright_trials::tune::{Refusal, Runs, digest};
use hallwright_trials::{Case, Choice, OrdersTried, cases};
use hallwright_written::flat;

use crate::flags::TuneFlags;
use crate::runs::{base_of, machine, problem};

/// One design of values.
pub(super) struct Planned {
    /// The value of each range, by its place in it.
    pub(super) values: Vec<usize>,
    /// How it is loaded.
    pub(super) options: LoadOptions,
    /// What is known of it before it is run, or why it cannot be.
    pub(super) sketch: Result<Sketch, Refusal>,
    /// Every file that was read for it.
    pub(super) read: Vec<PathBuf>,
}

/// What is known of a design before it is run.
pub(super) struct Sketch {
    /// The digest of its flat layout.
    pub(super) digest: u128,
    /// Its runs, in their order.
    pub(super) cases: Vec<Case>,
    pub(super) hoppers: u64,
    pub(super) width_blocks: Option<u32>,
    pub(super) title: String,
    pub(super) ticks_per_second: u32,
    pub(super) has_stops: bool,
    pub(super) has_sections: bool,
    pub(super) goal_lines: Vec<usize>,
}

/// Works out every design, loads each once, and says which runs it takes. The last range changes
/// quickest.
///
/// # Errors
///
/// If there are more runs than the limit.
pub(super) fn plan(
    ranges: &[ParameterRange],
    base: &LoadOptions,
    flags: &TuneFlags,
) -> Result<Vec<Planned>> {
    let sizes = ranges.iter().map(|range| range.values.len() as u64);
    let designs = sizes.fold(1, u64::saturating_mul);
    // Each takes at least one run a pair of orders and seed.
    let many = &flags.many.cases;
    let orders_and_seeds = |pairs: u64| pairs.saturating_mul(many.seeds.saturating_add(1));
    let least_runs = |pairs| designs.saturating_mul(orders_and_seeds(pairs));
    // Each shuffle is one pair of orders or more.
    within_limit(least_runs(many.shuffles()), "at least ", designs, flags)?;
    let choice = many.choice();
    let pairs = choice.orders.len() as u64;
    within_limit(least_runs(pairs), "at least ", designs, flags)?;
    let machine = machine(many.jobs, designs, "designs read")?;
    let numbers: Vec<u64> = (0..designs).collect();
    let planned: Vec<Planned> = machine.each(&numbers, |number| {
        planned(*number, ranges, base, flags, &choice)
    });
    drop(machine);
    let sketches = planned.iter().filter_map(|one| one.sketch.as_ref().ok());
    if many.stop_sweep.is_some() && sketches.clone().any(|sketch| !sketch.has_stops) {
        bail!("`--stop-sweep` moves a stop, but the scenario declares none in `stops`");
    }
    let runs = sketches.map(|sketch| sketch.cases.len() as u64).sum();
    within_limit(runs, "", designs, flags)?;
    Ok(planned)
}

fn within_limit(runs: u64, about: &str, designs: u64, flags: &TuneFlags) -> Result<()> {
    if runs > flags.run_limit {
        bail!(
            "{} come to {about}{} runs, more than the limit of {}: narrow a range with `--range`, \
             try fewer orders with `--shuffles`, or raise the limit with `--run-limit`",
            count(designs, "design", "designs"),
            grouped(runs),
            grouped(flags.run_limit)
        );
    }
    Ok(())
}

fn planned(
    number: u64,
    ranges: &[ParameterRange],
    base: &LoadOptions,
    flags: &TuneFlags,
    choice: &Choice,
) -> Planned {
    let mut rest = number;
    let mut values = vec![0; ranges.len()];
    for (place, range) in ranges.iter().enumerate().rev() {
        let size = range.values.len() as u64;
        values[place] = usize::try_from(rest % size).unwrap_or(0);
        rest /= size;
    }
    let set = ranges.iter().zip(&values).map(|(range, value)| {
        let value = &range.values[*value];
        (range.name.clone(), value.set_text())
    });
    let options = LoadOptions {
        set: set.collect(),
        ranges: Vec::new(),
        ..base.clone()
    };
    let loaded = load(&flags.scenario, &options);
    let sketch = sketched(&flags.scenario, &loaded, flags, choice);
    Planned {
        values,
        options,
        sketch,
        read: loaded.sources.paths().map(Path::to_path_buf).collect(),
    }
}

fn sketched(
    path: &Path,
    loaded: &Loaded,
    flags: &TuneFlags,
    choice: &Choice,
) -> Result<Sketch, Refusal> {
    let Some(scenario) = &loaded.scenario else {
        let problem = problem(path, loaded);
        return Err(Refusal {
            message: problem.message,
            file: problem.file,
            line: problem.line,
        });
    };
    let declarations = &scenario.declarations;
    let parts = scenario.network.parts();
    let hoppers = parts.filter(|(_, part)| part.hopper().is_some());
    Ok(Sketch {
        digest: input_digest(scenario),
        cases: cases(&bases(scenario, flags.many.cases.seeds), choice),
        hoppers: hoppers.count() as u64,
        width_blocks: declarations.width_blocks,
        title: scenario.title.clone(),
        ticks_per_second: scenario.network.rules().ticks_per_second,
        has_stops: !declarations.stops.is_empty(),
        has_sections: !declarations.sections.is_empty(),
        goal_lines: scenario.goal_lines.clone(),
    })
}

/// The digest of everything that a run depends on but its seed, orders and stop tick.
pub(super) fn input_digest(scenario: &Scenario) -> u128 {
    digest([flat(scenario).as_str()])
}

/// The bases of all seeds, as far as the choice of runs needs them: what differs is the seed.
fn bases(scenario: &Scenario, further_seeds: u64) -> Vec<RunInput<'_>> {
    let seeds = (0..=further_seeds).map(|further| scenario.seed.wrapping_add(further));
    let base = |seed| RunInput {
        seed,
        ..base_of(scenario)
    };
    seeds.map(base).collect()
}

/// How many runs there are, and of what.
pub(super) fn runs(planned: &[Planned], flags: &TuneFlags) -> Runs {
    let sketches = planned.iter().filter_map(|one| one.sketch.as_ref().ok());
    let orders = OrdersTried::of(&flags.many.cases.choice().orders);
    let seeds = flags.many.cases.seeds + 1;
    let mut stop_ticks = sketches
        .clone()
        .map(|sketch| sketch.cases.len() as u64 / (orders.pairs * seeds));
    let first = stop_ticks.next();
    Runs {
        orders,
        seeds,
        stop_ticks: first.filter(|first| stop_ticks.all(|each| each == *first)),
        all: sketches.map(|sketch| sketch.cases.len() as u64).sum(),
    }
}
