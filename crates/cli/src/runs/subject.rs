//! A scenario to run many times: in one variant, with one seed or several.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use hallwright_report::RunInput;
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{Diagnostic, LoadOptions, Loaded, Scenario, load};
use hallwright_trials::check::{Case, Problem};

use crate::files;
use crate::repeat::Repeat;

/// One scenario in one variant.
pub(crate) struct Subject {
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

impl Subject {
    /// The scenario with the first seed.
    pub(crate) fn scenario(&self) -> &Scenario {
        &self.seeds[0]
    }

    /// What is run: one input for each seed. The cases choose the update order.
    pub(crate) fn inputs(&self) -> Vec<RunInput<'_>> {
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
    pub(crate) fn command(&self, case: &Case) -> String {
        let repeat = Repeat {
            command: "run",
            scenario: &self.path,
            variant: self.scenario().variant.as_deref(),
            set: &self.set,
            order: Some(&case.order),
            seed: Some(case.seed),
            stop_at: case.stop_at,
            stop_sweep: None,
            part_limit: self.part_limit,
            root: self.root.as_deref(),
        };
        repeat.command()
    }
}

/// Takes a scenario that was loaded, and loads it again with so many seeds that follow its own.
///
/// # Errors
///
/// If it cannot be used, with one of the seeds: what loading it came to.
pub(crate) fn load_subject(
    path: &Path,
    loaded: Loaded,
    options: &LoadOptions,
    further_seeds: u64,
) -> Result<Subject, Box<Loaded>> {
    let taken = |mut loaded: Loaded| loaded.scenario.take().ok_or(Box::new(loaded));
    let read = loaded.sources.paths().map(Path::to_path_buf).collect();
    let scenario = taken(loaded)?;
    let own_seed = scenario.seed;
    let goal_lines = scenario.goal_lines.clone();
    let mut seeds = vec![scenario];
    for further in 1..=further_seeds {
        let options = LoadOptions {
            seed: Some(own_seed.wrapping_add(further)),
            ..options.clone()
        };
        seeds.push(taken(load(path, &options))?);
    }
    Ok(Subject {
        path: path.to_owned(),
        file: path.display().to_string(),
        seeds,
        goal_lines,
        set: options.set.clone(),
        part_limit: options.part_limit,
        root: options.root.clone(),
        read,
    })
}

/// Draws what is wrong with a file, and what is worth a warning, on standard error.
pub(crate) fn tell(loaded: &Loaded) {
    if !loaded.diagnostics.is_empty() {
        let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
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
