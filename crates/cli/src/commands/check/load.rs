//! Loads every scenario that was found, in every variant, with every seed.

use std::io::IsTerminal;
use std::path::PathBuf;

use hallwright_report::RunInput;
use hallwright_report::check::{Case, CheckReport, Problem};
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{
    Diagnostic, FileSort, LoadOptions, Loaded, Scenario, load, sort_of_file,
};

use super::find::{Found, ScenarioFile};
use crate::flags::CheckFlags;
use crate::repeat::Repeat;

/// One scenario in one variant.
pub(super) struct Subject {
    /// The file as it was found.
    pub(super) path: PathBuf,
    /// The same as text.
    pub(super) file: String,
    /// The scenario, with its own seed and then with each further one.
    pub(super) seeds: Vec<Scenario>,
    /// The lines of its goals.
    pub(super) goal_lines: Vec<usize>,
    part_limit: usize,
}

impl Subject {
    /// The scenario with its own seed.
    pub(super) fn scenario(&self) -> &Scenario {
        &self.seeds[0]
    }

    /// What is run: one input for each seed. The cases choose the update order.
    pub(super) fn inputs(&self) -> Vec<RunInput<'_>> {
        let inputs = self.seeds.iter().map(|scenario| RunInput {
            network: &scenario.network,
            timeline: &scenario.timeline,
            seed: scenario.seed,
            order: hallwright_core::setup::UpdateOrder::Declared,
            run_ticks: scenario.run_ticks,
            declarations: &scenario.declarations,
        });
        inputs.collect()
    }

    /// The command that repeats one run.
    pub(super) fn command(&self, case: &Case) -> String {
        let repeat = Repeat {
            scenario: &self.path,
            variant: self.scenario().variant.as_deref(),
            set: &[],
            order: Some(&case.order),
            seed: Some(case.seed),
            stop_at: case.stop_at,
            stop_sweep: None,
            part_limit: self.part_limit,
        };
        repeat.command()
    }
}

/// Loads everything. Files that cannot be used, and files of modules, go into the report.
pub(super) fn load_all(
    found: &Found,
    flags: &CheckFlags,
    report: &mut CheckReport,
) -> Vec<Subject> {
    let mut subjects = Vec::new();
    for file in &found.scenarios {
        load_file(file, flags, report, &mut subjects);
    }
    subjects
}

fn load_file(
    file: &ScenarioFile,
    flags: &CheckFlags,
    report: &mut CheckReport,
    subjects: &mut Vec<Subject>,
) {
    let options = LoadOptions {
        part_limit: flags.part_limit,
        ..LoadOptions::default()
    };
    let as_it_stands = load(&file.path, &options);
    // Modules and halls to plan are no scenarios, and need not be.
    let sort = sort_of_file(&file.path);
    if !file.is_named && matches!(sort, FileSort::Modules | FileSort::Hall) {
        report.module_files.push(file.path.display().to_string());
        return;
    }
    // Warnings are much the same in every variant: they are told once.
    if as_it_stands.scenario.is_some() {
        tell(&as_it_stands);
    }
    // A scenario may need a variant to be whole.
    let variants = as_it_stands.variants.clone();
    let before = report.problems.len();
    if variants.is_empty() {
        let loaded = as_it_stands;
        load_seeds(file, loaded, &options, flags, report, subjects);
        return;
    }
    for variant in variants {
        let options = LoadOptions {
            variant: Some(variant),
            ..options.clone()
        };
        let loaded = load(&file.path, &options);
        // What is wrong is mostly wrong in every variant: it is told once.
        if report.problems.len() == before || loaded.scenario.is_some() {
            load_seeds(file, loaded, &options, flags, report, subjects);
        }
    }
}

/// What keeps a file from being run; warnings left out.
fn errors(loaded: &Loaded) -> impl Iterator<Item = &Diagnostic> {
    let diagnostics = loaded.diagnostics.iter();
    diagnostics.filter(|diagnostic| diagnostic.severity == Severity::Error)
}

fn load_seeds(
    file: &ScenarioFile,
    loaded: Loaded,
    options: &LoadOptions,
    flags: &CheckFlags,
    report: &mut CheckReport,
    subjects: &mut Vec<Subject>,
) {
    let Some(scenario) = taken(file, loaded, report) else {
        return;
    };
    let goal_lines = scenario.goal_lines.clone();
    let own_seed = scenario.seed;
    let mut seeds = vec![scenario];
    for further in 1..=flags.seeds {
        let options = LoadOptions {
            seed: Some(own_seed.wrapping_add(further)),
            ..options.clone()
        };
        match taken(file, load(&file.path, &options), report) {
            Some(scenario) => seeds.push(scenario),
            None => return,
        }
    }
    subjects.push(Subject {
        path: file.path.clone(),
        file: file.path.display().to_string(),
        seeds,
        goal_lines,
        part_limit: flags.part_limit,
    });
}

/// The scenario that was loaded. What is wrong with it is told on standard error and in the report.
fn taken(file: &ScenarioFile, loaded: Loaded, report: &mut CheckReport) -> Option<Scenario> {
    if loaded.scenario.is_none() {
        tell(&loaded);
        report.problems.push(problem(file, &loaded));
    }
    loaded.scenario
}

/// Draws what is wrong with a file, and what is worth a warning, on standard error.
fn tell(loaded: &Loaded) {
    if !loaded.diagnostics.is_empty() {
        let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, colour);
        eprintln!("{}\n", text.trim_end());
    }
}

/// The first thing wrong with a file, and how many more there are.
fn problem(file: &ScenarioFile, loaded: &Loaded) -> Problem {
    let first = errors(loaded).next();
    let place = first.and_then(Diagnostic::primary);
    let message = first.map_or_else(
        || "it cannot be used".to_owned(),
        |error| format!("{} [{}]", error.message, error.id),
    );
    let more = match errors(loaded).count() {
        0 | 1 => String::new(),
        errors => format!("; and {} more", errors - 1),
    };
    Problem {
        file: place.map_or_else(
            || file.path.display().to_string(),
            |span| loaded.sources.file(span.file).path.clone(),
        ),
        line: place.map(|span| loaded.sources.position(span).line),
        message: format!("{message}{more}"),
        is_orphan: false,
    }
}
