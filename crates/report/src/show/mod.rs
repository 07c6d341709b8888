//! A run as a picture: one HTML file that needs nothing else.
//!
//! [`page`] runs a scenario twice: once to measure it and to see how much there is to keep, then to
//! record it ([`mod@record`]: the state at the start and every change after it, exact to the tick).
//! What does not fit is thinned out around what must be seen ([`spans`]). The map is laid out
//! ([`layout`]), the curves are drawn ([`curves`]), and all of it goes into the page ([`html`]),
//! whose script and style are files of their own in `show/page/`.

mod cells;
mod curves;
mod data;
mod html;
mod layout;
mod moments;
mod pack;
mod record;
mod spans;
mod strips;
mod summary;

use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use serde_json::Value;

use self::moments::Moment;
use self::record::Record;
use self::spans::{Spans, Survey};
use self::summary::Summary;
use crate::findings::Findings;
use crate::measure::{Series, SeriesWatch};
use crate::render::Heading;
use crate::units::time;
use crate::{RunInput, run_observed, setup_for};

/// The most bytes that a page takes.
pub const MOST_BYTES: usize = 5_000_000;
/// How often it is tried to make the record smaller.
const TRIES: u32 = 8;

/// What is shown.
#[derive(Clone)]
pub struct Subject<'a> {
    /// The run.
    pub input: RunInput<'a>,
    /// What is known about it beside its findings.
    pub heading: Heading,
    /// Where parts stand, by their ids, if the layout says so.
    pub positions: &'a [Option<(i32, i32, i32)>],
}

/// A page.
#[derive(Clone, PartialEq, Debug)]
pub struct Page {
    /// The whole file.
    pub html: String,
    /// What had to be left out, and what was kept, for people; empty if nothing was.
    pub notes: Vec<String>,
    /// What was found in each run.
    pub findings: Vec<Findings>,
}

/// One run, with all that the page shows of it.
struct Shown {
    heading: Heading,
    found: Findings,
    series: Series,
    summary: Summary,
    moments: Vec<Moment>,
    data: Value,
    note: Option<String>,
    limits: strips::Limits,
}

/// Runs one subject, or two to be compared, and draws the page. `progress` is told the next tick now
/// and then.
///
/// # Panics
///
/// If an invariant broke: a bug of the engine.
pub fn page(subjects: &[Subject<'_>], progress: &mut dyn FnMut(Tick)) -> Page {
    let mut budget_bytes = (MOST_BYTES as u64) * 3 / 4 / subjects.len().max(1) as u64;
    for attempt in 1.. {
        let shown: Vec<Shown> = subjects
            .iter()
            .map(|subject| show(subject, budget_bytes, progress))
            .collect();
        let html = html::html(&shown);
        if html.len() < MOST_BYTES || attempt == TRIES {
            let notes = shown.iter().filter_map(|shown| shown.note.clone());
            return Page {
                html,
                notes: notes.collect(),
                findings: shown.into_iter().map(|shown| shown.found).collect(),
            };
        }
        budget_bytes = budget_bytes * 3 / 5;
    }
    unreachable!("the last try gives a page")
}

fn show(subject: &Subject<'_>, budget_bytes: u64, progress: &mut dyn FnMut(Tick)) -> Shown {
    let input = &subject.input;
    let setup = setup_for(input);
    let mut engine = Engine::new(input.network, &setup);
    let series = SeriesWatch::new(input.declarations, input.run_ticks, &engine.view());
    let survey = Survey::new(input.network.part_count(), input.run_ticks);
    let mut watches = (series, survey);
    let found = run_observed(input, &mut watches, progress);
    let (series, survey) = (watches.0.finish(), watches.1);
    let spans = survey.plan(&found, budget_bytes);
    let mut record = Record::new(&spans, &engine.view());
    engine.run_until(Tick(input.run_ticks), &mut record);
    let map = layout::lay_out(input.network, subject.positions);
    let moments = moments::moments(input, &found);
    let summary = summary::summary(&subject.heading, input.declarations, &found);
    Shown {
        data: data::run_data(
            &summary.name,
            input,
            &map,
            &spans,
            &record,
            &series,
            &moments,
        ),
        note: note(&summary.name, &spans, found.ticks_per_second),
        heading: subject.heading.clone(),
        limits: strips::limits(input.declarations),
        found,
        series,
        summary,
        moments,
    }
}

/// What was left out of a record.
fn note(name: &str, spans: &Spans, ticks_per_second: u32) -> Option<String> {
    if spans.is_whole() {
        return None;
    }
    let kept: Vec<String> = spans
        .exact
        .iter()
        .map(|(from, to)| {
            let from = time(*from, ticks_per_second);
            format!("{from} to {}", time(*to, ticks_per_second))
        })
        .collect();
    Some(format!(
        "the record of {name} is thinned out to stay below 5 MB: every tick is kept from {} ({} of \
         {} ticks); elsewhere the state is kept every {} and single moves are left out",
        kept.join(", and from "),
        spans.exact_ticks(),
        spans.run_ticks,
        time(spans.step_ticks, ticks_per_second),
    ))
}
