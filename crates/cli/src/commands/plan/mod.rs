//! `hallwright plan`: from a catalogue to a hall, its parts list and a scenario.

mod keep;
mod proof;

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use hallwright_plan::catalogue::read_catalogue;
use hallwright_plan::changes::parts_to_bring;
use hallwright_plan::hall::hall;
use hallwright_plan::parts::{Costs, materials, parts_of, read_costs};
use hallwright_plan::proof::Proof;
use hallwright_plan::report::report;
use hallwright_plan::stamp::{REPORT_FILE, digests, stamped};
use hallwright_plan::why::{explanation, find};
use hallwright_plan::write::{json::json, text::text};
use hallwright_plan::{Plan, PlannedFile, SCENARIO_FILE, scenario_files};
use hallwright_scenario::{Diagnostic, LoadOptions, Scenario, Sources, load};

use crate::exit_code::Outcome;
use crate::files::{self, Guard, NamedText, Target, write_targets};
use crate::flags::{PlanFlags, PlanFormat};
use crate::manner;
use crate::repeat::quoted;
use keep::{KeptHall, Written};

/// The file with the report for people.
const TEXT_FILE: &str = "report.txt";

/// Plans a hall, writes it and prints the report.
pub(crate) fn plan(flags: &PlanFlags) -> Result<Outcome> {
    let mut sources = Sources::default();
    let mut problems = Vec::new();
    let planned = read_and_plan(flags, &mut sources, &mut problems);
    let explained = planned
        .as_ref()
        .and_then(|planned| explained(&planned.plan, &flags.explain, &mut problems));
    print_problems(&mut problems, &sources);
    let (Some(planned), Some(explained)) = (planned, explained) else {
        return Ok(Outcome::Unusable);
    };
    if !explained.is_empty() {
        files::print(&hallwright_names::lines(&explained))?;
        return Ok(Outcome::Done);
    }
    let kept = planned.kept.as_ref();
    let files = scenario_files(&planned.plan);
    let destination = Destination::of(flags)?;
    // Before anything is run, for that takes its time.
    destination.check(&files, &sources, kept, flags.force)?;
    let described = describe(&planned, files, flags)?;
    let is_cut_short = described
        .proof
        .as_ref()
        .is_some_and(|proof| proof.unmade_runs > 0);
    // What is not proven takes the place of no hall, and stands in the way of none.
    if !is_cut_short {
        destination.write_halls(&described, kept, flags.force)?;
    }
    destination.report(&described)?;
    Ok(say_how_it_ended(
        &destination.folders,
        described.proof.as_ref(),
    ))
}

/// A plan as it is handed out.
struct Described {
    /// All files of its folder, with the reports.
    files: Vec<PlannedFile>,
    /// The report for people.
    text: String,
    /// The report for programs.
    json: String,
    proof: Option<Proof>,
}

/// Tries the scenario, and works out the reports.
fn describe(
    planned: &Planned,
    mut files: Vec<PlannedFile>,
    flags: &PlanFlags,
) -> Result<Described> {
    let Planned { plan, costs, kept } = planned;
    let (folder_tried, scenario) = tried(&files)?;
    let parts = parts_of(&scenario.network, &scenario.declarations);
    let materials = costs.as_ref().map(|costs| materials(&parts, costs));
    let mut report = report(plan, &parts, materials.as_ref());
    if let (Some(changes), Some(kept)) = (&mut report.kept, kept) {
        changes.parts_to_bring = kept.parts().map(|old| parts_to_bring(&parts, &old));
    }
    if !flags.no_proof {
        let proof = proof::proof(plan, &report, folder_tried.path(), flags.stops)?;
        report.proof = Some(proof);
    }
    let text = hallwright_names::lines(&text(&report)).into_owned();
    files.push(PlannedFile {
        name: TEXT_FILE,
        text: text.clone(),
    });
    report.files = digests(files.iter().map(|file| (file.name, file.text.as_str())));
    let json = stamped(&hallwright_names::json(&json(&report)));
    files.push(PlannedFile {
        name: REPORT_FILE,
        text: json.clone(),
    });
    Ok(Described {
        files,
        text,
        json,
        proof: report.proof,
    })
}

