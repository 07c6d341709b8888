//! Runs every design in the same cases, on all cores, and holds them against each other.

use std::collections::BTreeSet;

use anyhow::{Result, bail};
use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, Wanted};
use hallwright_trials::compare::{
    Comparison, Design, DesignRuns, Measurement, common_stops, compare, incomparable, measure,
};
use hallwright_trials::{Case, Choice, Stops, Unmade, cases};

use super::designs::LoadedDesign;
use crate::flags::CompareFlags;
use crate::runs::{LoadedScenario, interruptible};

type RunResult = Result<Vec<Measurement>, String>;

/// As long as some may not have been made.
type Tried = Result<Vec<Measurement>, Unmade>;

/// Makes all runs and compares the designs.
///
/// # Errors
///
/// If a stop is to be moved and no design has one, or threads cannot be started.
pub(super) fn execute(designs: &[LoadedDesign], flags: &CompareFlags) -> Result<Comparison> {
    let inputs: Vec<Vec<RunInput<'_>>> = designs
        .iter()
        .map(|design| design.subject.bases())
        .collect();
    let firsts: Vec<RunInput<'_>> = inputs.iter().map(|each| each[0].clone()).collect();
    let stops = stops(&firsts, flags)?;
    // The cases are those of a design with a stop, if there is one.
    let stopped = firsts.iter().position(has_stop).unwrap_or(0);
    let choice = Choice {
        stops: Stops::At(stops),
        ..flags.many.cases.choice()
    };
    let cases = cases(&inputs[stopped], &choice);
    let all = cases.len();
    let results = run_all(&inputs, &cases, flags)?;
    let (cases, results) = made(cases, results);
    if cases.is_empty() {
        bail!("interrupted before all designs had been run once");
    }
    let unmade_cases = (all - cases.len()) as u64;
    let runs = designs
        .iter()
        .zip(results)
        .map(|(design, runs)| DesignRuns {
            design: described(design),
            runs,
        });
    let command = |place: usize, case: &Case| {
        let design: &LoadedScenario = &designs[place].subject;
        design.command(&case_of(&firsts[place], case))
    };
    let mut found = compare(cases, runs.collect(), &command);
    found.unmade_cases = unmade_cases;
    found.ticks_per_second = firsts[0].network.rules().ticks_per_second;
    for (design, input) in designs.iter().zip(&firsts).skip(1) {
        let lines = incomparable(&firsts[0], input).into_iter();
        let lines = lines.map(|line| format!("{}: {line}", design.name));
        found.incomparable.extend(lines);
    }
    Ok(found)
}

fn has_stop(input: &RunInput<'_>) -> bool {
    !input.declarations.stops.is_empty()
}

fn stops(firsts: &[RunInput<'_>], flags: &CompareFlags) -> Result<Vec<Tick>> {
    match flags.many.cases.stop_sweep {
        Some(_) if !firsts.iter().any(has_stop) => {
            bail!("`--stop-sweep` moves a stop, but no design declares one in `stops`")
        }
        Some(range) => Ok(range.ticks()),
        None => Ok(common_stops(firsts)),
    }
}

/// The case as it is run in a design: one without a stop has none to move.
fn case_of(input: &RunInput<'_>, case: &Case) -> Case {
    Case {
        stop_at: case.stop_at.filter(|_| has_stop(input)),
        ..case.clone()
    }
}

/// For each design what its run of each case measured.
fn run_all(
    inputs: &[Vec<RunInput<'_>>],
    cases: &[Case],
    flags: &CompareFlags,
) -> Result<Vec<Vec<Tried>>> {
    // A design without a stop runs alike at all stop ticks: once is enough.
    let mut jobs: Vec<(usize, Case)> = Vec::new();
    let mut places: Vec<Vec<usize>> = Vec::new();
    for (design, inputs) in inputs.iter().enumerate() {
        let mut of_design: Vec<usize> = Vec::new();
        for case in cases {
            let case = case_of(&inputs[0], case);
            let job = match jobs.last() {
                Some((known, last)) if (*known, last) == (design, &case) => jobs.len() - 1,
                _ => {
                    jobs.push((design, case));
                    jobs.len() - 1
                }
            };
            of_design.push(job);
        }
        places.push(of_design);
    }
    let machine = interruptible(flags.many.cases.jobs, jobs.len() as u64, "runs")?;
    let results = machine.cases(inputs, &jobs, Wanted::Everything, |made| {
        measure(&made.findings)
    });
    let by_design = places.into_iter();
    Ok(by_design
        .map(|places| places.into_iter().map(|job| results[job].clone()).collect())
        .collect())
}

/// The cases in which every design was run, and what was measured in them.
fn made(cases: Vec<Case>, results: Vec<Vec<Tried>>) -> (Vec<Case>, Vec<Vec<RunResult>>) {
    let is_made = |place: &usize| {
        let mut designs = results.iter();
        designs.all(|runs| !matches!(runs[*place], Err(Unmade::CutShort)))
    };
    let places: BTreeSet<usize> = (0..cases.len()).filter(is_made).collect();
    let kept = |place: usize| places.contains(&place);
    let of_design = |runs: Vec<Tried>| -> Vec<RunResult> {
        let runs = runs
            .into_iter()
            .enumerate()
            .filter(|(place, _)| kept(*place));
        let runs = runs.map(|(_, run)| match run {
            Ok(measured) => Some(Ok(measured)),
            Err(Unmade::Broke(said)) => Some(Err(said)),
            Err(Unmade::CutShort) => None,
        });
        runs.flatten().collect()
    };
    let cases = cases.into_iter().enumerate();
    let cases = cases
        .filter(|(place, _)| kept(*place))
        .map(|(_, case)| case);
    let cases = cases.collect();
    (cases, results.into_iter().map(of_design).collect())
}

fn described(design: &LoadedDesign) -> Design {
    let scenario = design.subject.scenario();
    Design {
        name: design.name.clone(),
        file: design.subject.file.clone(),
        variant: scenario.variant.clone(),
        title: scenario.title.clone(),
        input_digest: format!("{:016x}", scenario.input_digest),
    }
}
