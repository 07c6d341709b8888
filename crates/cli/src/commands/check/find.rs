//! Which files there are to check.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use anyhow::Result;
use hallwright_scenario::Root;
use hallwright_trials::check::{CheckReport, Problem};

/// The ending of scenarios.
pub(super) const SCENARIO: &str = "ron";
/// The ending of recorded figures.
pub(super) const FIGURES: &str = "figures";

/// The files to check, sorted by the paths in which they were found, each once.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub(super) scenarios: Vec<ScenarioFile>,
    /// Recorded figures that were found in folders.
    pub(super) figures: Vec<PathBuf>,
}

/// A file that may be a scenario.
#[derive(Debug)]
pub(super) struct ScenarioFile {
    pub(super) path: PathBuf,
    /// Whether it was named, rather than found in a folder.
    pub(super) is_named: bool,
}

/// Walks the paths. What cannot be read, leads out of the root or has nothing in it goes into the report.
///
/// # Errors
///
/// If the root that was named is no folder.
pub(super) fn find(
    paths: &[PathBuf],
    root: Option<&Path>,
    report: &mut CheckReport,
) -> Result<Found> {
    let mut walk = Walk {
        found: Found::default(),
        seen: BTreeSet::new(),
        met: 0,
        root: None,
        report,
    };
    for path in paths {
        walk.root = Some(Root::of(path, root).map_err(anyhow::Error::msg)?);
        if path.is_dir() {
            let before = walk.met;
            walk.folder(path);
            if walk.met == before {
                walk.report.empty.push(path.display().to_string());
            }
        } else {
            walk.scenario(path, true);
        }
    }
    Ok(walk.found)
}

struct Walk<'r> {
    found: Found,
    /// Where the files and folders really are, so that each is taken once and links cannot lead in
    /// circles.
    seen: BTreeSet<PathBuf>,
    /// How many scenarios were met so far, those met before included.
    met: usize,
    /// What nothing in the folder that is walked leads out of.
    root: Option<Root>,
    report: &'r mut CheckReport,
}

impl Walk<'_> {
    fn scenario(&mut self, path: &Path, is_named: bool) {
        self.met += 1;
        if self.is_new(path) {
            self.found.scenarios.push(ScenarioFile {
                path: path.to_owned(),
                is_named,
            });
        }
    }

    /// Whether the file or folder has not been met. What is not there counts as new: reading it will
    /// report why.
    fn is_new(&mut self, path: &Path) -> bool {
        fs::canonicalize(path).map_or(true, |real| self.seen.insert(real))
    }

    fn folder(&mut self, folder: &Path) {
        if !self.is_new(folder) {
            // What is in it was met.
            self.met += 1;
            return;
        }
        match entries(folder) {
            Ok(entries) => entries.iter().for_each(|path| self.entry(path)),
            Err(error) => self.report(folder, &format!("the folder cannot be read: {error}")),
        }
    }

    fn entry(&mut self, path: &Path) {
        let ending = path.extension().and_then(|ending| ending.to_str());
        let is_ours = matches!(ending, Some(SCENARIO | FIGURES));
        let is_folder = path.is_dir();
        if let Some(root) = self.root.as_ref().filter(|root| !root.contains(path))
            && (is_ours || is_folder)
        {
            let (message, help) = root.refusal(&path.display().to_string());
            self.report(path, &format!("{message}: {help}"));
            return;
        }
        match fs::metadata(path) {
            Ok(what) if what.is_dir() => self.folder(path),
            Ok(_) if ending == Some(SCENARIO) => self.scenario(path, false),
            Ok(_) if ending == Some(FIGURES) && self.is_new(path) => {
                self.found.figures.push(path.to_owned());
            }
            Ok(_) => {}
            // A link to nowhere is none of ours unless its name says so.
            Err(error) if error.kind() == io::ErrorKind::NotFound && !is_ours => {}
            Err(error) => self.report(path, &format!("it cannot be read: {error}")),
        }
    }

    fn report(&mut self, path: &Path, message: &str) {
        self.report.problems.push(Problem {
            file: path.display().to_string(),
            line: None,
            message: message.to_owned(),
            is_orphan: false,
        });
    }
}

/// What is in a folder, sorted by name.
fn entries(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        paths.push(entry?.path());
    }
    paths.sort();
    Ok(paths)
}
