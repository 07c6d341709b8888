//! Pages to look at in a browser, for every command that writes one.

use hallwright_core::declare::Declarations;
use hallwright_core::tick::Tick;
use hallwright_page::{self, page};
use hallwright_report::Heading;
use hallwright_report::RunInput;
use hallwright_scenario::Scenario;
use hallwright_trials::check::{Case, order_words};
use hallwright_trials::stopped_at;

use crate::progress::Progress;
use crate::runs::Subject;

/// Draws the page of one run, or of two to compare; what had to be left out is told on standard error.
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
pub(crate) fn drawn_cases(runs: &[(&Subject, &Case)]) -> String {
    let inputs: Vec<RunInput<'_>> = runs
        .iter()
        .map(|(subject, case)| RunInput {
            order: case.order.clone(),
            ..subject.inputs()[case.input].clone()
        })
        .collect();
    let moved: Vec<Option<(Declarations, u64)>> = inputs
        .iter()
        .zip(runs)
        .map(|(input, (_, case))| Some(stopped_at(input, case.stop_at?)))
        .collect();
    let subjects: Vec<hallwright_page::Subject<'_>> = inputs
        .into_iter()
        .zip(&moved)
        .zip(runs)
        .map(|((input, moved), (subject, case))| {
            let scenario = &subject.seeds[case.input];
            hallwright_page::Subject {
                heading: heading(scenario, order_words(&case.order), subject.command(case)),
                positions: &scenario.positions,
                input: with_stop_moved(input, moved.as_ref()),
            }
        })
        .collect();
    drawn(&subjects)
}

/// A run with what a moved stop makes of its declarations and length.
pub(crate) fn with_stop_moved<'s>(
    input: RunInput<'s>,
    moved: Option<&'s (Declarations, u64)>,
) -> RunInput<'s> {
    match moved {
        Some((declarations, run_ticks)) => RunInput {
            declarations,
            run_ticks: *run_ticks,
            ..input
        },
        None => input,
    }
}

/// What stands above everything that is told of a run.
pub(crate) fn heading(scenario: &Scenario, order: String, command: String) -> Heading {
    Heading {
        title: scenario.title.clone(),
        variant: scenario.variant.clone(),
        seed: scenario.seed,
        order,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_digest: format!("{:016x}", scenario.input_digest),
        command,
        verified: None,
    }
}
