//! Where what was found is written: `--output FORMAT[=PATH]`, as often as one likes.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use clap::ValueEnum;

use super::destination::{Destination, DestinationSort, sort};
use super::guard::STANDARD_OUTPUT;
use super::standard::{print, width_columns};
use super::whole::WholeFile;

/// The columns of a page in a file, whatever the terminal has.
const PAGE_COLUMNS: u16 = 80;

/// A format and where it goes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Target<F> {
    pub(crate) format: F,
    /// The path, if one is named; `-` for standard output.
    path: Option<PathBuf>,
}

impl<F> Target<F> {
    /// A format without a path.
    pub(crate) fn printed(format: F) -> Self {
        Self { format, path: None }
    }

    /// A format that goes to a file.
    pub(crate) fn filed(format: F, path: PathBuf) -> Self {
        Self {
            format,
            path: Some(path),
        }
    }

    /// What is named behind the format, if anything is.
    pub(crate) fn named(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Where it goes, `-` for standard output.
    pub(crate) fn path(&self) -> &Path {
        self.named().unwrap_or(Path::new(STANDARD_OUTPUT))
    }

    /// The file that it goes to; `None` for standard output.
    pub(crate) fn file(&self) -> Option<&Path> {
        self.named()
            .filter(|path| *path != Path::new(STANDARD_OUTPUT))
    }
}

/// Reads `FORMAT` or `FORMAT=PATH`.
pub(crate) fn target<F: ValueEnum>(text: &str) -> Result<Target<F>, String> {
    let (format, path) = match text.split_once('=') {
        Some((format, path)) => (format, Some(path)),
        None => (text, None),
    };
    match F::from_str(format, false) {
        Ok(format) if path != Some("") => Ok(Target {
            format,
            path: path.map(PathBuf::from),
        }),
        _ => Err(mend::<F>()),
    }
}

/// How a target is written.
fn mend<F: ValueEnum>() -> String {
    let formats: Vec<String> = F::value_variants()
        .iter()
        .filter_map(|format| Some(format.to_possible_value()?.get_name().to_owned()))
        .collect();
    let example = formats.iter().find(|format| *format == "json");
    let example = example.or(formats.first()).map_or("", String::as_str);
    let choice = match formats.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => example.to_owned(),
    };
    format!(
        "write it as FORMAT=PATH, such as `{example}=found.{example}`, or as FORMAT for standard \
         output; FORMAT is {choice}"
    )
}

/// The targets that were named, or else this format on standard output.
pub(crate) fn targets_or<F: Copy>(named: &[Target<F>], otherwise: F) -> Vec<Target<F>> {
    if named.is_empty() {
        vec![Target::printed(otherwise)]
    } else {
        named.to_vec()
    }
}

/// Writes the files, all of them whole or none at all, then what devices and pipes get, and then what
/// goes to standard output. `rendered` is given the format and the columns there are.
pub(crate) fn write_targets<F: Copy>(
    targets: &[Target<F>],
    rendered: &dyn Fn(F, u16) -> Result<String>,
) -> Result<()> {
    let named = targets
        .iter()
        .filter_map(|target| Some((target, target.file()?)));
    let (whole, through): (Vec<_>, Vec<_>) =
        named.partition(|(_, path)| sort(path) == DestinationSort::File);
    let mut files = Vec::new();
    for (target, path) in &whole {
        let text = rendered(target.format, PAGE_COLUMNS)?;
        let written = WholeFile::create(path).and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            Ok(file)
        });
        files.push(written.with_context(|| unwritable(path))?);
    }
    if let Some((_, first)) = whole.first() {
        WholeFile::commit_all(files).with_context(|| unwritable(first))?;
    }
    for (target, path) in through {
        let text = rendered(target.format, PAGE_COLUMNS)?;
        let written = Destination::open(path).and_then(|mut destination| {
            destination.write_all(text.as_bytes())?;
            destination.finish()
        });
        written.with_context(|| unwritable(path))?;
    }
    for target in targets.iter().filter(|target| target.file().is_none()) {
        let text = rendered(target.format, width_columns())?;
        if !text.is_empty() {
            print(&text).context("what was found cannot be printed")?;
        }
    }
    Ok(())
}

fn unwritable(path: &Path) -> String {
    format!("what was found cannot be written to `{}`", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
    enum Format {
        Text,
        Json,
    }

    #[test]
    fn a_format_without_a_path_or_with_a_dash_goes_to_standard_output() {
        let target = target::<Format>;
        assert_eq!(
            target("json").map(|target| target.file().is_none()),
            Ok(true)
        );
        assert_eq!(
            target("text=-").map(|target| target.file().is_none()),
            Ok(true)
        );
        let filed = target("json=a=b").expect("it names a format and a path");
        assert_eq!(filed.file(), Some(Path::new("a=b")));
        for wrong in ["", "xml", "json=", "=a"] {
            let mend = target(wrong).expect_err("it names no format or no path");
            assert!(mend.contains("FORMAT is text or json"), "{mend}");
        }
    }
}
