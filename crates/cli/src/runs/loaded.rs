//! A scenario to run many times: in one variant, with one seed or several.

use std::path::{Path, PathBuf};

use hallwright_core::order::Orders;
use hallwright_report::RunInput;
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{Diagnostic, LoadOptions, Loaded, Scenario, load};
use hallwright_trials::check::Problem;
use hallwright_trials::{Case, CaseRun};

use crate::files;
use crate::flags::LeavingFlags;
use crate::manner;
use crate::repeat::{Changes, Repeat};

/// One scenario in one variant.
pub(crate) struct LoadedScenario {
    /// The file as it was found.
    pub(crate) path: PathBuf,
    /// The path of the file as text.
    pub(crate) file: String,
    /// The scenario, once for each seed. There is at least one.
    pub(crate) seeds: Vec<Scenario>,
    /// The lines of its goals.
    pub(crate) goal_lines: Vec<usize>,
    /// The parameters set from outside, as name and value.
    set: Vec<(String, String)>,
    part_limit: usize,
    root: Option<PathBuf>,
    /// Every file that was read.
    pub(crate) read: Vec<PathBuf>,
}

impl LoadedScenario {
    /// The scenario with the first seed.
    pub(crate) fn scenario(&self) -> &Scenario {
        &self.seeds[0]
    }

    /// What cases are made of: one base for each seed.
    pub(crate) fn bases(&self) -> Vec<RunInput<'_>> {
        self.seeds.iter().map(base_of).collect()
    }

    /// The scenario with the seed of a case.
    pub(crate) fn of_case(&self, case: &Case) -> &Scenario {
        let mut seeds = self.seeds.iter();
        let found = seeds.find(|scenario| scenario.seed == case.seed);
        found.unwrap_or(self.scenario())
    }

    /// How it was loaded.
    pub(crate) fn options(&self) -> LoadOptions {
        LoadOptions {
            variant: self.scenario().variant.clone(),
            set: self.set.clone(),
            part_limit: self.part_limit,
            root: self.root.clone(),
            ..LoadOptions::default()
        }
    }

    /// The run of a case of it.
    pub(crate) fn run(&self, case: &Case) -> CaseRun<'_> {
        case.of_any(&self.bases())
    }

    /// The command that repeats one run.
    pub(crate) fn command(&self, case: &Case) -> String {
        self.repeat(case.into()).command()
    }

    /// The command that leaves it at these ticks, with the first seed.
    pub(crate) fn leave_command(&self, leaving: &LeavingFlags) -> String {
        let repeat = Repeat {
            leaving: Some(leaving),
            ..self.repeat(Changes::default())
        };
        repeat.command()
    }

    fn repeat(&self, changes: Changes) -> Repeat<'_> {
        Repeat {
            command: "run",
            scenario: &self.path,
            variant: self.scenario().variant.as_deref(),
            set: &self.set,
            changes,
            sweep: None,
            leaving: None,
            part_limit: self.part_limit,
            root: self.root.as_deref(),
        }
    }
}

/// The run of a scenario as it stands, which cases change.
pub(crate) fn base_of(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

/// Takes a scenario that was loaded, and loads it again with so many seeds that follow its own.
///
/// # Errors
///
/// If it cannot be used, with one of the seeds: what loading it came to.
pub(crate) fn load_scenario(
    path: &Path,
    loaded: Loaded,
    options: &LoadOptions,
    further_seeds: u64,
) -> Result<LoadedScenario, Box<Loaded>> {
    let read = loaded.sources.paths().map(Path::to_path_buf).collect();
    let scenario = taken(loaded)?;
    let goal_lines = scenario.goal_lines.clone();
    Ok(LoadedScenario {
        path: path.to_owned(),
        file: path.display().to_string(),
        seeds: load_seeds(path, scenario, options, further_seeds)?,
        goal_lines,
        set: options.set.clone(),
        part_limit: options.part_limit,
        root: options.root.clone(),
        read,
    })
}

/// A scenario that was loaded, and behind it the same with so many seeds that follow its own.
///
/// # Errors
///
/// If it cannot be used with one of the seeds: what loading it came to.
pub(crate) fn load_seeds(
    path: &Path,
    scenario: Scenario,
    options: &LoadOptions,
    further_seeds: u64,
) -> Result<Vec<Scenario>, Box<Loaded>> {
    let own_seed = scenario.seed;
    let mut seeds = vec![scenario];
    for further in 1..=further_seeds {
        let options = LoadOptions {
            seed: Some(own_seed.wrapping_add(further)),
            ..options.clone()
        };
        seeds.push(taken(load(path, &options))?);
    }
    Ok(seeds)
}

fn taken(mut loaded: Loaded) -> Result<Scenario, Box<Loaded>> {
    loaded.scenario.take().ok_or(Box::new(loaded))
}

/// Draws what is wrong with a file, and what is worth a warning, on standard error.
pub(crate) fn print_problems(loaded: &Loaded) {
    if !loaded.diagnostics.is_empty() {
        let colour = manner::has_colour();
        let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, colour);
        files::note_drawn(&format!("{}\n", text.trim_end()), colour);
    }
}

/// What keeps a file from being run; warnings left out.
fn errors(loaded: &Loaded) -> impl Iterator<Item = &Diagnostic> {
    let diagnostics = loaded.diagnostics.iter();
    diagnostics.filter(|diagnostic| diagnostic.severity == Severity::Error)
}

/// The first thing wrong with a file, and how many more there are.
pub(crate) fn problem(path: &Path, loaded: &Loaded) -> Problem {
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
            || path.display().to_string(),
            |span| loaded.sources.file(span.file).path.clone(),
        ),
        line: place.map(|span| loaded.sources.position(span).line),
        message: format!("{message}{more}"),
        is_orphan: false,
    }
}
