//! What is read is never written over.

use std::collections::HashMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use anyhow::{Result, bail};

use super::destination::{DestinationSort, sort};
use super::whole::{behind_links, folder_of};

/// The path that stands for standard output.
pub(super) const STANDARD_OUTPUT: &str = "-";

/// What says whether two paths lead to one file, however they are written.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
enum Identity {
    /// A file that is there: its device and its number there. Links and second names have the same.
    #[cfg(unix)]
    There(u64, u64),
    /// Where a file is or would be.
    At(PathBuf),
}

/// The files that a command reads and those that it is going to write.
#[derive(Debug, Default)]
pub(crate) struct Guard {
    read: HashMap<Identity, PathBuf>,
    written: HashMap<Identity, PathBuf>,
}

impl Guard {
    /// Notes what is read.
    pub(crate) fn reads<'p>(&mut self, paths: impl IntoIterator<Item = &'p Path>) -> &mut Self {
        for path in paths {
            if let Ok(identity) = identity(path) {
                self.read
                    .entry(identity)
                    .or_insert_with(|| path.to_path_buf());
            }
        }
        self
    }

    /// Notes what will be written. Devices, pipes and standard output can be written to as often as one
    /// likes.
    ///
    /// # Errors
    ///
    /// If it is a file that is read, or that is written twice.
    pub(crate) fn writes<'p>(&mut self, paths: impl IntoIterator<Item = &'p Path>) -> Result<()> {
        for path in paths {
            if path == Path::new(STANDARD_OUTPUT) {
                continue;
            }
            let is_passed_on = sort(path) != DestinationSort::File;
            if is_passed_on && !fs::metadata(path).is_ok_and(|there| there.is_file()) {
                continue;
            }
            // What has no place cannot be written: that is reported when it is tried.
            let Ok(identity) = identity(path) else {
                continue;
            };
            let shown = path.display();
            if let Some(read) = self.read.get(&identity) {
                let same = match read == path {
                    true => String::new(),
                    false => format!(", which is the file `{}`", read.display()),
                };
                bail!(
                    "`{shown}` cannot be written: it is read here{same}; nothing is run or written. \
                     Choose another name"
                );
            }
            if is_passed_on {
                continue;
            }
            if let Some(earlier) = self.written.insert(identity, path.to_path_buf()) {
                bail!(
                    "`{}` and `{shown}` are one file, and both are to be written; nothing is run or \
                     written. Choose another name for one of them",
                    earlier.display()
                );
            }
        }
        Ok(())
    }
}

fn identity(path: &Path) -> io::Result<Identity> {
    let target = behind_links(path)?;
    #[cfg(unix)]
    if let Ok(there) = fs::metadata(&target) {
        use std::os::unix::fs::MetadataExt as _;
        return Ok(Identity::There(there.dev(), there.ino()));
    }
    if let Ok(real) = fs::canonicalize(&target) {
        return Ok(Identity::At(real));
    }
    let folder = fs::canonicalize(folder_of(&target))?;
    let name = target.file_name().unwrap_or_default();
    Ok(Identity::At(folder.join(name)))
}
