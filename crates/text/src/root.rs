//! The folder in which everything lies that a scenario may read.
//!
//! Whoever sends a change to a scenario may write any path into it. What is read is quoted where
//! something is wrong with it, perhaps in a log for everyone: so nothing outside of this folder is read.

use std::path::{Component, Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::ids;

/// What marks a folder as the root of a project: git keeps its own files there.
const MARK: &str = ".git";

/// The root of a scenario: where nothing leads out of, links followed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Root {
    folder: PathBuf,
}

impl Root {
    /// The root of a scenario's file, or of a folder of them: the one that is given, else the nearest
    /// folder at or above it that has a `.git`, else the file's own folder or the folder itself.
    ///
    /// # Errors
    ///
    /// If a root is given and is no folder: what is wrong with it.
    pub fn of(path: &Path, given: Option<&Path>) -> Result<Self, String> {
        if let Some(given) = given {
            let folder = given.canonicalize().ok().filter(|folder| folder.is_dir());
            let folder =
                folder.ok_or_else(|| format!("the root `{}` is no folder", given.display()))?;
            return Ok(Self { folder });
        }
        let own = match path.is_dir() {
            true => path.to_path_buf(),
            false => folder_of(path),
        };
        let own = real(&own);
        let mut above = own.ancestors();
        let marked = above.find(|folder| folder.join(MARK).exists());
        let folder = marked.unwrap_or(&own).to_path_buf();
        Ok(Self { folder })
    }

    /// Whether a path stays inside, wherever links lead. What is not there counts by where it would be.
    #[must_use]
    pub fn contains(&self, path: &Path) -> bool {
        real(path).starts_with(&self.folder)
    }

    /// What is wrong with a path that leads outside, and how that is mended.
    #[must_use]
    pub fn refusal(&self, shown: &str) -> (String, String) {
        let root = self.folder.display();
        (
            format!("`{shown}` leads out of the root `{root}`"),
            "move the file into the root, or name a folder above both with `--root`".to_owned(),
        )
    }

    /// What keeps a scenario from being read: its own file may be a link that leads outside. What the
    /// system hands over, such as `/dev/stdin`, is the choice of whoever runs the command.
    pub(crate) fn refuse_scenario(&self, path: &Path) -> Option<Diagnostic> {
        if is_handed_over(path) || self.contains(path) {
            return None;
        }
        let (message, help) = self.refusal(&path.display().to_string());
        Some(Diagnostic::general(ids::FILE_OUTSIDE_ROOT, message).help(help))
    }
}

/// Whether a path names what the system hands over, such as `/dev/stdin`.
pub(crate) fn is_handed_over(path: &Path) -> bool {
    let folder = real(&folder_of(path));
    ["/dev", "/proc"].iter().any(|of| folder.starts_with(of))
}

/// The folder in which a file is named.
fn folder_of(path: &Path) -> PathBuf {
    let folder = path.parent().unwrap_or(Path::new(""));
    match folder.as_os_str().is_empty() {
        true => PathBuf::from("."),
        false => folder.to_path_buf(),
    }
}

/// Where a path leads, as far as it is there; the rest of it is worked out from its words.
fn real(path: &Path) -> PathBuf {
    let mut rest = Vec::new();
    let mut there = path.to_path_buf();
    let mut found = loop {
        let shown = match there.as_os_str().is_empty() {
            true => Path::new("."),
            false => &there,
        };
        if let Ok(found) = shown.canonicalize() {
            break found;
        }
        match there.components().next_back() {
            Some(last @ (Component::Normal(_) | Component::ParentDir | Component::CurDir)) => {
                rest.push(last.as_os_str().to_owned());
                there.pop();
            }
            _ => return path.to_path_buf(),
        }
    };
    for word in rest.iter().rev() {
        match Path::new(word).components().next() {
            Some(Component::ParentDir) => {
                found.pop();
            }
            Some(Component::CurDir) | None => {}
            Some(_) => found.push(word),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_marked_folder_is_the_root_and_else_its_own() {
        let folder = tempfile::tempdir().expect("a folder");
        let inner = folder.path().join("halls/east");
        std::fs::create_dir_all(&inner).expect("it can be made");
        let scenario = inner.join("hall.ron");
        let root = |given| Root::of(&scenario, given).expect("it is a folder").folder;
        assert_eq!(root(None), real(&inner));
        assert_eq!(root(Some(folder.path())), real(folder.path()));
        // A worktree has a file of this name.
        std::fs::write(folder.path().join(MARK), "gitdir: elsewhere").expect("it can be written");
        assert_eq!(root(None), real(folder.path()));
        assert!(Root::of(&scenario, Some(&scenario)).is_err());
    }

    #[test]
    fn what_is_not_there_counts_by_where_it_would_be() {
        let folder = tempfile::tempdir().expect("a folder");
        let root = Root::of(folder.path(), None).expect("it is a folder");
        let contains = |path: &str| root.contains(&folder.path().join(path));
        assert!(contains("a.csv") && contains("no/such/a.csv") && contains("no/../a.csv"));
        assert!(!contains("../a.csv") && !contains("no/../../a.csv") && !contains("/no/such.csv"));
    }
}
