//! What a file is, reported at a glance.

use std::path::Path;

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

/// The sorts of slices, by one of which a description of a hall to plan is known from other files.
const SLICE_FIELDS: [&str; 3] = ["bulk", "multi", "oddments"];

/// The other fields of a description.
const OTHER_FIELDS: [&str; 12] = [
    "sides",
    "length_blocks",
    "rows",
    "lines",
    "boxes",
    "stop_within",
    "filler",
    "families",
    "bulk_share",
    "growth",
    "left_out",
    "sight",
];

/// Whether a file with fields of these names describes a hall.
fn is_hall(names: &[&str]) -> bool {
    let is_slice = |name: &str| SLICE_FIELDS.contains(&name);
    let is_known = |name: &str| is_slice(name) || OTHER_FIELDS.contains(&name);
    names.iter().any(|name| is_slice(name)) && names.iter().all(|name| is_known(name))
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
