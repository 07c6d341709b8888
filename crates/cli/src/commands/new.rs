//! `hallwright new`: a small scenario to start from.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::exit_code::Outcome;
use crate::files;
use crate::flags::NewFlags;
use crate::repeat::quoted;

/// What a new scenario says, but for its title.
const TEMPLATE: &str = include_str!("new_scenario.ron");

/// What stands in the template where the title goes.
const TITLE: &str = "A new scenario";

/// Writes a new scenario, unless there is a file of its name already.
pub(crate) fn new(flags: &NewFlags) -> Result<Outcome> {
    let path = path_of(&flags.name);
    let unwritable = || format!("`{}` cannot be written", path.display());
    match files::write_new(&path, &text_of(&path)) {
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
            bail!("`{}` is there already; choose another name", path.display());
        }
        written => written.with_context(unwritable)?,
    }
    let path = path.display().to_string();
    let (shown, word) = (hallwright_names::text(&path), quoted(&path));
    files::print(&format!(
        "{shown} is written. Run it with: hallwright run {}",
        hallwright_names::text(&word)
    ))?;
    Ok(Outcome::Done)
}

/// The file of a new scenario: `.ron` may be left out.
fn path_of(name: &Path) -> PathBuf {
    match name.extension() {
        Some(extension) if extension == "ron" => name.to_path_buf(),
        _ => {
            let mut path = name.as_os_str().to_owned();
            path.push(".ron");
            path.into()
        }
    }
}

/// The text of a new scenario: its title is the name of its file.
fn text_of(path: &Path) -> String {
    let stem = path
        .file_stem()
        .map(|stem| stem.to_string_lossy())
        .unwrap_or_default();
    let title: String = stem
        .chars()
        .filter(|letter| !letter.is_control() && !['"', '\\'].contains(letter))
        .collect();
    TEMPLATE.replace(TITLE, &title)
}
