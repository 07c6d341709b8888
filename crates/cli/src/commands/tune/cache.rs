//! Runs that are known already, so that a search that was interrupted goes on.
//!
//! They are kept in one file of lines, see [`KnownRuns`], in a folder beside the scenario or elsewhere. Lines are
//! added whole, each in one piece, as soon as a run is over.
//!
//! What a run comes to depends on the program, too: the file's name has the digest of the program
//! that wrote it, so that no other reads it.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use hallwright_trials::tune::{KnownRuns, RunFigures};

use crate::files;
use crate::program::digest_of_program;

/// The folder beside a scenario.
const FOLDER: &str = ".hallwright";

/// Results of runs, by the digest of what was run.
pub(super) struct Cache {
    known: Mutex<KnownRuns>,
    /// Where further ones are written; `None` if they are only kept until the search is over.
    file: Option<Mutex<File>>,
    has_reported: AtomicBool,
}

impl Cache {
    /// One that is gone with the search.
    pub(super) fn for_now() -> Self {
        Self {
            known: Mutex::default(),
            file: None,
            has_reported: AtomicBool::new(false),
        }
    }

    /// The one in a folder, or in the usual one beside the scenario. What is wrong with it is reported;
    /// then the search goes on without.
    pub(super) fn open(folder: Option<&Path>, scenario: &Path) -> Self {
        match Self::opened(folder, scenario) {
            Ok(cache) => cache,
            Err(error) => {
                note!("note: results are not kept for later: {error}");
                Self::for_now()
            }
        }
    }

    /// The file of a cache, whether it is there or not.
    pub(super) fn file_of(folder: Option<&Path>, scenario: &Path) -> io::Result<PathBuf> {
        let program = digest_of_program()?;
        let folder = folder.map_or_else(|| beside(scenario), Path::to_path_buf);
        Ok(folder.join(format!("runs-{program:032x}.txt")))
    }

    fn opened(folder: Option<&Path>, scenario: &Path) -> io::Result<Self> {
        match folder {
            Some(folder) => fs::create_dir_all(folder)?,
            None => drop(usual_folder(scenario)?),
        }
        let path = Self::file_of(folder, scenario)?;
        let text = match fs::read(&path) {
            Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
            Err(error) if error.kind() == io::ErrorKind::NotFound => String::new(),
            Err(error) => return Err(error),
        };
        let (known, damaged) = KnownRuns::read(&text);
        if damaged > 0 {
            note!(
                "note: {damaged} damaged lines in {} are passed over; these runs are made again",
                path.display()
            );
        }
        let mut file = OpenOptions::new().create(true).append(true).open(&path)?;
        if !text.is_empty() && !text.ends_with('\n') {
            // The last line was cut off: what is added must not become part of it.
            file.write_all(b"\n")?;
        }
        Ok(Self {
            known: Mutex::new(known),
            file: Some(Mutex::new(file)),
            has_reported: AtomicBool::new(false),
        })
    }

    /// Whether the result of a run is known.
    pub(super) fn knows(&self, key: u128) -> bool {
        self.known.lock().is_ok_and(|known| known.knows(key))
    }

    /// The result of a run, if it is known.
    pub(super) fn get(&self, key: u128) -> Option<RunFigures> {
        self.known.lock().ok()?.get(key)
    }

    /// Keeps the result of a run.
    pub(super) fn put(&self, key: u128, figures: &RunFigures) {
        let line = match self.known.lock() {
            Ok(mut known) => known.put(key, figures),
            Err(_) => None,
        };
        if let Some(line) = line
            && let Some(Ok(mut file)) = self.file.as_ref().map(Mutex::lock)
        {
            let written = file.write_all(line.as_bytes());
            if let Err(error) = written
                && !self.has_reported.swap(true, Ordering::Relaxed)
            {
                note!("note: results are not kept for later: {error}");
            }
        }
    }
}

/// The usual folder of a scenario.
fn beside(scenario: &Path) -> PathBuf {
    scenario.parent().unwrap_or(Path::new("")).join(FOLDER)
}

/// The folder beside a scenario, made if it is not there. Repositories pass over it.
fn usual_folder(scenario: &Path) -> io::Result<PathBuf> {
    let folder = beside(scenario);
    fs::create_dir_all(&folder)?;
    let ignored = folder.join(".gitignore");
    if !ignored.exists() {
        files::write(&ignored, "*\n")?;
    }
    Ok(folder)
}

#[cfg(test)]
mod tests {
    use hallwright_trials::compare::Value;
    use hallwright_trials::tune::Costs;

    use super::*;

    fn figures(stop_ticks: f64) -> RunFigures {
        RunFigures {
            goals: Vec::new(),
            costs: Costs([9.0, 3.5, 7.0, stop_ticks, 0.25].map(Value::Number)),
        }
    }

    fn only_file(folder: &Path) -> PathBuf {
        let mut files = fs::read_dir(folder).expect("it is there");
        files
            .next()
            .expect("one file")
            .expect("it can be read")
            .path()
    }

    #[test]
    fn what_was_kept_is_known_the_next_time() {
        let folder = tempfile::tempdir().expect("a folder");
        let open = || Cache::open(Some(folder.path()), Path::new("hall.ron"));
        open().put(5, &figures(11.0));
        let again = open();
        assert_eq!(again.get(5), Some(figures(11.0)));
        assert!(!again.knows(6));
    }

    #[test]
    fn damaged_lines_are_passed_over_and_nothing_is_added_to_them() {
        let folder = tempfile::tempdir().expect("a folder");
        let open = || Cache::open(Some(folder.path()), Path::new("hall.ron"));
        let cache = open();
        cache.put(1, &figures(11.0));
        cache.put(2, &figures(22.0));
        cache.put(3, &figures(33.0));
        let path = only_file(folder.path());
        let text = fs::read_to_string(&path).expect("it is text");
        // A digit of the first is changed, and the last is cut off.
        let text = text.replacen(":11.0}", ":12.0}", 1);
        fs::write(&path, &text[..text.len() - 9]).expect("it can be written");
        let again = open();
        assert_eq!(again.get(1), None);
        assert_eq!(again.get(2), Some(figures(22.0)));
        assert_eq!(again.get(3), None);
        again.put(3, &figures(33.0));
        assert_eq!(open().get(3), Some(figures(33.0)));
    }
}
