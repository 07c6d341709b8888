//! Files for what reads files.

use std::path::PathBuf;

use tempfile::TempDir;

/// A folder that is gone with its thread.
pub(crate) struct Folder(TempDir);

impl Folder {
    /// A folder with these files.
    ///
    /// # Panics
    ///
    /// If there is no room for them.
    pub(crate) fn with(files: &[(&str, &str)]) -> Self {
        let folder = Self(tempfile::tempdir().expect("there is room for a folder"));
        for (name, text) in files {
            folder.write(name, text.as_bytes());
        }
        folder
    }

    /// Writes a file, and says where it is.
    ///
    /// # Panics
    ///
    /// If there is no room for it.
    pub(crate) fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("there is room for a file");
        path
    }

    /// Where a file is.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}
