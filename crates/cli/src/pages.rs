//! Pages to look at in a browser, for every command that writes one.

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_page::Subject;
use hallwright_page::{self, page};
use hallwright_report::Heading;
use hallwright_scenario::Scenario;
use hallwright_trials::{Case, CaseRun, order_words};

use crate::progress::Progress;
use crate::runs::LoadedScenario;

/// Draws the page of one run, or of two to compare; what had to be left out is reported on standard error.
pub(crate) fn drawn(subjects: &[hallwright_page::Subject<'_>]) -> String {
    let ticks = subjects.iter().map(|subject| subject.input.run_ticks);
    let mut progress = Progress::new(ticks.max().unwrap_or(0), "ticks");
    let page = page(subjects, &mut |tick: Tick| progress.at(tick.0));
    drop(progress);
    for note in &page.notes {
        note!("note: {note}");
    }
    page.html
}

/// The page of runs that another command has made.
pub(crate) fn drawn_cases(runs: &[(&LoadedScenario, &Case)]) -> String {
    let made: Vec<CaseRun<'_>> = runs
        .iter()
        .map(|(subject, case)| subject.run(case))
        .collect();
    let subjects: Vec<Subject<'_>> = made
        .iter()
        .zip(runs)
        .map(|(run, (subject, case))| {
            let scenario = subject.of_case(case);
            page_subject(run, heading(scenario, &case.orders, subject.command(case)))
        })
        .collect();
    drawn(&subjects)
}

/// One run of a page.
pub(crate) fn page_subject<'a>(run: &'a CaseRun<'_>, heading: Heading) -> Subject<'a> {
    Subject {
        input: run.input(),
        heading,
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
