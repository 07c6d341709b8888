//! What two designs do not have in common, so that it cannot be compared.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::timeline::Action;

use hallwright_report::RunInput;
use hallwright_report::figures::subsystem;
use hallwright_report::units::{listed, time};

/// How many names are reported.
const NAMES: usize = 5;

/// What this design does not have in common with the first one, in words: a line each. Empty if they
/// do the same job.
#[must_use]
pub fn incomparable(first: &RunInput<'_>, other: &RunInput<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    let sets: [(&str, Names, Names); 3] = [
        ("kinds of goods", kinds(first), kinds(other)),
        ("flows", flows(first), flows(other)),
        ("sections", subsystems(first), subsystems(other)),
    ];
    for (what, first, other) in sets {
        lines.extend(only(what, "the first", &first, &other));
        lines.extend(only(what, "this one", &other, &first));
    }
    let tps = first.network.rules().ticks_per_second;
    if first.network.rules() != other.network.rules() {
        lines.push("it has other rules than the first".to_owned());
    }
    if first.run_ticks != other.run_ticks {
        let (own, of_first) = (time(other.run_ticks, tps), time(first.run_ticks, tps));
        lines.push(format!("it runs {own}, the first {of_first}"));
    }
    lines.extend(other_arrivals(first, other));
    lines.extend(other_stops(first, other));
    lines
}

type Names = BTreeSet<String>;

fn only(what: &str, whose: &str, own: &Names, other: &Names) -> Option<String> {
    let names: Vec<String> = own.difference(other).cloned().collect();
    (!names.is_empty()).then(|| format!("{what} only in {whose}: {}", listed(&names, NAMES)))
}

fn kinds(input: &RunInput<'_>) -> Names {
    let kinds = input.network.kinds().iter();
    kinds.map(|kind| kind.name.clone()).collect()
}

fn flows(input: &RunInput<'_>) -> Names {
    let flows = input.declarations.flows.iter();
    flows.map(|flow| flow.name.clone()).collect()
}

/// Lines may be divided in many ways: what counts is what they belong to.
fn subsystems(input: &RunInput<'_>) -> Names {
    let sections = input.declarations.sections.iter();
    sections
        .map(|section| subsystem(&section.name).to_owned())
        .collect()
}

/// Items that arrive, by tick and kind.
type Arriving = BTreeMap<(u64, String), u64>;

fn arriving(input: &RunInput<'_>) -> Arriving {
    let mut arriving = Arriving::new();
    let kinds = input.network.kinds();
    for (tick, action) in input.timeline.entries() {
        if let Action::Deliver {
            kind,
            count,
            contents,
            ..
        } = action
        {
            let mut add = |index: usize, items: u64| {
                let name = kinds[index].name.clone();
                *arriving.entry((tick.0, name)).or_default() += items;
            };
            add(kind.index(), u64::from(*count));
            for filling in contents {
                let items = u64::from(filling.count) * u64::from(*count);
                add(filling.kind.index(), items);
            }
        }
    }
    arriving
}

fn other_arrivals(first: &RunInput<'_>, other: &RunInput<'_>) -> Option<String> {
    let (own, of_first) = (arriving(other), arriving(first));
    let keys: BTreeSet<&(u64, String)> = own.keys().chain(of_first.keys()).collect();
    let (tick, kind) = keys
        .into_iter()
        .find(|key| own.get(key) != of_first.get(key))?;
    let count = |arriving: &Arriving| {
        let key = (*tick, kind.clone());
        arriving.get(&key).copied().unwrap_or(0)
    };
    let at = time(*tick, first.network.rules().ticks_per_second);
    Some(format!(
        "other goods arrive: first at {at}, {kind} {} in place of {}",
        count(&own),
        count(&of_first)
    ))
}

fn other_stops(first: &RunInput<'_>, other: &RunInput<'_>) -> Option<String> {
    let (own, of_first) = (&other.declarations.stops, &first.declarations.stops);
    match (own.first(), of_first.first()) {
        (None, Some(_)) => return Some("it has no stop".to_owned()),
        (Some(_), None) => return Some("the first has no stop".to_owned()),
        _ => {}
    }
    // Stops are moved to the same tick: what counts is how they follow each other.
    let course = |input: &RunInput<'_>| -> Vec<(u64, Option<u64>)> {
        let stops = &input.declarations.stops;
        let restart = |stop: &hallwright_declared::declarations::Stop| {
            stop.restart.as_ref().map(|restart| restart.after_ticks)
        };
        let each = stops.iter();
        each.map(|stop| (stop.at - stops[0].at, restart(stop)))
            .collect()
    };
    let is_same = course(first) == course(other);
    (!is_same).then(|| "its later stops or restarts come after other times".to_owned())
}
