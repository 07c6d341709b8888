//! `hallwright plan`: from a catalogue to a hall, its parts list and a scenario.

mod proof;

use std::fs;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use hallwright_plan::catalogue::read_catalogue;
use hallwright_plan::hall::hall;
use hallwright_plan::parts::{Costs, materials, parts_of, read_costs};
use hallwright_plan::proof::Proof;
use hallwright_plan::report::report;
use hallwright_plan::write::{json::json, text::text};
use hallwright_plan::{Plan, PlannedFile, SCENARIO_FILE, scenario_files};
use hallwright_scenario::{Diagnostic, LoadOptions, Scenario, Sources, load};

use crate::exit_code::Outcome;
use crate::files::{self, Guard, NamedText, Target, write_targets};
use crate::flags::{PlanFlags, PlanFormat};

/// The files with the report, as text and as JSON.
const REPORTS: [&str; 2] = ["report.txt", "report.json"];

/// Plans a hall, writes it and prints the report.
pub(crate) fn plan(flags: &PlanFlags) -> Result<Outcome> {
    let mut sources = Sources::default();
    let mut problems = Vec::new();
    let planned = read_and_plan(flags, &mut sources, &mut problems);
    print_problems(&mut problems, &sources);
    let Some((plan, costs)) = planned else {
        return Ok(Outcome::Unusable);
    };
    let targets = if flags.output.is_empty() {
        [PlanFormat::Hall, PlanFormat::Text]
            .map(Target::printed)
            .to_vec()
    } else {
        flags.output.clone()
    };
    let mut files = scenario_files(&plan);
    let (halls, reports): (Vec<_>, Vec<_>) = targets
        .into_iter()
        .partition(|target| target.format == PlanFormat::Hall);
    let folders: Vec<PathBuf> = halls
        .iter()
        .map(|hall| folder(hall, &flags.catalogue))
        .collect::<Result<_>>()?;
    let named: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| {
            let names = files.iter().map(|file| file.name);
            names.chain(REPORTS).map(|name| folder.join(name))
        })
        .collect();
    let reported = reports.iter().map(Target::path);
    Guard::default()
        .reads(sources.paths())
        .writes(named.iter().map(PathBuf::as_path).chain(reported))?;
    if !flags.force {
        for folder in &folders {
            refuse_to_lose(folder, &files)?;
        }
    }
    let (folder_tried, scenario) = tried(&files)?;
    let parts = parts_of(&scenario.network);
    let materials = costs.map(|costs| materials(&parts, &costs));
    let mut report = report(&plan, &parts, materials.as_ref());
    if !flags.no_proof {
        let proof = proof::proof(&plan, &report, folder_tried.path(), flags.stops)?;
        report.proof = Some(proof);
    }
    let text = hallwright_names::lines(&text(&report)).into_owned();
    let json = hallwright_names::json(&json(&report)).into_owned();
    for (name, text) in REPORTS.into_iter().zip([&text, &json]) {
        let text = text.clone();
        files.push(PlannedFile { name, text });
    }
    for folder in &folders {
        write(folder, &files, flags.force)?;
    }
    write_targets(&reports, &|format, _| {
        Ok(match format {
            PlanFormat::Json => json.clone(),
            PlanFormat::Text | PlanFormat::Hall => text.clone(),
        })
    })?;
    Ok(say_how_it_ended(&folders, report.proof.as_ref()))
}

/// Says where the halls are and which promises are broken, on standard error.
fn say_how_it_ended(folders: &[PathBuf], proof: Option<&Proof>) -> Outcome {
    let is_broken = proof.is_some_and(|proof| !proof.is_kept);
    for promise in proof.iter().flat_map(|proof| &proof.broken_promises) {
        note!("broken promise: {promise}");
    }
    for folder in folders {
        let folder_shown = folder.display();
        if is_broken {
            note!(
                "note: the hall is in {folder_shown} for you to look at, but it does not do what it should"
            );
        } else {
            let scenario = folder.join(SCENARIO_FILE);
            note!(
                "note: the hall is in {folder_shown}; check it with: hallwright check {}",
                scenario.display()
            );
        }
    }
    match is_broken {
        true => Outcome::GoalMissed,
        false => Outcome::Done,
    }
}

