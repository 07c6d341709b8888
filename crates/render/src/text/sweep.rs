//! The stop sweep in a table.

use super::answers::LABEL;
use super::page::Page;
use hallwright_report::units::{count, listed, time};
use hallwright_trials::SweepFindings;

/// How many stop ticks are named.
const TICKS: usize = 5;

/// Writes what a sweep found.
pub(super) fn write(page: &mut Page, sweep: &SweepFindings) {
    let tps = sweep.ticks_per_second;
    page.blank();
    let answer = if sweep.goals_met() {
        "every goal met at each".to_owned()
    } else {
        format!(
            "{} missed at some",
            count(sweep.missed.len() as u64, "goal", "goals")
        )
    };
    page.labelled(
        "Sweep",
        LABEL,
        &format!(
            "{} from {} to {}: {answer}",
            count(sweep.runs, "stop", "stops"),
            time(sweep.from.0, tps),
            time(sweep.to.0, tps)
        ),
    );
    for missed in &sweep.missed {
        let words = format!("{}: stop at {}", missed.subject, ticks(&missed.at));
        page.labelled("  missed", LABEL, &words);
    }
    for (label, at) in [
        ("misplaced", &sweep.misplaced_at),
        ("passed by", &sweep.passed_by_at),
        ("lost", &sweep.lost_at),
    ] {
        // A missed goal has said so already.
        let is_told = sweep.missed.iter().any(|missed| missed.subject == label);
        if !at.is_empty() && !is_told {
            let words = format!("something was {label}: stop at {}", ticks(at));
            page.labelled("", LABEL, &words);
        }
    }
    let shown =
        |ticks: Option<u64>| ticks.map_or_else(|| "never".to_owned(), |ticks| time(ticks, tps));
    let mut sections: Vec<_> = sweep
        .marks
        .iter()
        .filter_map(|range| range.section.as_ref())
        .collect();
    sections.dedup();
    // A single section says little that all together do not say.
    let shown_marks = sweep
        .marks
        .iter()
        .filter(|range| range.section.is_none() || sections.len() > 1);
    let rows: Vec<Vec<String>> = shown_marks
        .map(|range| {
            let scope = range.section.as_deref().unwrap_or("all");
            vec![
                format!("{scope} {}", range.mark),
                shown(range.best_ticks),
                shown(range.worst_ticks),
                time(range.worst_at.0, tps),
            ]
        })
        .collect();
    page.table(&["Mark", "best", "worst", "worst stop at"], &rows);
}

fn ticks(at: &[hallwright_core::tick::Tick]) -> String {
    let names: Vec<String> = at
        .iter()
        .map(|tick| format!("{} t", hallwright_report::units::grouped(tick.0)))
        .collect();
    listed(&names, TICKS)
}
