//! Pages to look at in a browser, for every command that writes one.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_page::Subject;
use hallwright_page::{self, page};
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_report::units::{count, decimal};
use hallwright_scenario::Scenario;
use hallwright_trials::{Case, CaseRun, order_words};

use crate::progress::Progress;
use crate::runs::LoadedScenario;

/// A page that was drawn, and what it shows.
pub(crate) struct Drawn {
    /// The whole file.
    pub(crate) html: String,
    /// Of each run what it is called and how it came off, in words.
    pub(crate) runs: Vec<String>,
}

/// Draws the page of one run, or of two to compare; what had to be left out is reported on standard error.
pub(crate) fn drawn(subjects: &[Subject<'_>]) -> Drawn {
    let ticks = subjects.iter().map(|subject| subject.input.run_ticks);
    let progress = Progress::new(ticks.max().unwrap_or(0), "ticks");
    let page = page(subjects, &mut |tick: Tick| progress.at(tick.0));
    drop(progress);
    for note in &page.notes {
        note!("note: {note}");
    }
    let runs = subjects.iter().zip(&page.findings).map(|(subject, found)| {
        let Heading { title, variant, .. } = &subject.heading;
        let name = variant.as_ref().unwrap_or(title);
        let which = match subject.which.as_str() {
            "" => String::new(),
            which => format!(", {which}"),
        };
        format!("{name}{which}: {}", came_off(found))
    });
    Drawn {
        runs: runs.collect(),
        html: page.html,
    }
}

/// How many of a run's verdicts are as they should be, in words.
fn came_off(found: &Findings) -> String {
    let all = found.verdicts.len() as u64;
    let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
    match missed.count() as u64 {
        0 => format!("{} ok", count(all, "answer", "answers")),
        missed => format!("{missed} of {} missed", count(all, "answer", "answers")),
    }
}

/// The page of runs that another command has made. `why`: why it is these, in words.
pub(crate) fn drawn_cases(runs: &[(&LoadedScenario, &Case)], why: &str) -> Drawn {
    let made: Vec<CaseRun<'_>> = runs
        .iter()
        .map(|(subject, case)| subject.run(case))
        .collect();
    let subjects: Vec<Subject<'_>> = made
        .iter()
        .zip(runs)
        .map(|(run, (subject, case))| {
            let scenario = subject.of_case(case);
            let words = case.words(scenario.network.rules().ticks_per_second);
            let file = &subject.file;
            Subject {
                which: format!("{file}, {words}{why}"),
                ..page_subject(run, heading(scenario, &case.orders, subject.command(case)))
            }
        })
        .collect();
    drawn(&subjects)
}

/// Says what pages were written, and what is on them.
pub(crate) fn note_pages<'p>(files: impl Iterator<Item = &'p Path>, drawn: &Drawn) {
    let megabytes = decimal(drawn.html.len() as f64 / 1e6, 2);
    for path in files {
        note!("wrote {} ({megabytes} MB)", path.display());
        for run in &drawn.runs {
            note!("  {run}");
        }
    }
}

/// One run of a page.
pub(crate) fn page_subject<'a>(run: &'a CaseRun<'_>, heading: Heading) -> Subject<'a> {
    Subject {
        input: run.input(),
        heading,
        which: String::new(),
    }
}

/// What stands above everything that is reported of a run.
pub(crate) fn heading(scenario: &Scenario, orders: &Orders, command: String) -> Heading {
    Heading {
        title: scenario.title.clone(),
        variant: scenario.variant.clone(),
        seed: scenario.seed,
        update_order: order_words(&orders.update),
        signal_order: order_words(&orders.signal),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_digest: format!("{:016x}", scenario.input_digest),
        command,
        verified: None,
    }
}