/// Where it all goes.
struct Destination {
    /// The folders of halls.
    folders: Vec<PathBuf>,
    /// The reports.
    reports: Vec<Target<PlanFormat>>,
}

impl Destination {
    /// What the flags ask for.
    fn of(flags: &PlanFlags) -> Result<Self> {
        let targets = if flags.output.is_empty() {
            [PlanFormat::Hall, PlanFormat::Text]
                .map(Target::printed)
                .to_vec()
        } else {
            flags.output.clone()
        };
        let (halls, reports): (Vec<_>, Vec<_>) = targets
            .into_iter()
            .partition(|target| target.format == PlanFormat::Hall);
        let folders = halls.iter().map(|hall| folder(hall, &flags.catalogue));
        Ok(Self {
            folders: folders.collect::<Result<_>>()?,
            reports,
        })
    }

    /// Sees to it that nothing would be lost.
    fn check(
        &self,
        files: &[PlannedFile],
        sources: &Sources,
        kept: Option<&KeptHall>,
        force: bool,
    ) -> Result<()> {
        let names = files.iter().map(|file| file.name);
        let names: Vec<&str> = names.chain([TEXT_FILE, REPORT_FILE]).collect();
        let folders = self.folders.iter();
        let named = folders.flat_map(|folder| names.iter().map(|name| folder.join(name)));
        let reported: Vec<&Path> = self.reports.iter().map(Target::path).collect();
        guard(&named.collect::<Vec<_>>(), &reported, sources, kept)?;
        for folder in &self.folders {
            to_write(folder, files, &written(folder, kept), force)?;
        }
        Ok(())
    }

    /// Writes the halls.
    fn write_halls(
        &self,
        described: &Described,
        kept: Option<&KeptHall>,
        force: bool,
    ) -> Result<()> {
        for folder in &self.folders {
            write(folder, &described.files, &written(folder, kept), force)?;
        }
        Ok(())
    }

    /// Writes and prints the reports.
    fn report(&self, described: &Described) -> Result<()> {
        write_targets(&self.reports, &|format, _| {
            Ok(match format {
                PlanFormat::Json => described.json.clone(),
                PlanFormat::Text | PlanFormat::Hall => described.text.clone(),
            })
        })
    }
}

/// What is known of the files of a folder.
fn written(folder: &Path, kept: Option<&KeptHall>) -> Written {
    match kept {
        Some(kept) if kept.is_replaced_by(folder) => Written::of(folder),
        _ => Written::unknown(),
    }
}

/// Sees to it that nothing is written over that is read. A hall may take the place of the one that it
/// continues, but no report may.
fn guard(
    halls: &[PathBuf],
    reports: &[&Path],
    sources: &Sources,
    kept: Option<&KeptHall>,
) -> Result<()> {
    let is_kept = |path: &Path| kept.is_some_and(|kept| kept.allocation == path);
    let halls = halls.iter().map(PathBuf::as_path);
    Guard::default()
        .reads(sources.paths().filter(|path| !is_kept(path)))
        .writes(halls.chain(reports.iter().copied()))?;
    let Some(kept) = kept else {
        return Ok(());
    };
    let read = [kept.allocation.clone(), kept.scenario()];
    Guard::default()
        .reads(read.iter().map(PathBuf::as_path))
        .writes(reports.iter().copied())
}

