//! What the network allows at best, beside what was measured.

use super::page::{LABEL, Page};
use hallwright_analysis::limits::{
    Bound, Certainty, FlowLimit, LimitedBy, Limiter, MarkLimits, StopLimit,
};
use hallwright_report::findings::{Findings, FlowFinding, Marks, StopFinding};
use hallwright_report::units::{Rate, count, grouped, items, listed, seconds};

/// How many parts of a cut are named.
const NAMED: usize = 3;

/// So many limits are shown, the tightest; JSON has all of them.
const SHOWN: usize = 3;

/// A limit beside what was measured.
struct Line {
    /// Whether goods alone set it: no more came. Such a limit says nothing of the design.
    is_of_goods: bool,
    /// Which share of what is possible was reached: 1 is all of it.
    reached: f64,
    words: String,
}

/// Writes the tightest limits, if they were asked for and anything is declared that has one.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let Some(limits) = &found.limits else { return };
    let tps = found.ticks_per_second;
    let flows = || found.flows.iter().zip(&limits.flows);
    // Among equals a pace comes first.
    let mut lines: Vec<Line> = flows()
        .filter_map(|(flow, limit)| pace_line(flow, limit, tps))
        .collect();
    for (stop, limit) in found.stops.iter().zip(&limits.stops) {
        lines.extend(stop_lines(stop, limit, tps));
    }
    lines.extend(flows().filter_map(|(flow, limit)| counted_line(flow, limit)));
    if lines.is_empty() {
        return;
    }
    lines.sort_by(|one, other| {
        let tighter = other.reached.total_cmp(&one.reached);
        one.is_of_goods.cmp(&other.is_of_goods).then(tighter)
    });
    page.blank();
    for (number, line) in lines.iter().take(SHOWN).enumerate() {
        let label = if number == 0 { "At best" } else { "" };
        page.labelled(label, LABEL, &line.words);
    }
    let more = lines.len().saturating_sub(SHOWN);
    if more > 0 {
        let more = count(more as u64, "limit more", "limits more");
        page.labelled("", LABEL, &format!("… and {more}: `--output json` has all"));
    }
}

/// How fast a flow was beside how fast it could have been.
fn pace_line(flow: &FlowFinding, limit: &FlowLimit, tps: u32) -> Option<Line> {
    let measured = flow.steadiest;
    let bound = limit.steadiest.as_ref().filter(|_| measured.ticks > 0)?;
    let [pace, most] = [measured, Rate::from(bound)].map(|rate| rate.per_second(tps));
    let unit = flow.unit();
    Some(Line {
        is_of_goods: is_of_goods(bound),
        reached: share(pace, most),
        words: format!(
            "{}: {pace:.2} of {most:.2} {unit}/s{}, {}",
            flow.name,
            loose_words(bound.certainty_in_part(measured.items)),
            limited_by(bound)
        ),
    })
}

/// How much was counted in the whole run beside how much could have been.
fn counted_line(flow: &FlowFinding, limit: &FlowLimit) -> Option<Line> {
    let bound = limit.counted.as_ref()?;
    let most = match flow.counts_boxes {
        true => count(bound.items, "box", "boxes"),
        false => items(bound.items),
    };
    Some(Line {
        is_of_goods: is_of_goods(bound),
        reached: share(flow.items as f64, bound.items as f64),
        words: format!(
            "{}: in the whole run {} of {most}{}, {}",
            flow.name,
            grouped(flow.items),
            loose_words(bound.certainty(flow.items)),
            limited_by(bound)
        ),
    })
}

/// Whether nothing of the network limits it, but what there is to move.
fn is_of_goods(bound: &Bound) -> bool {
    let mut limiters = bound.limited_by.iter().map(|each| each.limiter);
    let is_goods = |limiter| matches!(limiter, Limiter::Arrivals | Limiter::Stock);
    !bound.limited_by.is_empty() && limiters.all(is_goods)
}

/// One as a share of the other; nothing of nothing is all of it.
fn share(part: f64, whole: f64) -> f64 {
    match whole > 0.0 {
        true => part / whole,
        false => 1.0,
    }
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
        return "because nothing leads there".to_owned();
    }
    let names: Vec<String> = bound.limited_by.iter().map(limiter_words).collect();
    format!("limited by {}", listed(&names, NAMED))
}

fn limiter_words(limiter: &LimitedBy) -> String {
    let part = limiter.part.as_deref().unwrap_or("boxes");
    match limiter.limiter {
        Limiter::Pace => part.to_owned(),
        Limiter::Arrivals => format!("arrivals at {part}"),
        Limiter::Stock => format!("the stock of {part}"),
        Limiter::Room => format!("the room of {part}"),
    }
}

/// Lines for the marks of all sections together, and for those of each where there are several.
fn stop_lines(stop: &StopFinding, limit: &StopLimit, tps: u32) -> Vec<Line> {
    let at = format!("stop at {}", seconds(stop.at.0, tps));
    let mut lines = mark_lines(&at, &stop.all, &limit.all, !stop.sections.is_empty(), tps);
    if stop.sections.len() > 1 {
        for (section, limit) in stop.sections.iter().zip(&limit.sections) {
            let what = format!("{at}, {}", section.name);
            lines.extend(mark_lines(&what, &section.marks, limit, true, tps));
        }
    }
    lines
}

/// `stop at 60.0 s: cleared 12.8 s (limit 12.1 s)`, for each mark of which a limit is known. A mark that can
/// come at once has none.
fn mark_lines(
    what: &str,
    found: &Marks,
    least: &MarkLimits,
    has_cleared: bool,
    tps: u32,
) -> Vec<Line> {
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
    let lines = shown.filter_map(|(mark, ticks, at_best)| {
        let Some(at_best) = *at_best else {
            return Some(Line {
                is_of_goods: false,
                reached: 1.0,
                words: format!("{what}: {mark} never, because something has no way out"),
            });
        };
        if at_best == 0 {
            return None;
        }
        let came = ticks.map_or_else(|| "never".to_owned(), |ticks| seconds(ticks, tps));
        let loose = match Certainty::of_mark(Some(at_best), *ticks) {
            Certainty::Loose => "loose ",
            Certainty::Known | Certainty::Unknown => "",
        };
        let least = seconds(at_best, tps);
        Some(Line {
            is_of_goods: false,
            reached: ticks.map_or(0.0, |ticks| share(at_best as f64, ticks as f64)),
            words: format!("{what}: {mark} {came} ({loose}limit {least})"),
        })
    });
    lines.collect()
}
