//! Which designs are compared, and what they are called.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use hallwright_report::figures::Name;
use hallwright_scenario::{LoadOptions, load};

use crate::flags::CompareFlags;
use crate::runs::{LoadedScenario, load_scenario, print_problems};

/// A design that was loaded, and its name in the comparison.
pub(super) struct LoadedDesign {
    pub(super) name: String,
    pub(super) subject: LoadedScenario,
}

/// A file, and the one variant of it that was asked for.
struct Asked {
    path: PathBuf,
    variant: Option<String>,
}

/// Loads all designs, with the seeds of the first one. `None` if something is wrong with a file; it
/// was reported on standard error.
///
/// # Errors
///
/// If a file has none of the variants that were asked for.
pub(super) fn load_designs(flags: &CompareFlags) -> Result<Option<Vec<LoadedDesign>>> {
    let asked: Vec<Asked> = flags.scenarios.iter().map(|text| parsed(text)).collect();
    let Some(chosen) = choose(&asked, flags)? else {
        return Ok(None);
    };
    let mut subjects: Vec<LoadedScenario> = Vec::new();
    for (path, variant) in chosen {
        let is_asked = flags.figure.contains(&Name::BUILD_HOURS);
        let loading = flags.many.loading.options(variant.as_deref());
        let options = LoadOptions {
            // All designs meet the same chances.
            seed: subjects.first().map(|first| first.scenario().seed),
            ..flags.build.of(loading, is_asked)
        };
        let loaded = load(path, &options);
        // Warnings are much the same in every variant: they are reported once.
        if loaded.scenario.is_some() && !subjects.iter().any(|known| known.path == path) {
            print_problems(&loaded);
        }
        match load_scenario(path, loaded, &options, flags.many.cases.seeds) {
            Ok(subject) => subjects.push(subject),
            Err(loaded) => {
                print_problems(&loaded);
                return Ok(None);
            }
        }
    }
    let names = names(&subjects);
    let designs = names.into_iter().zip(subjects);
    Ok(Some(
        designs
            .map(|(name, subject)| LoadedDesign { name, subject })
            .collect(),
    ))
}

/// `FILE` or `FILE#VARIANT`; a file whose name has a `#` is a file.
fn parsed(text: &str) -> Asked {
    match text.split_once('#') {
        Some((file, variant)) if !Path::new(text).exists() => Asked {
            path: file.into(),
            variant: Some(variant.to_owned()),
        },
        _ => Asked {
            path: text.into(),
            variant: None,
        },
    }
}

type Chosen<'a> = Vec<(&'a Path, Option<String>)>;

/// Each file in each of its variants that is wanted, in the order of the flags.
fn choose<'a>(asked: &'a [Asked], flags: &CompareFlags) -> Result<Option<Chosen<'a>>> {
    let mut chosen = Chosen::new();
    let mut unknown: Vec<&String> = flags.many.loading.variant.iter().collect();
    for Asked { path, variant } in asked {
        if variant.is_some() {
            chosen.push((path, variant.clone()));
            continue;
        }
        let loaded = load(path, &in_root(flags));
        let variants = loaded.variants.clone();
        if variants.is_empty() {
            // It runs as it stands, or what is wrong with it is reported when it is loaded.
            chosen.push((path, None));
            continue;
        }
        if flags.many.loading.variant.is_empty() {
            chosen.extend(
                variants
                    .into_iter()
                    .map(|variant| (path.as_path(), Some(variant))),
            );
            continue;
        }
        let wanted: Vec<&String> = flags
            .many
            .loading
            .variant
            .iter()
            .filter(|variant| variants.contains(variant))
            .collect();
        unknown.retain(|variant| !wanted.contains(variant));
        if wanted.is_empty() && flags.scenarios.len() > 1 {
            bail!(
                "`{}` has none of these variants; there are: {}",
                path.display(),
                variants.join(", ")
            );
        }
        let wanted = wanted.into_iter().cloned();
        chosen.extend(wanted.map(|variant| (path.as_path(), Some(variant))));
    }
    let Some(variant) = unknown.first() else {
        return Ok(Some(chosen));
    };
    let Some(file) = asked.iter().find(|asked| asked.variant.is_none()) else {
        bail!("`--variant` chooses in files named without a variant; each of these has one");
    };
    // Loading says what is wrong with the name, and which was probably meant.
    let options = LoadOptions {
        variant: Some((*variant).clone()),
        ..in_root(flags)
    };
    print_problems(&load(&file.path, &options));
    Ok(None)
}

/// A scenario as it stands, in the root that was named.
fn in_root(flags: &CompareFlags) -> LoadOptions {
    LoadOptions {
        root: flags.many.loading.root.root.clone(),
        ..LoadOptions::default()
    }
}

/// A name for each design, unlike all others: its variant where all are of one file, else its file and
/// its variant.
fn names(subjects: &[LoadedScenario]) -> Vec<String> {
    let is_one_file = subjects
        .iter()
        .all(|subject| subject.path == subjects[0].path);
    let mut names: Vec<String> = Vec::new();
    for subject in subjects {
        let variant = subject.scenario().variant.as_ref();
        let name = match variant {
            Some(variant) if is_one_file => variant.clone(),
            Some(variant) => format!("{}#{variant}", subject.file),
            None => subject.file.clone(),
        };
        let again = |name: &str, number: usize| format!("{name} ({number})");
        let taken = names.contains(&name);
        let number = (2..).find(|number| !names.contains(&again(&name, *number)));
        names.push(match number {
            Some(number) if taken => again(&name, number),
            _ => name,
        });
    }
    names
}
