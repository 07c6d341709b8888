//! `hallwright tune`: looks through designs of parameter values for the cheapest design that
//! meets every goal.
//!
//! The scenario says in which ranges ([`hallwright_scenario::ParameterRange`]); `plan` works out
//! the designs and their runs, `bench` makes them or looks them up in the `cache`, the
//! search itself is [`hallwright_trials::tune`], and [`mod@write`] writes what was found.

mod bench;
mod cache;
mod design;
mod plan;
mod write;

use std::path::PathBuf;

use anyhow::{Result, bail};
use hallwright_report::units::{count, grouped};
use hallwright_scenario::{LoadOptions, Loaded, ParameterRange, load};
use hallwright_trials::tune::{
    Candidate, Costs, Design, Fate, RangeTried, Searched, TuneOutcome, TuneReport, cheapest,
    run_key, search, undominated,
};

use crate::exit_code::Outcome;
use crate::files::{Guard, Target};
use crate::flags::{By, TuneFlags};
use crate::repeat::{Changes, Repeat};
use crate::runs::{interruptible, print_problems};
use bench::Hall;
use cache::Cache;
use plan::{Planned, plan, runs};

/// Searches and says what was found.
pub(crate) fn tune(flags: &TuneFlags) -> Result<Outcome> {
    let variant = flags.many.loading.one_variant()?;
    let by_hours = flags.by == By::BuildHours;
    let loading = flags.many.loading.options(variant);
    let options = LoadOptions {
        set: Vec::new(),
        ranges: ranges_of(flags)?,
        ..flags.build.of(loading, by_hours)
    };
    let base = load(&flags.scenario, &options);
    let Some(ranges) = base.ranges.as_deref() else {
        print_problems(&base);
        return Ok(Outcome::Unusable);
    };
    // A scenario may be whole only with values from its ranges.
    if base.scenario.is_some() || ranges.is_empty() {
        print_problems(&base);
    }
    if ranges.is_empty() {
        bail!(
            "there is nothing to search in: declare `ranges` in the scenario, or give \
             `--range NAME=RANGE`"
        );
    }
    if variant.is_none() {
        report_variants(&base);
    }
    tuned(flags, &options, &base, ranges)
}

/// The ranges of the command line. A parameter that is set has a range of this one value.
///
/// # Errors
///
/// If a parameter is set and has a range as well.
fn ranges_of(flags: &TuneFlags) -> Result<Vec<(String, String)>> {
    let set = &flags.many.loading.set;
    for (name, _) in set {
        if flags.range.iter().any(|(ranged, _)| ranged == name) {
            bail!("`--set {name}=…` and `--range {name}=…` exclude each other: leave one out");
        }
    }
    Ok(flags.range.iter().chain(set).cloned().collect())
}

/// Goals for one variant only are judged if the search starts from it.
fn report_variants(base: &Loaded) {
    if !base.variants.is_empty() {
        note!(
            "note: no variant was chosen with `--variant`, so goals for one are not judged; there are: {}",
            base.variants.join(", ")
        );
    }
}

fn tuned(
    flags: &TuneFlags,
    options: &LoadOptions,
    base: &Loaded,
    ranges: &[ParameterRange],
) -> Result<Outcome> {
    let planned = plan(ranges, options, flags)?;
    guard(flags, base, &planned)?;
    let mut sketches = planned.iter().filter_map(|one| one.sketch.as_ref().ok());
    let Some(first) = sketches.next() else {
        wrong!("error: no design can be used; this is the first:");
        print_problems(&load(&flags.scenario, &planned[0].options));
        return Ok(Outcome::Unusable);
    };
    if first.goal_lines.is_empty() {
        wrong!("error: no goal is declared that a design must meet");
        return Ok(Outcome::NothingFound);
    }
    let cache = if flags.no_cache {
        Cache::for_now()
    } else {
        Cache::open(flags.cache.as_deref(), &flags.scenario)
    };
    let all = runs(&planned, flags).all;
    let machine = interruptible(flags.many.cases.jobs, all, "runs")?;
    report_count(flags, &planned, &cache);
    let hall = Hall::new(
        &flags.scenario,
        &planned,
        flags.many.cases.seeds,
        &cache,
        &machine,
    );
    let candidates = candidates(&planned);
    let searched = machine.within(|| search(&candidates, &hall));
    if hall.has_changed() {
        bail!("the scenario's files changed while the search went on: start it again");
    }
    let made = hall.made();
    drop(machine);
    note!("made {}", count(made, "run", "runs"));
    let report = report(flags, base, ranges, planned, &candidates, searched);
    write::write(&flags.output, &report)?;
    Ok(match report.outcome() {
        TuneOutcome::Broken => Outcome::Broken,
        TuneOutcome::Unusable => Outcome::Unusable,
        TuneOutcome::NoneFound => Outcome::GoalMissed,
        TuneOutcome::CutShort => Outcome::CutShort,
        TuneOutcome::Found => Outcome::Done,
    })
}

/// Keeps what is read from being written over: whatever a design reads.
fn guard(flags: &TuneFlags, base: &Loaded, planned: &[Planned]) -> Result<()> {
    let read = planned.iter().flat_map(|one| &one.read);
    let outputs = flags.output.iter().map(Target::path);
    let cache = match flags.no_cache {
        true => None,
        false => Cache::file_of(flags.cache.as_deref(), &flags.scenario).ok(),
    };
    Guard::default()
        .reads(base.sources.paths())
        .reads(read.map(PathBuf::as_path))
        .writes(outputs.chain(cache.as_deref()))
}

