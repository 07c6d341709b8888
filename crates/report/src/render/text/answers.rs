//! The first lines: did everything land where it should, did it keep up, did it stop in time, was
//! anything lost.

use super::page::{Page, ROWS};
use super::retrieval;
use crate::findings::{Findings, Leftovers, Marks, OverflowReason, StopFinding, Whereabouts};
use crate::units::{count, grouped, items, listed, rate, things, time};

/// The width of the labels before the answers.
pub(super) const LABEL: usize = 10;

/// Writes the answers to what is declared.
pub(super) fn write(page: &mut Page, found: &Findings) {
    if found.stores.is_empty() && found.sieves.is_empty() {
        page.labelled("Sorted", LABEL, "not known: no store is declared");
    } else {
        page.labelled("Sorted", LABEL, &sorted(found));
    }
    for words in going_round(found) {
        page.labelled("", LABEL, &words);
    }
    if !found.flows.is_empty() || !found.sections.is_empty() {
        page.labelled("Kept up", LABEL, &kept_up(found));
    }
    if found.stops.is_empty() {
        page.labelled("Quiet", LABEL, &quiet_run(found));
        if found.quiet.ticks.is_none() {
            // What stands still, and what is locked, matters to a stop only.
            let moving = Leftovers {
                holding: Vec::new(),
                unlocked: Vec::new(),
                pulses: Vec::new(),
                ..found.left.clone()
            };
            page.labelled("", LABEL, &obstacles(&moving).join("; "));
        }
    }
    stops(page, found);
    page.labelled("Lost", LABEL, &lost(found));
    retrieval::answers(page, found);
}

pub(crate) fn sorted(found: &Findings) -> String {
    let misplaced = found.misplaced_items();
    let passed_by = found.overflow.items(OverflowReason::PassedBy);
    let here = &found.whereabouts;
    let is_right = misplaced == 0 && passed_by == 0 && found.sieves_intact();
    let unstored = unstored(here);
    let answer = match (is_right, unstored.is_empty() || found.stores.is_empty()) {
        (false, _) => "no",
        (true, false) => "not all",
        (true, true) => "yes",
    };
    let mut words = vec![answer.to_owned()];
    if !found.stores.is_empty() {
        words.push(format!(
            "{} where they belong, {} misplaced, {} passed by",
            things(here.sorted_items, here.sorted_boxes),
            items(misplaced),
            items(passed_by)
        ));
        if here.overflow_items > 0 {
            let overflow = things(here.overflow_items, here.overflow_boxes);
            words.push(format!("{overflow} in overflow"));
        }
        words.extend(unstored);
    }
    if !found.sieves.is_empty() {
        let intact = found
            .sieves
            .iter()
            .filter(|sieve| sieve.is_intact())
            .count();
        words.push(format!(
            "{intact} of {} intact",
            count(found.sieves.len() as u64, "sieve", "sieves")
        ));
        let passing = found
            .sieves
            .iter()
            .filter(|sieve| !sieve.surplus.is_empty());
        match passing.count() {
            0 => {}
            passing => words.push(format!("goods on their way through {passing} of them")),
        }
    }
    format!("{}: {}", words[0], words[1..].join("; "))
}

/// What goes round for ever, for each section.
pub(crate) fn going_round(found: &Findings) -> Vec<String> {
    let sections = found.sections.iter();
    let rounds = sections.filter_map(|section| Some((section, section.going_round?)));
    let words = rounds.map(|(section, round)| {
        let ticks = found.run_ticks - round.since.0;
        let (go, none) = match round.items {
            1 => ("goes", "it was not stored"),
            _ => ("go", "none of them was stored"),
        };
        format!(
            "{} still {go} round in \"{}\" at the end: {none} for {}",
            items(round.items),
            section.name,
            time(ticks, found.ticks_per_second)
        )
    });
    words.collect()
}

/// What came into no store: where it still is, and what was lost.
pub(crate) fn unstored(here: &Whereabouts) -> Vec<String> {
    let mut words = Vec::new();
    if here.waiting_items > 0 {
        let waiting = things(here.waiting_items, here.waiting_boxes);
        words.push(format!("{waiting} waiting"));
    }
    let still: u64 = here.elsewhere.iter().map(|row| row.items).sum();
    let boxes: u64 = here.elsewhere.iter().map(|row| row.boxes).sum();
    if still > 0 {
        let rows = here.elsewhere.iter();
        let named: Vec<String> = rows
            .map(|row| match row.boxes {
                0 => format!("{} {}", row.part, grouped(row.items)),
                boxes => format!("{} {}", row.part, things(row.items, boxes)),
            })
            .collect();
        words.push(format!(
            "{} in no store ({})",
            things(still, boxes),
            listed(&named, 3)
        ));
    }
    let full: Vec<String> = here
        .no_room
        .iter()
        .map(|row| format!("\"{}\" for {}", row.store, items(row.items)))
        .collect();
    if !full.is_empty() {
        words.push(format!("no room is left in {}", listed(&full, 3)));
    }
    if here.loose_items > 0 {
        words.push(format!("{} loose", items(here.loose_items)));
    }
    if here.lost_items > 0 {
        words.push(format!("{} lost", items(here.lost_items)));
    }
    words
}

