//! The strips of the page, one below the other on the same time: backlog, throughput, unlocked
//! hoppers, loose stacks, work.

use hallwright_declared::declarations::{Declarations, Goal};
use serde::Serialize;

use super::curves::Strip;
use super::flags::Flag;
use hallwright_report::measure::Series;
use hallwright_report::units::decimal;

/// Throughput is a mean over so many seconds.
const WINDOW_SECONDS: u64 = 10;

/// One strip as the page shows it.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Drawn {
    /// Its name for the script.
    pub(super) key: &'static str,
    /// What it shows.
    pub(super) name: &'static str,
    /// The unit of its numbers.
    pub(super) unit: &'static str,
    /// Its highest value, with a bound of a goal if that is higher.
    pub(super) most: String,
    /// The bound of a goal in words.
    pub(super) limit: String,
    /// The bound as a number in that unit.
    pub(super) bound: Option<f64>,
    /// The drawing.
    pub(super) svg: String,
}

/// Of each run: its series, what is declared, how long it is, its flags.
pub(super) struct Source<'s> {
    pub(super) series: &'s Series,
    pub(super) run_ticks: u64,
    pub(super) ticks_per_second: u32,
    pub(super) flags: &'s [Flag],
    pub(super) limits: Limits,
}

/// Bounds that can be drawn.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Limits {
    /// The most work in a tick, on the mean.
    pub(super) work: Option<f64>,
    /// The least throughput of a flow.
    pub(super) throughput: Option<f64>,
}

/// The bounds of the goals.
pub(super) fn limits(declared: &Declarations) -> Limits {
    let mut limits = Limits::default();
    for goal in &declared.goals {
        match goal {
            Goal::WorkPerTickAtMost(most) => limits.work = Some(*most),
            Goal::ThroughputAtLeast {
                items_per_second, ..
            } => {
                let least = limits.throughput.unwrap_or(0.0).max(*items_per_second);
                limits.throughput = Some(least);
            }
            _ => {}
        }
    }
    limits
}

/// Draws all strips.
pub(super) fn draw(sources: &[Source<'_>]) -> Vec<Drawn> {
    let limits = sources.first().map(|source| source.limits.clone());
    let limits = limits.unwrap_or_default();
    let whole = |list: &[u64]| {
        list.iter()
            .map(|number| *number as f64)
            .collect::<Vec<f64>>()
    };
    let mut drawn = Vec::new();
    let mut add = |key, name, unit, line: &dyn Fn(&Source<'_>) -> Vec<f64>, limit, bound: &str| {
        drawn.extend(strip(sources, (key, name, unit), line, limit, bound));
    };
    if sources
        .iter()
        .any(|source| !source.series.backlog_items.is_empty())
    {
        let sum = |source: &Source<'_>| whole(&sum(&source.series.backlog_items));
        add("backlog", "Backlog", "items", &sum, None, "");
    }
    if sources
        .iter()
        .any(|source| !source.series.counted_items.is_empty())
    {
        let pace = |source: &Source<'_>| pace(source);
        let bound = limits.throughput;
        add(
            "throughput",
            "Throughput",
            "items/s",
            &pace,
            bound,
            "at least",
        );
    }
    let unlocked = |source: &Source<'_>| whole(&source.series.unlocked_hoppers);
    add("unlocked", "Unlocked", "hoppers", &unlocked, None, "");
    let loose = |source: &Source<'_>| whole(&source.series.loose_stacks);
    add("loose", "Loose", "stacks", &loose, None, "");
    let work = |source: &Source<'_>| whole(&source.series.work_units);
    add(
        "work",
        "Work",
        "units/t",
        &work,
        limits.work,
        "mean at most",
    );
    drawn
}

fn strip(
    sources: &[Source<'_>],
    (key, name, unit): (&'static str, &'static str, &'static str),
    line: &dyn Fn(&Source<'_>) -> Vec<f64>,
    limit: Option<f64>,
    bound: &str,
) -> Option<Drawn> {
    let first = sources.first()?;
    let ticks_of = |sort: &str| -> Vec<u64> {
        let flags = first.flags.iter();
        let flags = flags.filter(|moment| moment.sort == sort);
        flags.map(|moment| moment.tick).collect()
    };
    let limits: Vec<f64> = limit.into_iter().collect();
    let strip = Strip {
        lines: sources.iter().map(line).collect(),
        step_ticks: first.series.step_ticks,
        run_ticks: sources.iter().map(|source| source.run_ticks).max()?,
        limits: &limits,
        operator: &ticks_of("operator"),
        deadlines: &ticks_of("limit"),
    };
    let decimals = if unit == "items/s" { 1 } else { 0 };
    Some(Drawn {
        key,
        name,
        unit,
        most: decimal(strip.highest(), decimals),
        limit: limit.map_or_else(String::new, |limit| {
            format!("{bound} {}", decimal(limit, 1))
        }),
        bound: limit,
        svg: strip.svg(),
    })
}

/// Several series added up.
fn sum(lists: &[Vec<u64>]) -> Vec<u64> {
    let longest = lists.iter().map(Vec::len).max().unwrap_or(0);
    let at = |index: usize| lists.iter().filter_map(|list| list.get(index)).sum();
    (0..longest).map(at).collect()
}

/// Items a second of all flows together, over the last seconds.
fn pace(source: &Source<'_>) -> Vec<f64> {
    let counted = sum(&source.series.counted_items);
    let rate = u64::from(source.ticks_per_second);
    let step = source.series.step_ticks.max(1);
    let window = usize::try_from((WINDOW_SECONDS * rate).div_ceil(step)).unwrap_or(1);
    let seconds = window as f64 * step as f64 / rate.max(1) as f64;
    let before = |index: usize| match index.checked_sub(window) {
        Some(before) => counted[before],
        None => 0,
    };
    let items = counted.iter().enumerate();
    items
        .map(|(index, sum)| (sum - before(index)) as f64 / seconds.max(1e-9))
        .collect()
}