/// Where a hall's files go.
fn folder(hall: &Target<PlanFormat>, catalogue: &Path) -> Result<PathBuf> {
    match (hall.named(), hall.file()) {
        (None, _) => Ok(beside(catalogue)),
        (_, Some(folder)) => Ok(folder.to_owned()),
        (Some(_), None) => bail!("a hall needs a folder: name it with `--output hall=FOLDER`"),
    }
}

/// Reads everything, and plans. `None` if anything is wrong, which is reported.
fn read_and_plan(
    flags: &PlanFlags,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<(Plan, Option<Costs>)> {
    // All files are read before giving up, so that all mistakes are reported at once.
    let catalogue = read_catalogue(&flags.catalogue, sources, problems);
    let hall = hall(flags.hall.as_deref(), sources, problems);
    let costs = match &flags.costs {
        Some(path) => read_costs(path, sources, problems).map(Some),
        None => Some(None),
    };
    let stem = flags.catalogue.file_stem().unwrap_or_default();
    let is_plain = |letter: &char| !letter.is_control();
    let stem: String = stem.to_string_lossy().chars().filter(is_plain).collect();
    let (catalogue, hall, costs) = (catalogue?, hall?, costs?);
    let plan = hallwright_plan::plan(format!("Hall for {stem}"), catalogue, hall, problems)?;
    Some((plan, costs))
}

/// Draws what is wrong and what is worth a warning, on standard error.
fn print_problems(problems: &mut Vec<Diagnostic>, sources: &Sources) {
    if problems.is_empty() {
        return;
    }
    hallwright_scenario::diagnostic::tidy(problems);
    let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    let text = hallwright_scenario::render(problems, sources, colour);
    files::note_drawn(text.trim_end(), colour);
}

/// Loads the scenario of a plan, in a folder that is gone once nobody needs it any more: nothing is handed out
/// that does not compile, and the parts list is that of the scenario.
fn tried(files: &[PlannedFile]) -> Result<(files::Scratch, Scenario)> {
    let folder = files::scratch_folder().context("there is no room for temporary files")?;
    for file in files {
        fs::write(folder.path().join(file.name), &file.text)
            .context("there is no room for temporary files")?;
    }
    let loaded = load(&folder.path().join(SCENARIO_FILE), &LoadOptions::default());
    let Some(scenario) = loaded.scenario else {
        let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
        files::note_drawn(&text, false);
        bail!("the planned scenario does not compile; this is a bug in hallwright");
    };
    Ok((folder, scenario))
}

/// The folder of a hall unless another is named: beside the catalogue, with its name.
fn beside(catalogue: &Path) -> PathBuf {
    let stem = catalogue.with_extension("");
    if stem == catalogue {
        // A catalogue whose name has no ending.
        return catalogue.with_extension("hall");
    }
    stem
}

/// The files that are not there yet or differ, and the paths of those that differ.
fn to_write<'f>(
    folder: &Path,
    files: &'f [PlannedFile],
) -> Result<(Vec<&'f PlannedFile>, Vec<String>)> {
    let mut missing = Vec::new();
    let mut differing = Vec::new();
    for file in files {
        let path = folder.join(file.name);
        match fs::read(&path) {
            Ok(there) if there == file.text.as_bytes() => {}
            Ok(_) => {
                differing.push(path.display().to_string());
                missing.push(file);
            }
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => missing.push(file),
            Err(error) => {
                return Err(error).with_context(|| format!("`{}` cannot be read", path.display()));
            }
        }
    }
    Ok((missing, differing))
}

/// An error if a file that differs would be lost: somebody may have gone on with it.
fn refuse_to_lose(folder: &Path, files: &[PlannedFile]) -> Result<()> {
    let (_, differing) = to_write(folder, files)?;
    if !differing.is_empty() {
        bail!(
            "there already, and different: {}; nothing is written. Choose another folder with \
             `--output hall=FOLDER`, or write over them with `--force`",
            differing.join(", ")
        );
    }
    Ok(())
}

/// Writes the files that are not there yet. Nothing is written if one that differs would be lost.
fn write(folder: &Path, files: &[PlannedFile], force: bool) -> Result<()> {
    if !force {
        refuse_to_lose(folder, files)?;
    }
    let (missing, _) = to_write(folder, files)?;
    if missing.is_empty() {
        return Ok(());
    }
    let texts: Vec<NamedText<'_>> = missing
        .iter()
        .map(|file| NamedText {
            name: file.name,
            text: &file.text,
        })
        .collect();
    files::write_folder(folder, &texts)
        .with_context(|| format!("the folder `{}` cannot be written", folder.display()))
}