/// Says where the halls are and which promises are broken, on standard error.
fn say_how_it_ended(folders: &[PathBuf], proof: Option<&Proof>) -> Outcome {
    let is_cut_short = proof.is_some_and(|proof| proof.unmade_runs > 0);
    let is_broken = proof.is_some_and(|proof| !proof.broken_promises.is_empty());
    for promise in proof.iter().flat_map(|proof| &proof.broken_promises) {
        wrong!("broken promise: {promise}");
    }
    for folder in folders {
        let folder_shown = folder.display();
        if is_cut_short {
            note!(
                "note: no hall is written to {folder_shown}, for its proof was cut short; \
                 `--no-proof` writes it without one"
            );
        } else if is_broken {
            note!(
                "note: the hall is in {folder_shown} for you to look at, but it does not do what it should"
            );
        } else {
            let scenario = folder.join(SCENARIO_FILE);
            note!(
                "note: the hall is in {folder_shown}; check it with: hallwright check {}",
                quoted(&scenario.to_string_lossy())
            );
        }
    }
    if is_broken {
        Outcome::GoalMissed
    } else if is_cut_short {
        Outcome::CutShort
    } else {
        Outcome::Done
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

/// A plan, and what was read besides.
struct Planned {
    plan: Plan,
    costs: Option<Costs>,
    kept: Option<KeptHall>,
}

/// The explanations of some kinds, one after the other. `None` if one is not known, which is reported.
fn explained(plan: &Plan, kinds: &[String], problems: &mut Vec<Diagnostic>) -> Option<String> {
    // All are looked for before giving up.
    let found: Vec<Option<usize>> = kinds
        .iter()
        .map(|kind| find(plan, kind, problems))
        .collect();
    let found: Option<Vec<usize>> = found.into_iter().collect();
    let texts = found?.into_iter().map(|good| explanation(plan, good));
    Some(texts.collect::<Vec<_>>().join("\n"))
}

/// Reads everything, and plans. `None` if anything is wrong, which is reported.
fn read_and_plan(
    flags: &PlanFlags,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Planned> {
    // All files are read before giving up, so that all mistakes are reported at once.
    let catalogue = read_catalogue(&flags.catalogue, sources, problems);
    let hall = hall(flags.hall.as_deref(), sources, problems);
    let costs = match &flags.costs {
        Some(path) => read_costs(path, sources, problems).map(Some),
        None => Some(None),
    };
    let kept = KeptHall::read(flags, sources, problems);
    let stem = flags.catalogue.file_stem().unwrap_or_default();
    let is_plain = |letter: &char| !letter.is_control();
    let stem: String = stem.to_string_lossy().chars().filter(is_plain).collect();
    let (catalogue, hall, costs, kept) = (catalogue?, hall?, costs?, kept?);
    let title = format!("Hall for {stem}");
    let lay = kept.as_ref().map(|kept| &kept.kept);
    let plan = hallwright_plan::continued(title, catalogue, hall, lay, problems)?;
    Some(Planned { plan, costs, kept })
}

/// Draws what is wrong and what is worth a warning, on standard error.
fn print_problems(problems: &mut Vec<Diagnostic>, sources: &Sources) {
    if problems.is_empty() {
        return;
    }
    hallwright_scenario::diagnostic::tidy(problems);
    let colour = manner::has_colour();
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

/// The files that are not there yet, and those that differ and are known to be as they were written.
///
/// # Errors
///
/// If another that differs would be lost: somebody may have gone on with it.
fn to_write<'f>(
    folder: &Path,
    files: &'f [PlannedFile],
    written: &Written,
    force: bool,
) -> Result<Vec<&'f PlannedFile>> {
    let mut missing = Vec::new();
    let mut differing = Vec::new();
    for file in files {
        let path = folder.join(file.name);
        match fs::read(&path) {
            Ok(there) if there == file.text.as_bytes() => {}
            Ok(there) if written.is_unedited(file.name, &there) => missing.push(file),
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
    if !force && !differing.is_empty() {
        let what = match written.is_known() {
            true => "edited since they were planned",
            false => "there already, and different",
        };
        bail!(
            "{what}: {}; nothing is written. Choose another folder with \
             `--output hall=FOLDER`, or write over them with `--force`",
            differing.join(", ")
        );
    }
    Ok(missing)
}

/// Writes what is to be written.
fn write(folder: &Path, files: &[PlannedFile], written: &Written, force: bool) -> Result<()> {
    let missing = to_write(folder, files, written, force)?;
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
