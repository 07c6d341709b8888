//! Recorded figures: read and compared, or written with `--record`. Nothing else writes them.

use std::fs;
use std::io;
use std::path::Path;

use hallwright_report::units::count;
use hallwright_trials::check::{CheckReport, Checked, Problem, Record};

use super::execute::Executed;
use super::find::{FIGURES, Found, SCENARIO};
use crate::files;
use crate::runs::LoadedScenario;

/// What is done with recorded figures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Records {
    /// They are compared with what was measured, where there are any.
    Compared,
    /// They are compared, and every scenario must have them.
    Demanded,
    /// They are written anew.
    Written {
        /// Of scenarios that miss a goal, too.
        if_missed: bool,
    },
    /// Nothing: the scenarios do not run as they stand.
    LeftAlone,
}

const NOT_RECORDED: &str = "no figures are recorded, and `--require-figures` demands them: write them with \
    `hallwright check --record`";

/// Puts everything into the report, after comparing it with what is recorded; or records it.
pub(super) fn settle(
    found: &Found,
    subjects: &[LoadedScenario],
    executed: Vec<Executed>,
    records: Records,
    report: &mut CheckReport,
) {
    let mut rest = subjects.iter().zip(executed).peekable();
    while let Some((first, _)) = rest.peek() {
        let path = first.path.as_path();
        let mut of_file = Vec::new();
        while let Some(each) = rest.next_if(|(subject, _)| subject.path == path) {
            of_file.push(each);
        }
        if let Records::Written { if_missed } = records {
            write_record(path, &of_file, if_missed, report);
        }
        let record = read_record(path, records, &of_file, report);
        for (subject, executed) in of_file {
            report
                .checked
                .push(checked(subject, executed, record.as_ref()));
        }
    }
    report_orphans(found, report);
}

/// A record and the file it is in.
type FileRecord = (String, Record);

fn checked(subject: &LoadedScenario, executed: Executed, record: Option<&FileRecord>) -> Checked {
    let scenario = subject.scenario();
    let input_digest = digest_words(subject);
    let compared = record.zip(executed.measured.as_ref());
    let compared = compared.map(|((file, record), measured)| {
        record.compare(file, scenario.variant.as_deref(), &input_digest, measured)
    });
    Checked {
        file: subject.file.clone(),
        title: scenario.title.clone(),
        variant: scenario.variant.clone(),
        input_digest,
        runs: executed.runs,
        unmade_runs: executed.unmade_runs,
        took: executed.took,
        fold: executed.fold,
        compared,
        leave: executed.leave,
        margin: executed.margin,
    }
}

fn digest_words(subject: &LoadedScenario) -> String {
    format!("{:016x}", subject.scenario().input_digest)
}

/// The record beside a scenario, if there is one and nothing is being recorded. A variant in it that
/// the scenario does not have is reported.
fn read_record(
    scenario: &Path,
    records: Records,
    of_file: &[(&LoadedScenario, Executed)],
    report: &mut CheckReport,
) -> Option<FileRecord> {
    let path = scenario.with_extension(FIGURES);
    let file = path.display().to_string();
    let mut report = |line, message, is_orphan| {
        report.problems.push(Problem {
            file: file.clone(),
            line,
            message,
            is_orphan,
        });
    };
    let is_demanded = match records {
        Records::Compared => false,
        Records::Demanded => true,
        Records::Written { .. } | Records::LeftAlone => return None,
    };
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if is_demanded {
                report(None, NOT_RECORDED.to_owned(), false);
            }
            return None;
        }
        Err(error) => {
            report(None, format!("the figures cannot be read: {error}"), false);
            return None;
        }
    };
    match Record::parse(&text) {
        Ok(record) => {
            let variants: Vec<Option<String>> = of_file
                .first()
                .map_or(&[][..], |(subject, _)| &subject.scenario().variants)
                .iter()
                .cloned()
                .map(Some)
                .collect();
            let variants = if variants.is_empty() {
                vec![None]
            } else {
                variants
            };
            for variant in record.variants_beside(&variants) {
                report(None, without_variant(&variant), true);
            }
            Some((file, record))
        }
        Err(error) => {
            report(Some(error.line), error.message, false);
            None
        }
    }
}

/// What is wrong with a recorded variant that the scenario does not have; one without a name is the scenario
/// without a variant.
fn without_variant(variant: &str) -> String {
    match variant {
        "" => "recorded without a variant, but the scenario has variants now: only these are run; \
             `hallwright check --record` writes their figures"
            .to_owned(),
        variant => format!("recorded, but the scenario has no variant `{variant}`"),
    }
}

/// Records a scenario, if all its variants ran and none misses a goal, or that is asked for.
fn write_record(
    scenario: &Path,
    of_file: &[(&LoadedScenario, Executed)],
    if_missed: bool,
    report: &mut CheckReport,
) {
    let path = scenario.with_extension(FIGURES);
    let file = path.display().to_string();
    let mut record = Record::default();
    for (subject, executed) in of_file {
        // A run that broke is reported as such; half a record would only hide it.
        let Some(measured) = &executed.measured else {
            return;
        };
        let variant = subject.scenario().variant.as_deref();
        record.add(variant, &digest_words(subject), measured);
    }
    let expected = of_file
        .first()
        .map_or(0, |(subject, _)| subject.scenario().variants.len().max(1));
    if of_file.len() != expected {
        return;
    }
    // What all its runs come to is not known: the check is reported as cut short.
    if of_file.iter().any(|(_, executed)| executed.unmade_runs > 0) {
        return;
    }
    let goals = of_file
        .iter()
        .flat_map(|(_, executed)| &executed.fold.goals);
    let missed = goals.filter(|goal| !goal.is_ok()).count() as u64;
    if missed > 0 && !if_missed {
        let missed = count(missed, "goal is missed", "goals are missed");
        report.problems.push(Problem {
            file,
            line: None,
            message: format!(
                "not written, because {missed}: mend the scenario, or record it as it is with \
                 `--record --record-missed`"
            ),
            is_orphan: true,
        });
        return;
    }
    let name = scenario.file_name().unwrap_or(scenario.as_os_str());
    match files::write(&path, &record.text(&name.to_string_lossy())) {
        Ok(()) => report.recorded.push(file),
        Err(error) => report.problems.push(Problem {
            file,
            line: None,
            message: format!("the figures cannot be written: {error}"),
            is_orphan: false,
        }),
    }
}

/// Records that no scenario belongs to.
fn report_orphans(found: &Found, report: &mut CheckReport) {
    for figures in &found.figures {
        let scenario = figures.with_extension(SCENARIO);
        let is_of_modules = report
            .module_files
            .contains(&scenario.display().to_string());
        if is_of_modules || !scenario.is_file() {
            report.problems.push(Problem {
                file: figures.display().to_string(),
                line: None,
                message: "figures are recorded, but their scenario is not there".to_owned(),
                is_orphan: true,
            });
        }
    }
}
