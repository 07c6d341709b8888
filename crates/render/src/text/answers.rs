//! The first lines: did everything land where it should, did it keep up, did it stop in time, was
//! anything lost.

use super::page::{LABEL, Page};
use super::retrieval;
use hallwright_report::findings::{Findings, Leftovers};
use hallwright_report::units::{count, items, time};
use hallwright_words::{
    after, after_in, built, by_hand, going_round, in_no_section, kept_up, lost, mishaps, obstacles,
    quiet, quiet_run, slept, sorted, taken_at_word, unlocked, why_never,
};

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
                pulses: Vec::new(),
                ..found.left.clone()
            };
            page.labelled("", LABEL, &obstacles(&moving).join("; "));
        }
    }
    stops(page, found);
    page.labelled("Lost", LABEL, &lost(found));
    retrieval::answers(page, found);
    upsets(page, found);
}

/// What befell the hall, and what the result rests on.
fn upsets(page: &mut Page, found: &Findings) {
    if let Some(words) = slept(found) {
        page.labelled("Slept", LABEL, &words);
    }
    if let Some(words) = mishaps(found) {
        page.labelled("Mishaps", LABEL, &words);
    }
    if let Some(words) = by_hand(found) {
        page.labelled("By hand", LABEL, &words);
    }
    if let Some(words) = taken_at_word(found) {
        let parts = &found.taken_at_word;
        let slower = match parts
            .selectors
            .iter()
            .map(|row| row.parts.len())
            .sum::<usize>()
            + parts.shuttles.len()
        {
            1 => "it may be",
            _ => "each may be",
        };
        let margin = format!("{words}; `check --margin` says how much slower {slower}");
        page.labelled("At word", LABEL, &margin);
    }
    if let Some(site) = &found.site {
        page.labelled("Built", LABEL, &built(site));
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
            after_in(stop, marks.safe_to_close_ticks, tps),
            quiet(marks, tps)
        ));
        page.labelled("Stopped", LABEL, &words);
        if let Some(why) = why_never(stop, tps) {
            page.labelled("", LABEL, &why);
        }
        if let Some(words) = unlocked(stop) {
            page.labelled("", LABEL, &words);
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
    if let Some(words) = in_no_section(found) {
        page.labelled("", LABEL, &words);
    }
}
