//! A run as a picture: one HTML file that needs nothing else.
//!
//! [`page`] runs a scenario twice: once to measure it and to see how much there is to keep, then to
//! record it (`record`: the state at the start and every change after it, exact to the tick).
//! What does not fit is thinned out around what must be seen (`spans`). The map is laid out
//! (`hallwright-layout`), the curves are drawn (`curves`), and all of it goes into the page (`html`),
//! whose script and style are files of their own in `show/page/`.

mod beside;
mod cells;
mod curves;
mod data;
mod flags;
mod headline;
mod html;
mod pack;
mod record;
mod spans;
mod stand;
mod stopping;
mod strips;
mod summary;
mod waits;

use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use serde_json::{Value, json};

use self::flags::Flag;
use self::headline::Headline;
use self::pack::Shelf;
use self::record::Record;
use self::spans::{Spans, Survey};
use self::stand::Stand;
use self::strips::Limits;
use self::summary::Summary;
use hallwright_layout::{Map, lay_out};
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_report::measure::{Series, SeriesWatch};
use hallwright_report::units::time;
use hallwright_report::{RunInput, run_observed, setup_for};

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
    /// Which run of several it is, in words; empty if there is but the one that was asked for.
    pub which: String,
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
struct Shown<'s> {
    title: String,
    which: String,
    part_count: usize,
    found: &'s Findings,
    headline: &'s Headline,
    series: &'s Series,
    summary: Summary,
    flags: Vec<Flag>,
    data: Value,
    note: Option<String>,
    limits: Limits,
}

/// What the first run of a subject came to.
struct Surveyed {
    found: Findings,
    series: Series,
    survey: Survey,
    stand: Option<Stand>,
    map: Map,
    headline: Headline,
    stopping: Value,
}

/// Runs one subject, or two to be compared, and draws the page. `progress` is given the next tick now
/// and then.
///
/// # Panics
///
/// If an invariant broke: a bug of the engine.
pub fn page(subjects: &[Subject<'_>], progress: &mut dyn FnMut(Tick)) -> Page {
    let surveyed: Vec<Surveyed> = subjects
        .iter()
        .map(|subject| survey(&subject.input, progress))
        .collect();
    let mut budget_bytes = MOST_BYTES * 3 / 4 / subjects.len().max(1);
    let mut best = None;
    for _ in 0..TRIES {
        let mut shelf = Shelf::default();
        let shown: Vec<Shown> = subjects
            .iter()
            .zip(&surveyed)
            .map(|(subject, surveyed)| show(&mut shelf, subject, surveyed, budget_bytes as u64))
            .collect();
        let html = html::html(&shown, shelf);
        let bytes = html.len();
        let notes: Vec<String> = shown.into_iter().filter_map(|shown| shown.note).collect();
        let is_whole = notes.is_empty();
        if bytes < MOST_BYTES || best.is_none() {
            best = Some((html, notes));
        }
        // What fits is estimated: too much, and there is less next time; far too little, and there
        // is more.
        if bytes >= MOST_BYTES {
            budget_bytes = budget_bytes * 3 / 5;
        } else if is_whole || bytes > MOST_BYTES * 4 / 5 {
            break;
        } else {
            budget_bytes = (budget_bytes as f64 * 0.9 * MOST_BYTES as f64 / bytes as f64) as usize;
        }
    }
    let (html, notes) = best.unwrap_or_default();
    Page {
        html,
        notes,
        findings: surveyed.into_iter().map(|first| first.found).collect(),
    }
}

fn survey(input: &RunInput<'_>, progress: &mut dyn FnMut(Tick)) -> Surveyed {
    let setup = setup_for(input);
    let engine = Engine::new(input.network, &setup);
    let series = SeriesWatch::new(input.declarations, input.run_ticks, &engine.view());
    let survey = Survey::new(input.network.part_count(), input.run_ticks);
    let mut watches = (series, survey);
    let found = run_observed(input, &mut watches, progress);
    let placement = &input.declarations.placement;
    Surveyed {
        headline: headline::headline(input, &found),
        stopping: stopping::stopping(input, &found),
        found,
        series: watches.0.finish(),
        survey: watches.1,
        stand: stand::stand(input.network, placement),
        map: lay_out(
            input.network,
            &input.declarations.stores,
            &placement.positions(),
        ),
    }
}

fn show<'s>(
    shelf: &mut Shelf,
    subject: &Subject<'_>,
    first: &'s Surveyed,
    budget_bytes: u64,
) -> Shown<'s> {
    let input = &subject.input;
    let Surveyed { found, series, .. } = first;
    let spans = first.survey.plan(found, budget_bytes);
    let setup = setup_for(input);
    let mut engine = Engine::new(input.network, &setup);
    let mut record = Record::new(&spans, &engine.view());
    engine.run_watched(Tick(input.run_ticks), &mut record);
    let flags = flags::flags(input, found);
    let summary = summary::summary(&subject.heading, input.declarations, found);
    let name = &summary.name;
    let mut data = data::run_data(shelf, input, &first.map, &spans, &record, series);
    data["name"] = json!(name);
    data["flags"] = json!(flags);
    data["first"] = json!({ "tick": first.headline.tick, "part": first.headline.part });
    data["stand"] = first
        .stand
        .as_ref()
        .map_or(Value::Null, |stand| stand.data(shelf));
    data["stops"] = first.stopping.clone();
    Shown {
        data,
        note: note(name, &spans, found.ticks_per_second),
        title: subject.heading.title.clone(),
        which: subject.which.clone(),
        part_count: input.network.part_count(),
        limits: strips::limits(input.declarations),
        found,
        headline: &first.headline,
        series,
        summary,
        flags,
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
