//! Where what was found is written: `--output FORMAT=PATH`, as often as one likes.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use clap::ValueEnum;

use super::destination::{Destination, Sort, sort};
use super::guard::STANDARD_OUTPUT;
use super::standard::{print, width_columns};
use super::whole::WholeFile;

/// The columns of a page in a file, whatever the terminal has.
const PAGE_COLUMNS: u16 = 80;

/// A format and where it goes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Target<F> {
    pub(crate) format: F,
    /// The file; `-` for standard output.
    pub(crate) path: PathBuf,
}

/// Reads `FORMAT=PATH`.
pub(crate) fn target<F: ValueEnum>(text: &str) -> Result<Target<F>, String> {
    let mend = || {
        let formats: Vec<String> = F::value_variants()
            .iter()
            .filter_map(|format| Some(format.to_possible_value()?.get_name().to_owned()))
            .collect();
        let (last, others) = formats
            .split_last()
            .map_or(("", &[][..]), |(last, others)| (last.as_str(), others));
        format!(
            "write it as FORMAT=PATH, such as `json=found.json`; FORMAT is {} or {last}",
            others.join(", ")
        )
    };
    let (format, path) = text.split_once('=').ok_or_else(mend)?;
    let format = F::from_str(format, false).map_err(|_| mend())?;
    if path.is_empty() {
        return Err(mend());
    }
    Ok(Target {
        format,
        path: path.into(),
    })
}

/// Writes the files, all of them whole or none at all, then what devices and pipes get, and then what
/// goes to standard output; without a target, `text` goes there. `rendered` is told the format and the columns there are.
pub(crate) fn write_targets<F: Copy>(
    targets: &[Target<F>],
    text: F,
    rendered: &dyn Fn(F, u16) -> String,
) -> Result<()> {
    let only_text = [Target {
        format: text,
        path: STANDARD_OUTPUT.into(),
    }];
    let targets = if targets.is_empty() {
        &only_text
    } else {
        targets
    };
    let (printed, filed): (Vec<_>, Vec<_>) = targets
        .iter()
        .partition(|target| target.path == Path::new(STANDARD_OUTPUT));
    let unwritable = |target: &Target<F>| {
        let shown = target.path.display();
        format!("what was found cannot be written to `{shown}`")
    };
    let (whole, through): (Vec<_>, Vec<_>) = filed
        .into_iter()
        .partition(|target| sort(&target.path) == Sort::File);
    let mut files = Vec::new();
    for target in &whole {
        let text = rendered(target.format, PAGE_COLUMNS);
        let written = WholeFile::create(&target.path).and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            Ok(file)
        });
        files.push(written.with_context(|| unwritable(target))?);
    }
    if let Some(first) = whole.first() {
        WholeFile::commit_all(files).with_context(|| unwritable(first))?;
    }
    for target in through {
        let text = rendered(target.format, PAGE_COLUMNS);
        let written = Destination::open(&target.path).and_then(|mut destination| {
            destination.write_all(text.as_bytes())?;
            destination.finish()
        });
        written.with_context(|| unwritable(target))?;
    }
    for target in printed {
        let text = rendered(target.format, width_columns());
        if !text.is_empty() {
            print(&text).context("what was found cannot be printed")?;
        }
    }
    Ok(())
}
