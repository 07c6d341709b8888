//! Loads every scenario that was found, in every variant, with every seed.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use hallwright_scenario::{FileSort, LoadOptions, Loaded, load, sort_of_file};
use hallwright_trials::check::CheckReport;

use super::find::{Found, ScenarioFile};
use crate::flags::CheckFlags;
use crate::runs::{Subject, load_subject, problem, tell};

/// Loads everything. Files that cannot be used, and files of modules, go into the report.
pub(super) fn load_all(
    found: &Found,
    flags: &CheckFlags,
    report: &mut CheckReport,
    read: &mut BTreeSet<PathBuf>,
) -> Vec<Subject> {
    let mut subjects = Vec::new();
    for file in &found.scenarios {
        load_file(file, flags, report, read, &mut subjects);
    }
    subjects
}

fn load_file(
    file: &ScenarioFile,
    flags: &CheckFlags,
    report: &mut CheckReport,
    read: &mut BTreeSet<PathBuf>,
    subjects: &mut Vec<Subject>,
) {
    let options = LoadOptions {
        part_limit: flags.part_limit,
        root: flags.root.root.clone(),
        ..LoadOptions::default()
    };
    let as_it_stands = load(&file.path, &options);
    read.extend(as_it_stands.sources.paths().map(Path::to_path_buf));
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
        read.extend(loaded.sources.paths().map(Path::to_path_buf));
        // What is wrong is mostly wrong in every variant: it is told once.
        if report.problems.len() == before || loaded.scenario.is_some() {
            load_seeds(file, loaded, &options, flags, report, subjects);
        }
    }
}

/// Loads one variant with every seed. What is wrong with it is told on standard error and in the
/// report.
fn load_seeds(
    file: &ScenarioFile,
    loaded: Loaded,
    options: &LoadOptions,
    flags: &CheckFlags,
    report: &mut CheckReport,
    subjects: &mut Vec<Subject>,
) {
    match load_subject(&file.path, loaded, options, flags.seeds) {
        Ok(subject) => subjects.push(subject),
        Err(loaded) => {
            tell(&loaded);
            report.problems.push(problem(&file.path, &loaded));
        }
    }
}
