//! What the network allows at best, beside what was measured.

use super::page::{LABEL, Page, ROWS};
use hallwright_analysis::limits::{
    Bound, Certainty, FlowLimit, LimitedBy, Limiter, MarkLimits, StopLimit,
};
use hallwright_report::findings::{Findings, FlowFinding, Marks, StopFinding};
use hallwright_report::units::{Rate, count, grouped, items, listed, seconds};

/// How many parts of a cut are named.
const NAMED: usize = 3;

/// Writes the limits, if they were asked for and anything is declared that has one.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let Some(limits) = &found.limits else { return };
    let tps = found.ticks_per_second;
    let flows = found.flows.iter().zip(&limits.flows);
    let mut lines: Vec<String> = flows
        .map(|(flow, limit)| flow_line(flow, limit, tps))
        .collect();
    for (stop, limit) in found.stops.iter().zip(&limits.stops) {
        lines.extend(stop_lines(stop, limit, tps));
    }
    if lines.is_empty() {
        return;
    }
    page.blank();
    for (number, line) in lines.iter().enumerate() {
        page.labelled(if number == 0 { "At best" } else { "" }, LABEL, line);
    }
}

fn flow_line(flow: &FlowFinding, limit: &FlowLimit, tps: u32) -> String {
    let unit = flow.unit();
    let mut words = Vec::new();
    let measured = flow.steadiest;
    if measured.ticks > 0 {
        words.push(match &limit.steadiest {
            Some(bound) => format!(
                "{:.2} of {:.2} {unit}/s{}, {}",
                measured.per_second(tps),
                Rate::from(bound).per_second(tps),
                loose_words(bound.certainty_in_part(measured.items)),
                limited_by(bound)
            ),
            None => format!("{:.2} {unit}/s, no limit known", measured.per_second(tps)),
        });
    }
    words.push(match &limit.counted {
        Some(bound) => format!(
            "in the whole run {} of {}{}, {}",
            grouped(flow.items),
            match flow.counts_boxes {
                true => count(bound.items, "box", "boxes"),
                false => items(bound.items),
            },
            loose_words(bound.certainty(flow.items)),
            limited_by(bound)
        ),
        None => "in the whole run no limit known".to_owned(),
    });
    format!("{}: {}", flow.name, words.join("; "))
}

/// What to say behind a limit that may be far from what can be reached.
fn loose_words(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Loose => " (a loose limit)",
        Certainty::Known | Certainty::Unknown => "",
    }
}

/// The members of the cut: `limited by head`.
fn limited_by(bound: &Bound) -> String {
    if bound.limited_by.is_empty() {
        return "since nothing leads there".to_owned();
    }
    let names: Vec<String> = bound.limited_by.iter().map(limiter_words).collect();
    format!("limited by {}", listed(&names, NAMED))
}

fn limiter_words(limiter: &LimitedBy) -> String {
    let part = limiter.part.as_deref().unwrap_or("boxes");
    match limiter.limiter {
        Limiter::Pace => part.to_owned(),
        Limiter::Arrivals => format!("what comes to {part}"),
        Limiter::Stock => format!("what lay in {part}"),
        Limiter::Room => format!("the room of {part}"),
    }
}

/// One line for all sections together, and one for each of the slowest sections.
fn stop_lines(stop: &StopFinding, limit: &StopLimit, tps: u32) -> Vec<String> {
    let at = seconds(stop.at.0, tps);
    let has_sections = !stop.sections.is_empty();
    let mut lines = vec![format!(
        "stop at {at}: {}",
        marks_words(&stop.all, &limit.all, has_sections, tps)
    )];
    if stop.sections.len() < 2 {
        return lines;
    }
    let mut sections: Vec<_> = stop.sections.iter().zip(&limit.sections).collect();
    sections.sort_by_key(|(section, _)| {
        std::cmp::Reverse(section.marks.cleared_ticks.unwrap_or(u64::MAX))
    });
    let more = sections.len().saturating_sub(ROWS);
    for (section, limit) in sections.into_iter().take(ROWS) {
        let words = marks_words(&section.marks, limit, true, tps);
        lines.push(format!("{}: {words}", section.name));
    }
    if more > 0 {
        lines.push(format!(
            "… and {}",
            count(more as u64, "section more", "sections more")
        ));
    }
    lines
}

/// `cleared 12.8 s of at best 12.1 s, …`.
fn marks_words(found: &Marks, least: &MarkLimits, has_cleared: bool, tps: u32) -> String {
    let all = [
        ("cleared", found.cleared_ticks, least.cleared_ticks),
        (
            "safe to close",
            found.safe_to_close_ticks,
            least.safe_to_close_ticks,
        ),
        ("quiet", found.quiet.ticks, least.quiet_ticks),
    ];
    let shown = all.iter().skip(usize::from(!has_cleared));
    let words = shown.map(|(mark, ticks, at_best)| {
        let Some(at_best) = at_best else {
            return format!("{mark} never, for something has no way out");
        };
        let came = ticks.map_or_else(|| "never".to_owned(), |ticks| seconds(ticks, tps));
        let shown = seconds(*at_best, tps);
        let certainty = Certainty::of_mark(Some(*at_best), *ticks);
        let loose = loose_words(certainty);
        match (certainty, ticks) {
            (Certainty::Unknown, _) => format!("{mark} {came} (no limit known)"),
            (_, Some(_)) => format!("{mark} {came} of at best {shown}{loose}"),
            (_, None) => format!("{mark} never, at best {shown}{loose}"),
        }
    });
    words.collect::<Vec<String>>().join(", ")
}
