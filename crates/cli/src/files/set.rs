//! Several files of one folder: all of them are written, or none.

use std::fs::{self, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::Builder;

use super::scratch::{Scratch, undivided};
use super::whole::{WholeFile, folder_of};

/// A file's name in its folder, and its text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NamedText<'t> {
    pub(crate) name: &'t str,
    pub(crate) text: &'t str,
}

/// Writes files into a folder, which is made if it is not there. Other files in it stay as they are.
pub(crate) fn write_folder(folder: &Path, files: &[NamedText<'_>]) -> io::Result<()> {
    if folder.is_dir() {
        let mut written = Vec::new();
        for file in files {
            let mut whole = WholeFile::create(&folder.join(file.name))?;
            whole.write_all(file.text.as_bytes())?;
            written.push(whole);
        }
        return WholeFile::commit_all(written);
    }
    write_new_folder(folder, files)
}

/// Writes a folder that is not there, with those above it that are not: in one that has another name
/// until all is written.
fn write_new_folder(folder: &Path, files: &[NamedText<'_>]) -> io::Result<()> {
    let mut first = folder.to_path_buf();
    let mut below = Vec::new();
    while !folder_of(&first).exists() {
        below.extend(first.file_name().map(ToOwned::to_owned));
        first = folder_of(&first).to_path_buf();
    }
    let ((), scratch) = Scratch::made(|| {
        let mut builder = Builder::new();
        #[cfg(unix)]
        builder.permissions(usual());
        let path = builder.tempdir_in(folder_of(&first))?.keep();
        Ok(((), path))
    })?;
    let inner: PathBuf = below
        .iter()
        .rev()
        .fold(scratch.path().to_path_buf(), |folder, name| {
            folder.join(name)
        });
    fs::create_dir_all(&inner)?;
    for file in files {
        let mut made = fs::File::create(inner.join(file.name))?;
        made.write_all(file.text.as_bytes())?;
        made.sync_all()?;
    }
    undivided(|| fs::rename(scratch.path(), &first))
}

/// What a new folder may be asked for; the system takes from it what it takes from all new folders.
#[cfg(unix)]
fn usual() -> Permissions {
    std::os::unix::fs::PermissionsExt::from_mode(0o777)
}
