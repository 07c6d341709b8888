//! What a file is, reported at a glance.

use std::path::Path;

use crate::hall::is_hall;
use crate::read::read_text;
use crate::source::Sources;
use crate::text::field_names;

/// What a file is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FileSort {
    /// A scenario: it has a title or says how long a run takes.
    Scenario,
    /// A file with modules or goods for scenarios to include, and nothing else.
    Modules,
    /// The description of a hall to plan.
    Hall,
    /// RON, but none of these.
    Other,
    /// It cannot be read or is no RON; loading it says why.
    Broken,
}

/// The fields of a file for others to include.
const MODULE_FIELDS: [&str; 3] = ["modules", "goods", "include"];

/// Reports what a file is by the names of its fields. Nothing but its syntax is checked.
#[must_use]
pub fn sort_of_file(path: &Path) -> FileSort {
    let Ok(text) = read_text(path) else {
        return FileSort::Broken;
    };
    let mut sources = Sources::default();
    let file = sources.add(path, text);
    let names = match field_names(file, &sources.file(file).text) {
        Err(_) => return FileSort::Broken,
        Ok(names) => names,
    };
    let has = |name: &str| names.contains(&name);
    if has("title") || has("run_for") {
        FileSort::Scenario
    } else if !names.is_empty() && names.iter().all(|name| MODULE_FIELDS.contains(name)) {
        FileSort::Modules
    } else if is_hall(&names) {
        FileSort::Hall
    } else {
        FileSort::Other
    }
}
