//! Which file was probably meant by a path to none.

use std::path::{Path, PathBuf};

use crate::suggest::nearest;

/// So many entries of a folder are looked at.
const MOST_ENTRIES: usize = 2000;

/// So many files are named at most where none is near.
const MOST_NAMED: usize = 4;

/// What to do about a path that a file beside `folder` names as `written` and that leads to no file:
/// the file that was probably meant, or else those that are there. Files count for which `may_be_named`
/// is true.
pub(crate) fn hint(
    folder: &Path,
    written: &Path,
    may_be_named: impl Fn(&Path) -> bool,
) -> Option<String> {
    let path = folder.join(written);
    let name = path.file_name()?.to_str()?;
    let there = |folder: &Path| files_in(folder, &may_be_named);
    // Where it should be, beside the file that names it, and in the folders there.
    let meant = path.parent().unwrap_or(folder);
    let mut folders = vec![meant.to_path_buf(), folder.to_path_buf()];
    folders.extend(folders_in(folder, &may_be_named));
    let files: Vec<PathBuf> = folders.iter().flat_map(|folder| there(folder)).collect();
    let names = || files.iter().filter_map(|file| file.file_name()?.to_str());
    // A file of the very name elsewhere is nearer than any other.
    let found = names()
        .find(|there| *there == name)
        .or_else(|| nearest(name, names()));
    if let Some(found) = found {
        let file = files.iter().find(|file| file.ends_with(found))?;
        return Some(format!("did you mean `{}`?", shown(file, folder)));
    }
    let is_alike = |file: &&PathBuf| file.extension() == path.extension();
    let beside = there(meant);
    let beside = beside.iter().filter(is_alike).take(MOST_NAMED);
    let beside: Vec<String> = beside
        .map(|file| format!("`{}`", shown(file, folder)))
        .collect();
    (!beside.is_empty()).then(|| format!("there are: {}", beside.join(", ")))
}

/// A path as it would be written beside `folder`.
fn shown(file: &Path, folder: &Path) -> String {
    let file = file.strip_prefix(folder).unwrap_or(file);
    file.display().to_string()
}

/// What stands in a folder, in the order of the names; nothing if it cannot be read.
fn entries(folder: &Path, is_wanted: impl Fn(&Path) -> bool) -> Vec<PathBuf> {
    let folder = match folder.as_os_str().is_empty() {
        true => Path::new("."),
        false => folder,
    };
    let Ok(read) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let found = read
        .take(MOST_ENTRIES)
        .filter_map(|entry| Some(entry.ok()?.path()));
    let mut found: Vec<PathBuf> = found.filter(|path| is_wanted(path)).collect();
    found.sort();
    found
}

fn files_in(folder: &Path, may_be_named: &impl Fn(&Path) -> bool) -> Vec<PathBuf> {
    entries(folder, |path| path.is_file() && may_be_named(path))
}

fn folders_in(folder: &Path, may_be_named: &impl Fn(&Path) -> bool) -> Vec<PathBuf> {
    entries(folder, |path| path.is_dir() && may_be_named(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_of_that_name_elsewhere_comes_before_a_near_one() {
        let folder = tempfile::tempdir().expect("there is room for a folder");
        let at = |path: &str| folder.path().join(path);
        std::fs::create_dir(at("modules")).expect("there is room for a folder");
        for path in ["slices.ron", "modules/slice.ron", "goods.csv"] {
            std::fs::write(at(path), "").expect("there is room for a file");
        }
        let hint = |written: &str| hint(folder.path(), Path::new(written), |_| true);
        assert_eq!(
            hint("slice.ron").as_deref(),
            Some("did you mean `modules/slice.ron`?")
        );
        assert_eq!(
            hint("slicse.ron").as_deref(),
            Some("did you mean `slices.ron`?")
        );
        assert_eq!(
            hint("no/goods.csv").as_deref(),
            Some("did you mean `goods.csv`?")
        );
        assert_eq!(
            hint("elsewhere.ron").as_deref(),
            Some("there are: `slices.ron`")
        );
        assert_eq!(hint("no/elsewhere.txt"), None);
    }
}