pub(crate) fn kept_up(found: &Findings) -> String {
    let mut words = Vec::new();
    if !found.sections.is_empty() {
        words.push(waiting(found));
    }
    let flows: Vec<String> = found
        .flows
        .iter()
        .map(|flow| {
            let pace = rate(flow.steadiest, flow.unit(), found.ticks_per_second);
            format!("\"{}\" {pace}", flow.name)
        })
        .collect();
    if !flows.is_empty() {
        words.push(listed(&flows, 3));
    }
    words.join("; ")
}

/// Whether anything waits at the end, and the most that waited anywhere.
fn waiting(found: &Findings) -> String {
    let backlogs = found.sections.iter().map(|section| &section.backlog);
    let left: u64 = backlogs.map(|backlog| backlog.final_items).sum();
    // Of equals, the first.
    let sections = found.sections.iter().rev();
    let worst = sections.max_by_key(|section| section.backlog.peak_items);
    let peak = match worst {
        Some(section) if section.backlog.peak_items > 0 => format!(
            "at most {} in \"{}\" at {}",
            items(section.backlog.peak_items),
            section.name,
            time(section.backlog.peak_at.0, found.ticks_per_second)
        ),
        _ => return "yes: nothing ever waited".to_owned(),
    };
    match left {
        0 => format!("yes: nothing waits at the end, {peak}"),
        left => format!("no: {} still waiting at the end, {peak}", items(left)),
    }
}

/// Whether everything came to rest, and when.
pub(crate) fn quiet_run(found: &Findings) -> String {
    match found.quiet.ticks {
        None => "no: not all had come to rest at the end".to_owned(),
        Some(ticks) => {
            let time = time(ticks, found.ticks_per_second);
            if found.quiet.is_known {
                format!("yes: since {time}")
            } else {
                format!(
                    "perhaps: no item event since {time}, but the run is too short to be certain"
                )
            }
        }
    }
}

fn stops(page: &mut Page, found: &Findings) {
    for stop in found.stops.iter().take(3) {
        let tps = found.ticks_per_second;
        let marks = &stop.all;
        let is_well = marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some();
        let mut words = format!(
            "{}: stop at {}; ",
            if is_well { "yes" } else { "no" },
            time(stop.at.0, tps)
        );
        if !stop.sections.is_empty() {
            words.push_str(&format!("cleared {}, ", after(marks.cleared_ticks, tps)));
        }
        words.push_str(&format!(
            "safe to close {}, {}",
            after(marks.safe_to_close_ticks, tps),
            quiet(marks, tps)
        ));
        page.labelled("Stopped", LABEL, &words);
        if let Some(why) = why_never(stop) {
            page.labelled("", LABEL, &why);
        }
        if let Some(resume) = &stop.resume {
            page.labelled(
                "Resumed",
                LABEL,
                &format!(
                    "{}: restart at {}; {} held back, sorted {}, {} misplaced since",
                    if resume.resumed_ticks.is_some() {
                        "yes"
                    } else {
                        "no"
                    },
                    time(resume.at.0, tps),
                    items(resume.held_back_items),
                    after(resume.resumed_ticks, tps),
                    items(resume.misplaced_items)
                ),
            );
        }
    }
    if found.stops.len() > 3 {
        let more = count(found.stops.len() as u64 - 3, "stop", "stops");
        page.labelled("", LABEL, &format!("… and {more} more"));
    }
}

/// When a mark came: `after 12.6 s (252 t)`, `at once` or `never`.
pub(crate) fn after(ticks: Option<u64>, ticks_per_second: u32) -> String {
    match ticks {
        None => "never".to_owned(),
        Some(0) => "at once".to_owned(),
        Some(ticks) => format!("after {}", time(ticks, ticks_per_second)),
    }
}

pub(crate) fn quiet(marks: &Marks, ticks_per_second: u32) -> String {
    match marks.quiet.ticks {
        Some(ticks) if !marks.quiet.is_known => {
            format!(
                "no item event since {} after it",
                time(ticks, ticks_per_second)
            )
        }
        ticks => format!("quiet {}", after(ticks, ticks_per_second)),
    }
}

/// What stood in the way of a mark that never came.
pub(crate) fn why_never(stop: &StopFinding) -> Option<String> {
    let marks = &stop.all;
    if marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some() {
        return None;
    }
    let left = obstacles(&stop.left);
    if left.is_empty() {
        return Some("what held at the end held for too short a time to be certain".to_owned());
    }
    Some(left.join("; "))
}

pub(crate) fn obstacles(left: &Leftovers) -> Vec<String> {
    let held = |rows: &[crate::findings::PartCount]| -> Vec<String> {
        let rows = rows.iter();
        rows.map(|row| format!("{} ({})", row.part, items(row.items)))
            .collect()
    };
    let loose: Vec<String> = left
        .loose
        .iter()
        .map(|stack| format!("{} {} at {}", stack.items, stack.kind, stack.mouth))
        .collect();
    let lists = [
        ("still holding", held(&left.holding)),
        ("not locked", left.unlocked.clone()),
        ("pulse under way", left.pulses.clone()),
        ("loose", loose),
        ("inside", held(&left.in_selectors)),
        ("aboard", held(&left.aboard)),
        ("still moving", left.still_moving.clone()),
    ];
    let named = lists.iter().filter(|(_, names)| !names.is_empty());
    named
        .map(|(label, names)| format!("{label}: {}", listed(names, ROWS / 2)))
        .collect()
}

pub(crate) fn lost(found: &Findings) -> String {
    let loss = &found.loss;
    if loss.items == 0 {
        return "nothing".to_owned();
    }
    format!(
        "{} in {}",
        items(loss.items),
        count(loss.stacks, "stack", "stacks")
    )
}
