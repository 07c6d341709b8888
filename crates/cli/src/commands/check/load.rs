//! Loads every scenario that was found, in every variant, with every seed.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use hallwright_scenario::{FileSort, LoadOptions, Loaded, did_you_mean, load, sort_of_file};
use hallwright_trials::check::CheckReport;

use super::find::{Found, ScenarioFile};
use crate::flags::CheckFlags;
use crate::runs::{LoadedScenario, load_scenario, print_problems, problem};

/// What was met while everything was loaded.
#[derive(Default)]
struct Met {
    /// Every variant of every scenario.
    variants: BTreeSet<String>,
    /// Every file that was read.
    read: BTreeSet<PathBuf>,
}

impl Met {
    fn reads(&mut self, loaded: &Loaded) {
        self.read
            .extend(loaded.sources.paths().map(Path::to_path_buf));
    }
}

/// Loads everything. Files that cannot be used, and files of modules, go into the report. Where
/// variants were asked for, files that were found in a folder and have none of them are passed over.
///
/// # Errors
///
/// If a file that was named has none of the variants that were asked for, or no file has one of them.
pub(super) fn load_all(
    found: &Found,
    flags: &CheckFlags,
    report: &mut CheckReport,
    read: &mut BTreeSet<PathBuf>,
) -> Result<Vec<LoadedScenario>> {
    let mut subjects = Vec::new();
    let mut met = Met::default();
    for file in &found.scenarios {
        load_file(file, flags, report, &mut met, &mut subjects)?;
    }
    read.append(&mut met.read);
    let mut asked = flags.many.loading.variant.iter();
    if let Some(unknown) = asked.find(|variant| !met.variants.contains(*variant))
        && report.problems.is_empty()
    {
        let there: Vec<String> = met.variants.into_iter().collect();
        if there.is_empty() {
            bail!(
                "no scenario here has a variant `{unknown}`, or any other: leave out `--variant`"
            );
        }
        let meant = did_you_mean(unknown, there.iter().map(String::as_str));
        bail!(
            "no scenario here has a variant `{unknown}`; {}",
            meant.unwrap_or_else(|| format!("there are: {}", there.join(", ")))
        );
    }
    Ok(subjects)
}

fn load_file(
    file: &ScenarioFile,
    flags: &CheckFlags,
    report: &mut CheckReport,
    met: &mut Met,
    subjects: &mut Vec<LoadedScenario>,
) -> Result<()> {
    let options = flags.many.loading.options(None);
    let as_it_stands = load(&file.path, &options);
    met.reads(&as_it_stands);
    // Modules and halls to plan are no scenarios, and need not be.
    let sort = sort_of_file(&file.path);
    if !file.is_named && matches!(sort, FileSort::Modules | FileSort::Hall) {
        report.module_files.push(file.path.display().to_string());
        return Ok(());
    }
    // Warnings are much the same in every variant: they are reported once.
    if as_it_stands.scenario.is_some() {
        print_problems(&as_it_stands);
    }
    // A scenario may need a variant to be whole.
    let mut variants = as_it_stands.variants.clone();
    met.variants.extend(variants.iter().cloned());
    let asked = &flags.many.loading.variant;
    if !asked.is_empty() {
        variants.retain(|variant| asked.contains(variant));
        if variants.is_empty() && file.is_named && !as_it_stands.variants.is_empty() {
            let there = as_it_stands.variants.iter().map(String::as_str);
            let meant = did_you_mean(&asked[0], there);
            bail!(
                "`{}` has no variant `{}`; {}",
                file.path.display(),
                asked[0],
                meant.unwrap_or_else(|| format!("there are: {}", as_it_stands.variants.join(", ")))
            );
        }
        if variants.is_empty() && as_it_stands.scenario.is_some() {
            return Ok(());
        }
    }
    let before = report.problems.len();
    if variants.is_empty() {
        let loaded = as_it_stands;
        load_seeds(file, loaded, &options, flags, report, subjects);
        return Ok(());
    }
    for variant in variants {
        let options = LoadOptions {
            variant: Some(variant),
            ..options.clone()
        };
        let loaded = load(&file.path, &options);
        met.reads(&loaded);
        // What is wrong is mostly wrong in every variant: it is reported once.
        if report.problems.len() == before || loaded.scenario.is_some() {
            load_seeds(file, loaded, &options, flags, report, subjects);
        }
    }
    Ok(())
}

/// Loads one variant with every seed. What is wrong with it is reported on standard error and in the
/// report.
fn load_seeds(
    file: &ScenarioFile,
    loaded: Loaded,
    options: &LoadOptions,
    flags: &CheckFlags,
    report: &mut CheckReport,
    subjects: &mut Vec<LoadedScenario>,
) {
    match load_scenario(&file.path, loaded, options, flags.many.cases.seeds) {
        Ok(subject) => subjects.push(subject),
        Err(loaded) => {
            print_problems(&loaded);
            report.problems.push(problem(&file.path, &loaded));
        }
    }
}