/// Says how much there is to do.
fn report_count(flags: &TuneFlags, planned: &[Planned], cache: &Cache) {
    let runs = runs(planned, flags);
    let sketches = planned.iter().filter_map(|one| one.sketch.as_ref().ok());
    let keys = sketches.flat_map(|sketch| {
        let cases = sketch.cases.iter();
        cases.map(|case| run_key(sketch.digest, case))
    });
    let known = keys.filter(|key| cache.knows(*key)).count() as u64;
    let refused = planned.iter().filter(|one| one.sketch.is_err()).count() as u64;
    let designs = planned.len() as u64 - refused;
    let stops = match runs.stop_ticks {
        Some(stops) => format!(" × {}", count(stops, "stop tick", "stop ticks")),
        None => " × their stop ticks".to_owned(),
    };
    let refused = match refused {
        0 => String::new(),
        refused => format!(
            "; {} not compile",
            count(refused, "other does", "others do")
        ),
    };
    note!(
        "{} × {} × {}{stops} = {}, of which {} known{refused}",
        count(designs, "design", "designs"),
        runs.orders.words(),
        count(runs.seeds, "seed", "seeds"),
        count(runs.all, "run", "runs"),
        match known {
            1 => "1 is".to_owned(),
            known => format!("{} are", grouped(known)),
        },
    );
}

fn candidates(planned: &[Planned]) -> Vec<Candidate> {
    let numbered = planned.iter().enumerate();
    let candidates = numbered.filter_map(|(design, planned)| {
        let sketch = planned.sketch.as_ref().ok()?;
        Some(Candidate {
            design,
            runs: sketch.cases.len(),
        })
    });
    candidates.collect()
}

fn report(
    flags: &TuneFlags,
    base: &Loaded,
    ranges: &[ParameterRange],
    planned: Vec<Planned>,
    candidates: &[Candidate],
    mut searched: Searched,
) -> TuneReport {
    let to_design = |candidate: usize| candidates[candidate].design;
    for near in searched
        .obstacles
        .iter_mut()
        .map(|obstacle| &mut obstacle.nearest)
        .chain(searched.nearest.iter_mut().map(|(_, near)| near))
    {
        near.candidate = to_design(near.candidate);
    }
    let sketches = planned.iter().filter_map(|one| one.sketch.as_ref().ok());
    let first = sketches.clone().next();
    let mut report = TuneReport {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        file: flags.scenario.display().to_string(),
        title: first.map_or_else(String::new, |sketch| sketch.title.clone()),
        variant: flags.many.loading.variant.first().cloned(),
        ranges: ranges.iter().map(tried).collect(),
        by: flags.by.into(),
        ticks_per_second: first.map_or(20, |sketch| sketch.ticks_per_second),
        has_sections: first.is_none_or(|sketch| sketch.has_sections),
        goal_lines: first.map_or_else(Vec::new, |sketch| sketch.goal_lines.clone()),
        runs: runs(&planned, flags),
        designs: Vec::new(),
        is_cut_short: searched.is_cut_short,
        cheapest: None,
        undominated: Vec::new(),
        obstacles: searched.obstacles,
        nearest: searched.nearest,
        found: None,
    };
    let mut fates = searched.fates.into_iter();
    for planned in planned {
        let command = command(flags, &planned.options);
        report.designs.push(design(planned, &mut fates, command));
    }
    let numbered = report.designs.iter().enumerate();
    let (found, costs): (Vec<usize>, Vec<Costs>) = numbered
        .filter_map(|(number, one)| Some((number, *one.costs()?)))
        .unzip();
    report.cheapest = cheapest(&costs, report.by).map(|place| found[place]);
    report.undominated = undominated(&costs)
        .into_iter()
        .map(|place| found[place])
        .collect();
    let values = report
        .cheapest
        .map(|cheapest| &report.designs[cheapest].values);
    report.found = values.map(|values| design::design(base, ranges, values));
    report
}

fn tried(range: &ParameterRange) -> RangeTried {
    RangeTried {
        name: range.name.clone(),
        values: range.values.iter().map(|value| value.set_text()).collect(),
    }
}

fn design(planned: Planned, fates: &mut impl Iterator<Item = Fate>, command: String) -> Design {
    let values = planned.values;
    match planned.sketch {
        Err(refusal) => Design {
            values,
            cases: Vec::new(),
            hoppers: None,
            width_blocks: None,
            fate: Err(refusal),
            command,
        },
        Ok(sketch) => Design {
            values,
            cases: sketch.cases,
            hoppers: Some(sketch.hoppers),
            width_blocks: sketch.width_blocks,
            fate: Ok(fates.next().expect("every candidate has a fate")),
            command,
        },
    }
}

/// The command that runs a design.
fn command(flags: &TuneFlags, options: &LoadOptions) -> String {
    let repeat = Repeat {
        command: "run",
        scenario: &flags.scenario,
        variant: options.variant.as_deref(),
        set: &options.set,
        changes: Changes::default(),
        sweep: None,
        leaving: None,
        part_limit: options.part_limit,
        root: options.root.as_deref(),
    };
    repeat.command()
}
