//! Files that are replaced whole or not at all: written beside their place, then given the name.

use std::ffi::OsStr;
use std::fs::{self, File, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::Builder;

use super::scratch::{Scratch, undivided};

/// So many links are followed from one to the next.
const MOST_LINKS: usize = 40;

/// A file that is being written. Without [`WholeFile::commit`] nothing is left of it.
#[derive(Debug)]
pub(super) struct WholeFile {
    file: File,
    scratch: Scratch,
    /// Where it goes: no link.
    target: PathBuf,
}

impl WholeFile {
    /// Begins to write the file of a name. Where the name is a link, what it leads to is written.
    pub(super) fn create(path: &Path) -> io::Result<Self> {
        let target = behind_links(path)?;
        let there = match fs::metadata(&target) {
            Ok(there) if there.is_dir() => {
                return Err(io::Error::other("it is a folder"));
            }
            Ok(there) => {
                // One that may not be written is not replaced either.
                File::options().write(true).open(&target)?;
                Some(there)
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(error),
        };
        let folder = folder_of(&target);
        let (file, scratch) = Scratch::made(|| {
            let mut builder = Builder::new();
            #[cfg(unix)]
            builder.permissions(readable());
            let (file, path) = builder.tempfile_in(folder)?.keep()?;
            Ok((file, path))
        })?;
        if let Some(there) = there {
            keep_owner(&there, scratch.path());
            file.set_permissions(there.permissions())?;
        }
        Ok(Self {
            file,
            scratch,
            target,
        })
    }

    /// Gives it its name.
    pub(super) fn commit(self) -> io::Result<()> {
        self.file.sync_all()?;
        undivided(|| fs::rename(self.scratch.path(), &self.target))
    }

    /// Gives all of them their names, or none.
    pub(super) fn commit_all(files: Vec<Self>) -> io::Result<()> {
        for file in &files {
            file.file.sync_all()?;
        }
        let kept: Vec<Option<Scratch>> = files
            .iter()
            .map(|file| kept_aside(&file.target))
            .collect::<io::Result<_>>()?;
        undivided(|| {
            for (number, file) in files.iter().enumerate() {
                if let Err(error) = fs::rename(file.scratch.path(), &file.target) {
                    for (file, kept) in files[..number].iter().zip(&kept) {
                        // As it was before; the first error is the one to report.
                        let _ = match kept {
                            Some(kept) => fs::rename(kept.path(), &file.target),
                            None => fs::remove_file(&file.target),
                        };
                    }
                    return Err(error);
                }
            }
            Ok(())
        })
    }
}

impl Write for WholeFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// Writes a file that must not be there yet, whole or not at all.
pub(crate) fn write_new(path: &Path, text: &str) -> io::Result<()> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let mut file = WholeFile::create(path)?;
    file.write_all(text.as_bytes())?;
    file.file.sync_all()?;
    // Unlike a new name, a second one never takes the place of a file that has come there meanwhile.
    undivided(|| fs::hard_link(file.scratch.path(), path)).or_else(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => Err(error),
        // There are file systems on which a file has only one name.
        _ => fs::rename(file.scratch.path(), path),
    })
}

/// What is at a place now, under a second name; `None` if nothing is.
fn kept_aside(target: &Path) -> io::Result<Option<Scratch>> {
    if !target.exists() {
        return Ok(None);
    }
    let made = Scratch::made(|| {
        let (_, path) = Builder::new().tempfile_in(folder_of(target))?.keep()?;
        fs::remove_file(&path)?;
        let copied = fs::hard_link(target, &path).or_else(|_| fs::copy(target, &path).map(drop));
        copied.inspect_err(|_| drop(fs::remove_file(&path)))?;
        Ok(((), path))
    })?;
    Ok(Some(made.1))
}

/// Where a path leads, link by link, also if nothing is there.
pub(super) fn behind_links(path: &Path) -> io::Result<PathBuf> {
    let mut path = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&path) {
            Ok(next) => path = folder_of(&path).join(next),
            Err(_) => return Ok(path),
        }
    }
    Err(io::Error::other("the links lead in circles"))
}

/// The folder of a file.
pub(super) fn folder_of(path: &Path) -> &Path {
    let folder = path
        .parent()
        .filter(|folder| *folder.as_os_str() != *OsStr::new(""));
    folder.unwrap_or(Path::new("."))
}

/// What a new file may be asked for; the system takes from it what it takes from all new files.
#[cfg(unix)]
fn readable() -> Permissions {
    std::os::unix::fs::PermissionsExt::from_mode(0o666)
}

/// Gives a file the owner of another, as far as that is allowed.
#[cfg(unix)]
fn keep_owner(of: &fs::Metadata, path: &Path) {
    use std::os::unix::fs::MetadataExt as _;

    let is_same = |there: fs::Metadata| (there.uid(), there.gid()) == (of.uid(), of.gid());
    if !fs::metadata(path).is_ok_and(is_same) {
        // Only the administrator may; for all others it becomes a file of their own.
        let _ = std::os::unix::fs::chown(path, Some(of.uid()), Some(of.gid()));
    }
}

#[cfg(not(unix))]
fn keep_owner(_of: &fs::Metadata, _path: &Path) {}
